import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { difference } from "../../shared/colour/difference.ts";
import { reflectanceOf } from "../../shared/colour/kubelkaMunk.ts";
import { xyzOfReflectance } from "../../shared/colour/observer.ts";
import { smoothKs, unitKsOf } from "../../shared/colour/smooth.ts";
import { BANDS } from "../../shared/colour/spectrum.ts";
import { labOfXyz, type Xyz, xyzOfHex } from "../../shared/colour/tone.ts";

function xyzOf(hex: string): Xyz {
  const xyz = xyzOfHex(hex);
  if (!xyz) throw new Error(`${hex} is no colour`);
  return xyz;
}

const missed = (xyz: Xyz) =>
  difference(labOfXyz(xyzOfReflectance(smoothKs(xyz).map(reflectanceOf))), labOfXyz(xyz));

describe("the smooth spectrum of a screen colour", () => {
  test("returns its colour within 0.001 CIEDE2000 all over sRGB, its corners and edges too", () => {
    const levels = [0, 1, 64, 128, 200, 254, 255];
    for (const r of levels) {
      for (const g of levels) {
        for (const b of levels) {
          const hex = `#${[r, g, b].map((v) => v.toString(16).padStart(2, "0")).join("")}`;
          expect(missed(xyzOf(hex)), hex).toBeLessThan(1e-3);
        }
      }
    }
  });

  test("returns any colour, and is a reflectance from 0 to 1", () => {
    const colour = fc.integer({ min: 0, max: 0xffffff });
    fc.assert(
      fc.property(colour, (value) => {
        const xyz = xyzOf(`#${value.toString(16).padStart(6, "0")}`);
        expect(missed(xyz)).toBeLessThan(1e-3);
        for (const ks of smoothKs(xyz)) expect(ks).toBeGreaterThanOrEqual(0);
      }),
    );
  });

  test("of a perfect white is K/S 0", () => {
    expect(Array.from(smoothKs(xyzOf("#ffffff")))).toEqual(new Array(BANDS).fill(0));
  });
});

describe("one dye seen at several depths", () => {
  const yarnKs = smoothKs(xyzOf("#efe6d6"));
  // A made dye, so that what comes of guessing can be held against the truth.
  const truth = yarnKs.map((_, band) => 6 * Math.exp(-(((band - 20) / 5) ** 2)) + 0.05);
  const colourAt = (depthPct: number) =>
    xyzOfReflectance(
      yarnKs.map((ks, band) => reflectanceOf(ks + depthPct * (truth[band] as number))),
    );
  const sight = (depthPct: number) => ({ xyz: colourAt(depthPct), yarnKs, depthPct });
  const errorAt = (unit: Float64Array, depthPct: number) => {
    const lab = labOfXyz(
      xyzOfReflectance(
        yarnKs.map((ks, band) => reflectanceOf(ks + depthPct * (unit[band] as number))),
      ),
    );
    return difference(lab, labOfXyz(colourAt(depthPct)));
  };

  test("gives each colour back", () => {
    const depths = [0.1, 0.5, 2];
    for (const [n, unit] of unitKsOf(depths.map(sight)).entries()) {
      expect(errorAt(unit, depths[n] ?? 1)).toBeLessThan(1e-3);
    }
  });

  test("is known better from three depths than from one", () => {
    const [alone] = unitKsOf([sight(2)]);
    const together = unitKsOf([0.1, 0.5, 2].map(sight)).at(-1);
    if (!alone || !together) throw new Error("no spectrum");
    expect(errorAt(together, 0.2)).toBeLessThan(errorAt(alone, 0.2));
  });
});
