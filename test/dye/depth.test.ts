import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  bathUlForRatio,
  depthPct,
  depthPctForVolume,
  depthsPct,
  dyeUgForDepth,
  fibreUgForDepth,
  fibreUgForVolume,
  liquorRatio,
  localDepthPct,
  strengthPctForDepth,
  volumeUlForDepth,
} from "../../shared/dye/depth.ts";
import { massUgFor } from "../../shared/dye/strength.ts";
import { ugFromG, ulFromMl } from "../../shared/dye/units.ts";
import { draw, totalUg, vesselOf } from "../../shared/dye/vessel.ts";
import {
  GOODS,
  LAB_DIP,
  STOCK_FOR_DEPTH,
  WOOL_HAND_SCALE,
  WOOL_STRONG_ACID,
} from "../reference/amounts.ts";
import { decimals, masses, RUNS } from "./arbitrary.ts";

describe("depth of shade", () => {
  for (const row of STOCK_FOR_DEPTH) {
    test(`${row.fibreG} g at ${row.depthPct} % from a ${row.strengthPct} % stock takes ${row.ml} mL, each from the others (${row.source})`, () => {
      const [fibreUg, volumeUl] = [ugFromG(row.fibreG), ulFromMl(row.ml)];
      expect(volumeUlForDepth(row.depthPct, fibreUg, row.strengthPct)).toBe(volumeUl);
      expect(depthPctForVolume(volumeUl, row.strengthPct, fibreUg)).toBe(row.depthPct);
      expect(fibreUgForVolume(volumeUl, row.strengthPct, row.depthPct)).toBe(fibreUg);
      expect(strengthPctForDepth(row.depthPct, fibreUg, volumeUl)).toBe(row.strengthPct);
      const dyeUg = massUgFor(row.strengthPct, volumeUl);
      expect(depthPct(dyeUg, fibreUg)).toBe(row.depthPct);
      expect(dyeUgForDepth(row.depthPct, fibreUg)).toBe(dyeUg);
      expect(fibreUgForDepth(row.depthPct, dyeUg)).toBe(fibreUg);
    });
  }

  test(`4 kg of dye on 100 kg is 4 % (${GOODS.source})`, () => {
    const goodsUg = ugFromG(GOODS.goodsKg * 1000);
    expect(depthPct(ugFromG(GOODS.dyeKg * 1000), goodsUg)).toBe(GOODS.depthPct);
    expect(dyeUgForDepth(GOODS.depthPct, goodsUg)).toBe(ugFromG(GOODS.dyeKg * 1000));
  });

  test(`a 100 kg lot takes the published wool recipe (${WOOL_STRONG_ACID.source})`, () => {
    const goodsUg = ugFromG(100_000);
    expect(dyeUgForDepth(WOOL_STRONG_ACID.dyePct, goodsUg)).toBe(ugFromG(2_000));
    expect(dyeUgForDepth(WOOL_STRONG_ACID.sulphuricAcidPct, goodsUg)).toBe(ugFromG(2_000));
    expect(dyeUgForDepth(WOOL_STRONG_ACID.sodiumSulphatePct, goodsUg)).toBe(ugFromG(10_000));
    expect(bathUlForRatio(WOOL_STRONG_ACID.ratio, goodsUg)).toBe(ulFromMl(2_000_000));
    expect(depthPct(ugFromG(2_000), goodsUg)).toBe(WOOL_STRONG_ACID.dyePct);
  });

  test("depth, dye and fibre are each other's inverses within one unit", () => {
    const fibres = fc.integer({ min: 100_000, max: 2_000_000_000 });
    fc.assert(
      fc.property(decimals(10, 3), fibres, (pct, fibreUg) => {
        const dyeUg = dyeUgForDepth(pct, fibreUg);
        expect(Math.abs(depthPct(dyeUg, fibreUg) - pct)).toBeLessThanOrEqual(
          (50 / fibreUg) * (1 + 1e-9) + 1e-12,
        );
        expect(Math.abs(fibreUgForDepth(pct, dyeUg) - fibreUg)).toBeLessThanOrEqual(
          Math.ceil(50 / pct),
        );
      }),
      RUNS,
    );
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 100_000_000 }), fibres, (dyeUg, fibreUg) => {
        const pct = depthPct(dyeUg, fibreUg);
        expect(Math.abs(dyeUgForDepth(pct, fibreUg) - dyeUg)).toBeLessThanOrEqual(1);
        expect(Math.abs(fibreUgForDepth(pct, dyeUg) - fibreUg)).toBeLessThanOrEqual(1);
      }),
      RUNS,
    );
  });

  test("depth, volume, strength and fibre are each other's inverses within one unit", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 5_000_000 }),
        decimals(25, 3),
        fc.integer({ min: 100_000, max: 2_000_000_000 }),
        (volumeUl, strengthPct, fibreUg) => {
          const pct = depthPctForVolume(volumeUl, strengthPct, fibreUg);
          expect(
            Math.abs(volumeUlForDepth(pct, fibreUg, strengthPct) - volumeUl),
          ).toBeLessThanOrEqual(1);
          expect(
            Math.abs(fibreUgForVolume(volumeUl, strengthPct, pct) - fibreUg),
          ).toBeLessThanOrEqual(1);
          expect(strengthPctForDepth(pct, fibreUg, volumeUl)).toBeCloseTo(strengthPct, 9);
        },
      ),
      RUNS,
    );
  });

  test("the depths of the dyes of a mix sum to the depth of all of them", () => {
    fc.assert(
      fc.property(masses, fc.integer({ min: 1_000_000, max: 1_000_000_000 }), (dyes, fibreUg) => {
        const each = Object.values(depthsPct(dyes, fibreUg)).reduce((sum, pct) => sum + pct, 0);
        const all = depthPct(totalUg(dyes), fibreUg);
        expect(Math.abs(each - all)).toBeLessThanOrEqual(all * 1e-12);
      }),
      RUNS,
    );
  });

  test("a jug of two dyes gives each skein the depth of both", () => {
    const jug = vesselOf({ volumeUl: 40_000, dyes: { saltmarsh: 300_000, lantern: 100_000 } });
    const { drawn } = draw(jug, 20_000);
    expect(depthsPct(drawn.dyes, 50_000_000)).toEqual({ saltmarsh: 0.3, lantern: 0.1 });
    expect(depthPct(totalUg(drawn.dyes), 50_000_000)).toBe(0.4);
  });

  test("has no meaning on no fibre", () => {
    expect(() => depthPct(1, 0)).toThrow(RangeError);
    expect(() => depthPctForVolume(1, 1, 0)).toThrow(RangeError);
    expect(() => liquorRatio(1, 0)).toThrow(RangeError);
  });
});

describe("local depth", () => {
  test("drops on a twentieth of a skein lie twenty times as deep there as their average", () => {
    const average = depthPct(5_000, 50_000_000);
    expect(average).toBe(0.01);
    expect(localDepthPct(5_000, 50_000_000, 0.05)).toBeCloseTo(0.2, 12);
    expect(localDepthPct(5_000, 50_000_000, 1)).toBe(average);
  });

  test("refuses a coverage of none or of more than the whole", () => {
    expect(() => localDepthPct(1, 1, 0)).toThrow(RangeError);
    expect(() => localDepthPct(1, 1, 1.01)).toThrow(RangeError);
    expect(() => localDepthPct(1, 1, Number.NaN)).toThrow(RangeError);
  });
});

describe("liquor ratio", () => {
  test(`100 kg with 1,000 L is 1:10 (${GOODS.source})`, () => {
    expect(liquorRatio(ulFromMl(GOODS.liquorL * 1000), ugFromG(GOODS.goodsKg * 1000))).toBe(
      GOODS.ratio,
    );
  });

  test(`at 40:1, 10 g takes 400 mL (${WOOL_HAND_SCALE.source})`, () => {
    const { ratio, fibreG, bathMl } = WOOL_HAND_SCALE;
    expect(bathUlForRatio(ratio, ugFromG(fibreG))).toBe(ulFromMl(bathMl));
    expect(liquorRatio(ulFromMl(bathMl), ugFromG(fibreG))).toBe(ratio);
  });

  test(`a 5 g lab dip at 1:10 is 50 mL, of which 17.5 mL is water (${LAB_DIP.source})`, () => {
    const bathUl = bathUlForRatio(LAB_DIP.ratio, ugFromG(LAB_DIP.fibreG));
    expect(bathUl).toBe(ulFromMl(LAB_DIP.bathMl));
    const addedUl = Object.values(LAB_DIP.addedMl).reduce((sum, ml) => sum + ulFromMl(ml), 0);
    expect(bathUl - addedUl).toBe(ulFromMl(17.5));
  });
});
