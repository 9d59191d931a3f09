import { formatHex, interpolate, wcagLuminance } from "culori";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { INK, WOOL } from "../../shared/draw/palette.ts";
import { between, twistOf } from "../../shared/draw/tint.ts";

const hexes = fc
  .integer({ min: 0, max: 0xffffff })
  .map((n) => `#${n.toString(16).padStart(6, "0")}`);

const channels = (hex: string) => [1, 3, 5].map((at) => Number.parseInt(hex.slice(at, at + 2), 16));

describe("a tint between two colours", () => {
  test("is what an independent library makes of it through Oklab, to one step of a channel", () => {
    fc.assert(
      fc.property(hexes, hexes, fc.double({ min: 0, max: 1, noNaN: true }), (from, to, share) => {
        const theirs = channels(formatHex(interpolate([from, to], "oklab")(share)));
        const ours = channels(between(from, to, share));
        for (const [at, value] of ours.entries()) {
          expect(Math.abs(value - (theirs[at] ?? Number.NaN))).toBeLessThanOrEqual(1);
        }
      }),
    );
  });

  test("begins and ends at the two", () => {
    fc.assert(
      fc.property(hexes, hexes, (from, to) => {
        expect([between(from, to, 0), between(from, to, 1)]).toEqual([from, to]);
      }),
    );
  });

  test("goes to ink for the line on a light yarn and to wool on a nearly black one", () => {
    fc.assert(
      fc.property(hexes, (hex) => {
        const light = wcagLuminance(hex) > 0.05;
        expect(twistOf(hex)).toBe(between(hex, light ? INK : WOOL, 0.3));
      }),
    );
  });
});
