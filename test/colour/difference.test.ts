import { differenceCiede2000 } from "culori";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { difference } from "../../shared/colour/difference.ts";
import { sharmaRows } from "../reference/colour.ts";

describe("CIEDE2000", () => {
  test("has all 34 published pairs", () => {
    expect(sharmaRows).toHaveLength(34);
  });

  test.each(sharmaRows)(
    "of %f %f %f and %f %f %f is as published, both ways",
    (l1, a1, b1, l2, a2, b2, published) => {
      const one = { l: l1 ?? 0, a: a1 ?? 0, b: b1 ?? 0 };
      const other = { l: l2 ?? 0, a: a2 ?? 0, b: b2 ?? 0 };
      expect(difference(one, other).toFixed(4)).toBe(published?.toFixed(4));
      expect(difference(other, one).toFixed(4)).toBe(published?.toFixed(4));
    },
  );

  test("agrees with the colour library's own on any two colours", () => {
    const theirs = differenceCiede2000();
    const lab = fc.record({
      l: fc.double({ min: 0, max: 100, noNaN: true }),
      a: fc.double({ min: -120, max: 120, noNaN: true }),
      b: fc.double({ min: -120, max: 120, noNaN: true }),
    });
    fc.assert(
      fc.property(lab, lab, (one, other) => {
        const published = theirs({ mode: "lab65", ...one }, { mode: "lab65", ...other });
        expect(Math.abs(difference(one, other) - published)).toBeLessThan(1e-6);
      }),
    );
  });
});
