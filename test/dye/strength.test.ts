import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { refused } from "../../shared/dye/refusal.ts";
import { dilution, massUgFor, strengthPct, volumeUlFor } from "../../shared/dye/strength.ts";
import { ugFromG, ulFromMl } from "../../shared/dye/units.ts";
import { DILUTION, STOCKS } from "../reference/amounts.ts";
import { decimals, RUNS } from "./arbitrary.ts";

const strengths = decimals(100, 3);
const volumes = fc.integer({ min: 1, max: 10_000_000 });

describe("strength of a stock", () => {
  for (const row of STOCKS) {
    test(`${row.massG} g in ${row.volumeMl} mL is ${row.strengthPct} % (${row.source})`, () => {
      const [massUg, volumeUl] = [ugFromG(row.massG), ulFromMl(row.volumeMl)];
      expect(strengthPct(massUg, volumeUl)).toBe(row.strengthPct);
      expect(massUgFor(row.strengthPct, volumeUl)).toBe(massUg);
      expect(volumeUlFor(massUg, row.strengthPct)).toBe(volumeUl);
    });
  }

  test("mass, volume and strength are each other's inverses within one unit", () => {
    fc.assert(
      fc.property(strengths, volumes, (pct, volumeUl) => {
        const massUg = massUgFor(pct, volumeUl);
        const roundedUl = 0.5 / (pct * 10);
        expect(Math.abs(volumeUlFor(massUg, pct) - volumeUl)).toBeLessThanOrEqual(
          Math.ceil(roundedUl),
        );
        const roundedPct = 0.5 / volumeUl / 10;
        expect(Math.abs(strengthPct(massUg, volumeUl) - pct)).toBeLessThanOrEqual(
          roundedPct * (1 + 1e-9) + pct * 1e-12,
        );
      }),
      RUNS,
    );
    fc.assert(
      fc.property(volumes, fc.integer({ min: 1, max: 1_000_000_000 }), (volumeUl, massUg) => {
        const pct = strengthPct(massUg, volumeUl);
        expect(Math.abs(massUgFor(pct, volumeUl) - massUg)).toBeLessThanOrEqual(1);
        expect(Math.abs(volumeUlFor(massUg, pct) - volumeUl)).toBeLessThanOrEqual(1);
      }),
      RUNS,
    );
  });

  test("has no meaning without a volume", () => {
    expect(() => strengthPct(1, 0)).toThrow(RangeError);
    expect(() => volumeUlFor(1, 0)).toThrow(RangeError);
  });
});

describe("dilution", () => {
  test(`0.1 % from 1 % is 10 mL made up to 100 mL (${DILUTION.source})`, () => {
    const { fromPct, toPct, finalMl, stockMl } = DILUTION;
    expect(dilution(fromPct, toPct, ulFromMl(finalMl))).toEqual({
      stockUl: ulFromMl(stockMl),
      waterUl: ulFromMl(finalMl - stockMl),
    });
  });

  test("to the stock's own strength takes no water", () => {
    expect(dilution(0.5, 0.5, 1000)).toEqual({ stockUl: 1000, waterUl: 0 });
  });

  test("refuses in words what water cannot do", () => {
    expect(dilution(0.5, 1, 1000)).toMatchObject({ code: "dilution.stronger" });
    expect(dilution(0, 0, 1000)).toMatchObject({ code: "dilution.noStrength" });
    expect(dilution(1, -1, 1000)).toMatchObject({ code: "dilution.noStrength" });
    expect(dilution(1, Number.NaN, 1000)).toMatchObject({ code: "dilution.noStrength" });
    expect(dilution(1, 0.5, 0)).toMatchObject({ code: "dilution.noVolume" });
    expect(dilution(1, 0.5, 0.5)).toMatchObject({ code: "dilution.noVolume" });
  });

  test("sums exactly to the volume asked for, and keeps C1 V1 = C2 V2 within half a uL of stock", () => {
    fc.assert(
      fc.property(strengths, strengths, volumes, (a, b, finalUl) => {
        const [fromPct, toPct] = [Math.max(a, b), Math.min(a, b)];
        const parts = dilution(fromPct, toPct, finalUl);
        if (refused(parts)) throw new Error(parts.say);
        expect(parts.stockUl + parts.waterUl).toBe(finalUl);
        expect(parts.waterUl).toBeGreaterThanOrEqual(0);
        const offUl = parts.stockUl - (toPct * finalUl) / fromPct;
        expect(Math.abs(offUl)).toBeLessThanOrEqual(0.5 + 1e-8);
      }),
      RUNS,
    );
  });
});
