import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { area, type Point } from "../../shared/draw/polygon.ts";
import {
  type HankColour,
  hankFill,
  hankPatches,
  hankShape,
  heightAtShare,
  patchZones,
} from "../../shared/draw/twist.ts";

const covered = (outlines: readonly (readonly Point[])[]) =>
  outlines.reduce((sum, outline) => sum + area(outline), 0);
const dyedShare = (seed: string, colour: HankColour) => {
  const shape = hankShape(60, 160, seed);
  const whole = [...shape.loop, ...shape.strands].map((strand) => strand.outline);
  return covered([...colour.loop, ...colour.dyed]) / covered(whole);
};
const share = fc.double({ min: 0, max: 1, noNaN: true });
const seed = fc.string({ minLength: 1, maxLength: 12 });

describe("a hank", () => {
  it("is the same for the same seed and wicks otherwise for another", () => {
    expect(hankFill(hankShape(60, 160, "3"), 0.5)).toEqual(hankFill(hankShape(60, 160, "3"), 0.5));
    expect(hankFill(hankShape(60, 160, "3"), 0.5)).not.toEqual(
      hankFill(hankShape(60, 160, "4"), 0.5),
    );
  });

  it("stays inside its box", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 14, max: 220 }),
        fc.integer({ min: 30, max: 600 }),
        (width, height) => {
          const shape = hankShape(width, height, "box");
          const points = [...shape.loop, ...shape.strands].flatMap((strand) => strand.outline);
          const across = points.map((point) => point.x);
          const down = points.map((point) => point.y);
          expect(Math.min(...across, ...down)).toBeGreaterThanOrEqual(-0.01);
          expect(Math.max(...across)).toBeLessThanOrEqual(width + 0.01);
          expect(Math.max(...down)).toBeLessThanOrEqual(height + 0.01);
        },
      ),
    );
  });

  it("is bare at 0 and dyed whole at 1", () => {
    expect(dyedShare("ends", hankFill(hankShape(60, 160, "ends"), 0))).toBe(0);
    expect(dyedShare("ends", hankFill(hankShape(60, 160, "ends"), 1))).toBeCloseTo(1, 10);
  });

  it("shows as much dyed yarn as its fill says, within 7 % of the skein", () => {
    fc.assert(
      fc.property(seed, share, (name, fill) => {
        const dyed = dyedShare(name, hankFill(hankShape(60, 160, name), fill));
        expect(Math.abs(dyed - fill)).toBeLessThan(0.07);
      }),
    );
  });

  it("never loses colour while its fill grows", () => {
    fc.assert(
      fc.property(seed, share, share, (name, one, other) => {
        const shape = hankShape(60, 160, name);
        const less = dyedShare(name, hankFill(shape, Math.min(one, other)));
        const more = dyedShare(name, hankFill(shape, Math.max(one, other)));
        expect(more).toBeGreaterThanOrEqual(less - 0.02);
      }),
    );
  });

  it("paints as much of the yarn as a patch covers, within 8 % of the skein", () => {
    fc.assert(
      fc.property(seed, share, (name, coverage) => {
        const [zone] = hankPatches(hankShape(60, 160, name), [{ hex: "#2e6e86", coverage }]);
        expect(zone).toBeDefined();
        if (zone !== undefined) {
          expect(Math.abs(dyedShare(name, zone) - coverage)).toBeLessThan(0.08);
        }
      }),
    );
  });

  it("divides its height by area, the whole of it from 0 to 1", () => {
    const shape = hankShape(60, 160, "area");
    expect(heightAtShare(shape, 0)).toBe(0);
    expect(heightAtShare(shape, 1)).toBeCloseTo(160, 6);
    fc.assert(
      fc.property(share, share, (one, other) => {
        fc.pre(one < other);
        expect(heightAtShare(shape, one)).toBeLessThanOrEqual(heightAtShare(shape, other));
      }),
    );
  });
});

describe("patchZones", () => {
  it("gives each patch its own share inside the skein, and no overlap while they fit", () => {
    fc.assert(
      fc.property(fc.array(share, { minLength: 1, maxLength: 6 }), (covers) => {
        const zones = patchZones(covers.map((coverage) => ({ hex: "#000000", coverage })));
        zones.forEach(([from, to], index) => {
          expect(from).toBeGreaterThanOrEqual(0);
          expect(to).toBeLessThanOrEqual(1 + 1e-9);
          expect(to - from).toBeCloseTo(covers[index] ?? 0, 6);
        });
        if (covers.reduce((sum, cover) => sum + cover, 0) <= 1) {
          for (let index = 1; index < zones.length; index += 1) {
            expect(zones[index]?.[0]).toBeGreaterThanOrEqual((zones[index - 1]?.[1] ?? 0) - 1e-9);
          }
        }
      }),
    );
  });
});
