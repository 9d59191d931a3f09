import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  depthParts,
  showAbout,
  showAmount,
  showAmountInFull,
  showCelsius,
  showChange,
  showCount,
  showDepth,
  showDepthRange,
  showMass,
  showPlusMinus,
  showPowder,
  showStrength,
  showVolume,
  volumeParts,
} from "../../shared/dye/display.ts";
import { RUNS } from "./arbitrary.ts";

const T = "\u202F";

describe("volumes on screen", () => {
  test("show as many decimals as matter and no trailing zeros", () => {
    const rows: [number, string][] = [
      [37_500, "37.5"],
      [50, "0.05"],
      [1_250_000, "1,250"],
      [12_000, "12"],
      [0, "0"],
      [9_996, "10"],
      [9_994, "9.99"],
      [10_040, "10"],
      [10_050, "10.1"],
      [999_949, "999.9"],
      [999_950, "1,000"],
      [1_250_499, "1,250"],
      [1_250_500, "1,251"],
      [12_345_678_000, "12,345,678"],
      [5, "0.005"],
      [1, "0.001"],
      [1_005, "1.01"],
    ];
    for (const [ul, figure] of rows) {
      expect(showVolume(ul), `${ul} uL`).toBe(`${figure}${T}mL`);
      expect(volumeParts(ul)).toEqual({ figure, unit: "mL" });
    }
  });

  test("use a real minus for a change, and a plus for more", () => {
    expect(showChange(-5_000)).toBe(`\u22125${T}mL`);
    expect(showChange(5_000)).toBe(`+5${T}mL`);
    expect(showChange(0)).toBe(`0${T}mL`);
  });

  test("are within half of the last figure shown, and never nothing for something", () => {
    fc.assert(
      fc.property(fc.oneof(fc.nat(20), fc.nat(20_000), fc.nat(20_000_000)), (ul) => {
        const { figure } = volumeParts(ul);
        const shownUl = Number(figure.replaceAll(",", "")) * 1000;
        const stepUl = ul < 10 ? 1 : ul < 10_000 ? 10 : ul < 1_000_000 ? 100 : 1_000;
        expect(Math.abs(shownUl - ul)).toBeLessThanOrEqual(stepUl / 2 + 1e-6);
        if (ul > 0) expect(shownUl).toBeGreaterThan(0);
        expect(figure).not.toMatch(/\.\d*0$|\.$/);
      }),
      RUNS,
    );
  });

  test("say about until they are sure, and drops first", () => {
    expect(showAbout(12_000)).toBe(`about 12${T}mL`);
    expect(showPlusMinus(2_000)).toBe(`±${T}2${T}mL`);
    expect(showAmount({ how: "measured", volumeUl: 37_500, plusMinusUl: 0 })).toBe(`37.5${T}mL`);
    const guess = { how: "estimated", volumeUl: 12_000, plusMinusUl: 2_000 } as const;
    expect(showAmount(guess)).toBe(`about 12${T}mL`);
    expect(showAmountInFull(guess)).toBe(`about 12${T}mL ±${T}2${T}mL`);
    const open = { how: "unsettled", volumeUl: 12_000, plusMinusUl: 0 } as const;
    expect(showAmount(open)).toBe(`about 12${T}mL`);
    const drops = { how: "estimated", volumeUl: 600, plusMinusUl: 100, drops: 12 } as const;
    expect(showAmount(drops)).toBe(`12 drops, about 0.6${T}mL`);
    expect(showPowder({ how: "estimated", massUg: 2_000_000, plusMinusUg: 500_000 })).toBe(
      `about 2${T}g ±${T}500${T}mg`,
    );
    expect(showPowder({ how: "measured", massUg: 2_500_000, plusMinusUg: 0 })).toBe(`2.5${T}g`);
    expect(showCount(1, "drop")).toBe("1 drop");
  });
});

describe("depth, strength, mass and temperature on screen", () => {
  test("depth has two decimals, three below 0.1, and 0 for none", () => {
    const rows: [number, string][] = [
      [0.78, "0.78"],
      [0.4, "0.40"],
      [0.775, "0.78"],
      [1.005, "1.01"],
      [0.05, "0.050"],
      [0.0996, "0.10"],
      [0.09949, "0.099"],
      [0, "0"],
      [0.0004, "under 0.001"],
      [12, "12.00"],
      [-0.05, "\u22120.050"],
    ];
    for (const [pct, figure] of rows) {
      expect(depthParts(pct).figure, `${pct}`).toBe(figure);
      expect(showDepth(pct)).toBe(`${figure}${T}%`);
    }
  });

  test("depth says about only where the doubt can be seen", () => {
    expect(showDepthRange({ pct: 0.775, lowPct: 0.77499998, highPct: 0.77500002 })).toBe(
      `0.78${T}%`,
    );
    expect(showDepthRange({ pct: 0.78, lowPct: 0.7, highPct: 0.86 })).toBe(`about 0.78${T}%`);
  });

  test("strength has no trailing zeros, and a bottle a hair off reads as what it was made to be", () => {
    expect(showStrength(1)).toBe(`1${T}%`);
    expect(showStrength(0.5)).toBe(`0.5${T}%`);
    expect(showStrength(0.1)).toBe(`0.1${T}%`);
    expect(showStrength(0.02)).toBe(`0.02${T}%`);
    expect(showStrength(0.99999)).toBe(`1${T}%`);
    expect(showStrength(1.333333)).toBe(`1.33${T}%`);
    expect(showStrength(0.00001)).toBe(`under 0.001${T}%`);
  });

  test("mass is in mg below a gram and in g above", () => {
    const rows: [number, string][] = [
      [0, `0${T}mg`],
      [5, `0.005${T}mg`],
      [375_000, `375${T}mg`],
      [12_340, `12.3${T}mg`],
      [999_499, `999${T}mg`],
      [999_600, `1${T}g`],
      [1_250_000, `1.25${T}g`],
      [50_000_000, `50${T}g`],
      [113_400_000, `113.4${T}g`],
      [1_250_000_000, `1,250${T}g`],
      [-1_250_000, `\u22121.25${T}g`],
    ];
    for (const [ug, text] of rows) expect(showMass(ug), `${ug} ug`).toBe(text);
  });

  test("temperature is a whole degree", () => {
    expect(showCelsius(84.6)).toBe(`85${T}°C`);
    expect(showCelsius(-0.2)).toBe(`0${T}°C`);
    expect(showCelsius(-3)).toBe(`\u22123${T}°C`);
  });
});
