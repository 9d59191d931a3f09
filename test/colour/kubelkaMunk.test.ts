import { describe, expect, test } from "vitest";
import { ksOf, reflectanceOf } from "../../shared/colour/kubelkaMunk.ts";
import { kubelkaMunkValues } from "../reference/kubelkaMunk.ts";

describe("K/S", () => {
  test.each(kubelkaMunkValues)("of a reflectance of %f is %f, and back", (reflectance, ks) => {
    expect(ksOf(reflectance)).toBeCloseTo(ks, 12);
    expect(reflectanceOf(ks)).toBeCloseTo(reflectance, 12);
  });

  test("keeps its digits from nearly black to nearly white", () => {
    for (const reflectance of [2e-5, 1e-3, 0.2, 0.9, 0.9999]) {
      expect(reflectanceOf(ksOf(reflectance)) / reflectance).toBeCloseTo(1, 10);
    }
  });

  test("of a reflectance of nothing is large, and not endless", () => {
    expect(ksOf(0)).toBeGreaterThan(1e4);
    expect(Number.isFinite(ksOf(0))).toBe(true);
  });
});
