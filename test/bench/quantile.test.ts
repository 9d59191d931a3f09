import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { median, quantile } from "./quantile.ts";

describe("a quantile", () => {
  // The worked example of the nearest-rank method, Wikipedia, "Percentile", example 1.
  test.each([
    [0.05, 15],
    [0.3, 20],
    [0.4, 20],
    [0.5, 35],
    [1, 50],
  ])("of the share %f is %d in 15, 20, 35, 40, 50", (p, is) => {
    expect(quantile([50, 20, 15, 40, 35], p)).toBe(is);
  });

  test("sorts by value and leaves the numbers as they were", () => {
    const numbers = [9, 100, 20];
    expect(median(numbers)).toBe(20);
    expect(numbers).toEqual([9, 100, 20]);
  });

  test("of 99 in 100 leaves out the largest of 100 numbers and no other", () => {
    expect(quantile([...Array(100).keys()], 0.99)).toBe(98);
  });

  test("is one of the numbers, with enough of them at or below it and not too many below", () => {
    const shares = fc.integer({ min: 1, max: 100 }).map((of100) => of100 / 100);
    fc.assert(
      fc.property(fc.array(fc.integer(), { minLength: 1 }), shares, (numbers, p) => {
        const found = quantile(numbers, p);
        const atMost = numbers.filter((number) => number <= found).length;
        const below = numbers.filter((number) => number < found).length;
        expect(numbers).toContain(found);
        expect(atMost).toBeGreaterThanOrEqual(p * numbers.length);
        expect(below).toBeLessThan(p * numbers.length);
      }),
    );
  });

  test.each([0, -1, 1.01, Number.NaN])("of the share %f is refused", (p) => {
    expect(() => quantile([1], p)).toThrow(RangeError);
  });

  test("of no numbers is refused", () => {
    expect(() => median([])).toThrow(RangeError);
  });
});
