import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { refused } from "../../shared/dye/refusal.ts";
import {
  COARSEST_SHARE,
  coarsestDivision,
  depthErrorPct,
  type MeasuredPowder,
  type MeasuredVolume,
  measureWith,
  proposeDilution,
  showMeasuring,
  type Tool,
} from "../../shared/dye/tool.ts";
import { TEASPOON_UL, ulFromUsTeaspoons } from "../../shared/dye/units.ts";
import { DROPS_PER_ML } from "../reference/amounts.ts";
import { decimals, RUNS } from "./arbitrary.ts";

const T = "\u202F";
const syringe: Tool = { kind: "syringe", capacityUl: 10_000, divisionUl: 500 };
const balance: Tool = { kind: "scale", capacityUg: 200_000_000, divisionUg: 10_000 };

function volume(tool: Tool, volumeUl: number): MeasuredVolume {
  const answer = measureWith(tool, { volumeUl });
  if (refused(answer)) throw new Error(answer.say);
  return answer;
}

function powder(tool: Tool, massUg: number, dye = "lantern"): MeasuredPowder {
  const answer = measureWith(tool, { massUg, dye });
  if (refused(answer)) throw new Error(answer.say);
  return answer;
}

describe("measuring with a tool", () => {
  test("a syringe takes 37.7 mL in four fills, to its own marks", () => {
    const measured = volume(syringe, 37_700);
    expect(measured).toMatchObject({
      volumeUl: 37_500,
      divisions: 75,
      fills: 4,
      lastFillUl: 7_500,
      errorUl: -200,
      tooCoarse: false,
    });
    expect(measured.errorShare).toBeCloseTo(-200 / 37_700, 12);
    expect(showMeasuring(syringe, measured)).toBe(`3 fills of 10${T}mL and 7.5${T}mL`);
    expect(showMeasuring(syringe, volume(syringe, 20_000))).toBe(`2 fills of 10${T}mL`);
    expect(showMeasuring(syringe, volume(syringe, 7_500))).toBe(`7.5${T}mL`);
  });

  test("the rounding is told as depth of shade: 0.2 mL of 1 % too little on 50 g is 0.004 %", () => {
    expect(depthErrorPct(volume(syringe, 37_700), 1, 50_000_000)).toBeCloseTo(-0.004, 12);
  });

  test("half a division is too coarse at more than 5 % of the amount, not at 5 %", () => {
    expect(volume(syringe, 5_000).tooCoarse).toBe(false);
    expect(volume(syringe, 4_999).tooCoarse).toBe(true);
    expect(coarsestDivision(5_000)).toBe(500);
  });

  test("an amount below half a division is nothing on that tool, and it says so", () => {
    const measured = volume(syringe, 200);
    expect(measured).toMatchObject({ volumeUl: 0, fills: 0, errorShare: -1, tooCoarse: true });
    expect(showMeasuring(syringe, measured)).toBe("too little to measure with this");
  });

  test("a balance weighs powder to its step, and liquor with a millilitre as a gram", () => {
    expect(powder(balance, 1_234_567)).toMatchObject({ massUg: 1_230_000, errorUg: -4_567 });
    expect(volume(balance, 12_344)).toMatchObject({ volumeUl: 12_340, fills: 1 });
    expect(powder(balance, 250_000_000)).toMatchObject({ fills: 2, lastFillUg: 50_000_000 });
  });

  test("a dropper is refused until its drops are counted", () => {
    const refusal = measureWith({ kind: "dropper" }, { volumeUl: 600 });
    expect(refusal).toMatchObject({ code: "tool.dropperNotCounted" });
    const counted: Tool = { kind: "dropper", dropUl: 1000 / DROPS_PER_ML };
    expect(showMeasuring(counted, volume(counted, 610))).toBe("12 drops");
    expect(volume(counted, 610).errorUl).toBe(-10);
  });

  test("a spoon of powder is refused until this very dye was weighed with it", () => {
    const spoon: Tool = { kind: "powderSpoon", massUgOf: { lantern: 1_500_000 } };
    expect(powder(spoon, 15_200_000)).toMatchObject({ divisions: 10, massUg: 15_000_000 });
    for (const dye of ["slipway", "constructor"]) {
      expect(measureWith(spoon, { massUg: 15_000_000, dye })).toMatchObject({
        code: "tool.spoonNotWeighed",
      });
    }
  });

  test("labelled and US spoons measure liquid by the level spoon", () => {
    const spoon: Tool = { kind: "liquidSpoon", spoonUl: TEASPOON_UL };
    expect(showMeasuring(spoon, volume(spoon, 51_000))).toBe("10 level spoons");
    const us: Tool = { kind: "liquidSpoon", spoonUl: ulFromUsTeaspoons(1) };
    expect(volume(us, 50_000).volumeUl).toBe(49_290);
  });

  test("no tool measures what it is not for", () => {
    expect(measureWith(syringe, { massUg: 1, dye: "a" })).toMatchObject({
      code: "tool.notForPowder",
    });
    expect(measureWith({ kind: "powderSpoon", massUgOf: {} }, { volumeUl: 1 })).toMatchObject({
      code: "tool.notForLiquid",
    });
  });

  const liquidTools: fc.Arbitrary<Tool> = fc.oneof(
    fc.record({
      kind: fc.constantFrom("syringe" as const, "cylinder" as const),
      capacityUl: fc.integer({ min: 1_000, max: 1_000_000 }),
      divisionUl: fc.constantFrom(10, 50, 100, 200, 500, 1_000, 5_000),
    }),
    fc.record({
      kind: fc.constant("scale" as const),
      capacityUg: fc.constantFrom(20_000_000, 200_000_000, 5_000_000_000),
      divisionUg: fc.constantFrom(1_000, 10_000, 100_000, 1_000_000),
    }),
    fc.record({ kind: fc.constant("dropper" as const), dropUl: decimals(100, 2) }),
    fc.record({
      kind: fc.constant("liquidSpoon" as const),
      spoonUl: fc.constantFrom(1_250, 2_500, 4_929, 5_000, 14_787, 15_000),
    }),
  );
  const divisionOf = (tool: Tool): number => {
    switch (tool.kind) {
      case "scale":
        return tool.divisionUg / 1000;
      case "dropper":
        return tool.dropUl ?? Number.NaN;
      case "liquidSpoon":
        return tool.spoonUl;
      case "powderSpoon":
        return Number.NaN;
      default:
        return tool.divisionUl;
    }
  };

  test("rounds by half a division at most, in fills that sum to the amount and fit the tool", () => {
    fc.assert(
      fc.property(liquidTools, fc.integer({ min: 1, max: 2_000_000 }), (tool, volumeUl) => {
        const measured = volume(tool, volumeUl);
        const division = divisionOf(tool);
        expect(Math.abs(measured.errorUl)).toBeLessThanOrEqual(division / 2 + 0.5);
        expect(measured.volumeUl).toBe(volumeUl + measured.errorUl);
        expect(Number.isSafeInteger(measured.volumeUl)).toBe(true);
        const capacity =
          tool.kind === "syringe" || tool.kind === "cylinder" ? tool.capacityUl : undefined;
        if (capacity !== undefined && capacity >= division) {
          expect(measured.lastFillUl).toBeLessThanOrEqual(capacity);
          const full = Math.floor(capacity / division) * division;
          const before = Math.max(0, measured.fills - 1) * full;
          expect(before + measured.lastFillUl).toBe(measured.volumeUl);
        }
        if (!measured.tooCoarse) {
          const halfAUl = 0.5 / volumeUl;
          expect(Math.abs(measured.errorShare)).toBeLessThanOrEqual(
            COARSEST_SHARE + halfAUl + 1e-12,
          );
        }
      }),
      RUNS,
    );
  });

  test("powder rounds by half a division at most", () => {
    fc.assert(
      fc.property(
        fc.constantFrom(1_000, 10_000, 100_000),
        fc.integer({ min: 1, max: 50_000_000 }),
        (divisionUg, massUg) => {
          const tool: Tool = { kind: "scale", capacityUg: 200_000_000, divisionUg };
          const measured = powder(tool, massUg);
          expect(Math.abs(measured.errorUg)).toBeLessThanOrEqual(divisionUg / 2);
          expect(measured.massUg % divisionUg).toBe(0);
        },
      ),
      RUNS,
    );
  });

  test("a proposed dilution measures within 5 % on the same tool, and gives the dye that was wanted", () => {
    let [proposed, refusals] = [0, 0];
    fc.assert(
      fc.property(
        liquidTools,
        fc.integer({ min: 1, max: 50_000 }),
        decimals(10, 2),
        (tool, volumeUl, strengthPct) => {
          const plan = proposeDilution(volumeUl, strengthPct, tool);
          if (refused(plan)) {
            refusals += 1;
            expect(["tool.fineEnough", "tool.tooCoarse"]).toContain(plan.code);
            expect(plan.code === "tool.fineEnough").toBe(!volume(tool, volumeUl).tooCoarse);
            return;
          }
          proposed += 1;
          const division = divisionOf(tool);
          expect(plan.measured.tooCoarse).toBe(false);
          expect(division / 2 / plan.wantedUl).toBeLessThanOrEqual(COARSEST_SHARE + 1e-12);
          const halfAUl = 0.5 / plan.wantedUl;
          expect(Math.abs(plan.measured.errorShare)).toBeLessThanOrEqual(
            COARSEST_SHARE + halfAUl + 1e-12,
          );
          expect(plan.strengthPct * plan.wantedUl).toBeCloseTo(strengthPct * volumeUl, 6);
          expect(plan.stockUl + plan.waterUl).toBe(plan.madeUl);
          expect(plan.madeUl).toBe(plan.stockUl * plan.factor);
          expect(plan.madeUl).toBeGreaterThanOrEqual(plan.wantedUl);
          expect(plan.madeUl).toBeLessThanOrEqual(1_000_000);
          expect(Math.abs(plan.stockUl - 10 * division)).toBeLessThanOrEqual(0.5);
          const stockShare = division / 2 / plan.stockUl;
          expect(plan.worstShare).toBeGreaterThanOrEqual(stockShare);
          expect(plan.worstShare).toBeLessThan(0.12);
        },
      ),
      RUNS,
    );
    expect(proposed).toBeGreaterThan(300);
    expect(refusals).toBeGreaterThan(100);
  });

  test("0.3 mL on a syringe marked at 0.5 mL is proposed as a dilution with its recipe", () => {
    const plan = proposeDilution(300, 1, syringe);
    if (refused(plan)) throw new Error(plan.say);
    expect(plan).toMatchObject({ factor: 20, stockUl: 5_000, madeUl: 100_000, wantedUl: 6_000 });
    expect(plan.strengthPct).toBeCloseTo(0.05, 12);
    expect(plan.say).toBe(
      `Make 5${T}mL of the 1${T}% stock up to 100${T}mL with water, which is 0.05${T}%, and measure 6${T}mL of that.`,
    );
  });

  test("an amount far too small for a tool asks for a finer one, by name of its marks", () => {
    const answer = proposeDilution(50, 1, {
      kind: "cylinder",
      capacityUl: 1_000_000,
      divisionUl: 10_000,
    });
    expect(answer).toEqual({
      code: "tool.tooCoarse",
      say: `Use a finer tool: one that reads to 0.005${T}mL or finer.`,
    });
    expect(proposeDilution(50_000, 1, syringe)).toMatchObject({ code: "tool.fineEnough" });
    expect(proposeDilution(50, 1, { kind: "dropper" })).toMatchObject({
      code: "tool.dropperNotCounted",
    });
  });
});
