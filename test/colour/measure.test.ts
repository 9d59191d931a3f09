import fc from "fast-check";
import { expect, test } from "vitest";
import { dosesAround, isTooFine, markPct } from "../../shared/colour/measure.ts";

const means = { fibreUg: 50_000_000, strengthPct: 1, divisionUl: 100, dilute: true };

test("a mark of 0.1 mL of a 1 % stock on 50 g is 0.002 % owf", () => {
  expect(markPct(means)).toBeCloseTo(0.002, 12);
});

test("a dose lies between the measurable doses around it, whole marks apart", () => {
  fc.assert(
    fc.property(fc.double({ min: 0.0005, max: 4, noNaN: true }), (depthPct) => {
      const around = dosesAround(depthPct, means);
      const low = around[0]?.depthPct ?? 0;
      const high = around.at(-1)?.depthPct ?? 0;
      expect(low).toBeLessThanOrEqual(depthPct + 1e-9);
      expect(high).toBeGreaterThanOrEqual(depthPct - 1e-9);
      for (const { volumeUl } of around) expect(volumeUl % means.divisionUl).toBe(0);
    }),
  );
});

test("a small dose is measured from a dilution, within 5 %", () => {
  const [low, high] = dosesAround(0.0063, means);
  expect(high?.factor).toBeGreaterThan(1);
  expect((high?.depthPct ?? 0) - (low?.depthPct ?? 0)).toBeLessThanOrEqual(0.1 * 0.0063 + 1e-12);
});

test("without dilution a small dose is said to be too fine", () => {
  expect(isTooFine(0.006, { ...means, dilute: false })).toBe(true);
  expect(isTooFine(0.006, means)).toBe(false);
  expect(isTooFine(0, means)).toBe(false);
});

test("no dose is nothing to measure", () => {
  expect(dosesAround(0, means)).toEqual([{ depthPct: 0, volumeUl: 0, factor: 1 }]);
});
