import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { fractionOf, over, times } from "../../shared/dye/fraction.ts";
import { scaled, scaledBack, ugOf, ulOf } from "../../shared/dye/scale.ts";
import { ugFromG, ulFromMl } from "../../shared/dye/units.ts";
import { STOCK_FOR_DEPTH } from "../reference/amounts.ts";
import { decimals, dyeIds, masses, RUNS } from "./arbitrary.ts";

const strengths = fc
  .tuple(...dyeIds.map(() => decimals(25, 3)))
  .map(
    (list): Record<string, number> =>
      Object.fromEntries(dyeIds.map((dye, at) => [dye, list[at] ?? 1])),
  );
const fibres = fc.integer({ min: 1, max: 2_000_000_000 });
const recipes = fc.record({
  pours: fc.array(fc.record({ dyes: masses, fibreUg: fibres }), { maxLength: 6 }),
});

describe("a scaled view", () => {
  test("gives 75 mL of a 0.5 % stock on 100 g where the recipe has 18.75 mL of 1 % on 50 g", () => {
    const recipe = { pours: [{ dyes: { saltmarsh: 187_500 }, fibreUg: 50_000_000 }] };
    const own = { fibreUg: 100_000_000, strengthPct: { saltmarsh: 0.5 } };
    const dye = scaled(recipe, own).pours[0]?.dyes.saltmarsh;
    if (dye === undefined) throw new Error("the dye is gone");
    expect(ulOf(dye)).toBe(75_000);
    expect(ugOf(dye)).toBe(375_000);
  });

  test("onto the published lab samples gives the published volumes", () => {
    for (const row of STOCK_FOR_DEPTH) {
      const dyes = { dye: (ugFromG(100) * row.depthPct) / 100 };
      const recipe = { pours: [{ dyes, fibreUg: ugFromG(100) }] };
      const own = { fibreUg: ugFromG(row.fibreG), strengthPct: { dye: row.strengthPct } };
      const dye = scaled(recipe, own).pours[0]?.dyes.dye;
      expect(dye && ulOf(dye), row.source).toBe(ulFromMl(row.ml));
    }
  });

  test("scaled back is the recipe, to the ug, whatever the weights and strengths", () => {
    fc.assert(
      fc.property(recipes, fibres, strengths, (recipe, fibreUg, strengthPct) => {
        expect(scaledBack(scaled(recipe, { fibreUg, strengthPct }))).toEqual(recipe);
      }),
      RUNS,
    );
  });

  test("keeps the depth of every pour exactly, in mass and in the viewer's own volume", () => {
    fc.assert(
      fc.property(recipes, fibres, strengths, (recipe, fibreUg, strengthPct) => {
        const view = scaled(recipe, { fibreUg, strengthPct });
        recipe.pours.forEach((pour, at) => {
          expect(Object.keys(view.pours[at]?.dyes ?? {})).toEqual(Object.keys(pour.dyes));
          for (const [dye, { massUg, volumeUl }] of Object.entries(view.pours[at]?.dyes ?? {})) {
            const depth = over(fractionOf(pour.dyes[dye] ?? Number.NaN), fractionOf(pour.fibreUg));
            expect(over(massUg, fractionOf(fibreUg))).toEqual(depth);
            const ugPerUl = times(fractionOf(strengthPct[dye] ?? Number.NaN), fractionOf(10));
            expect(times(volumeUl, ugPerUl)).toEqual(massUg);
          }
        });
      }),
      RUNS,
    );
  });

  test("through one set of terms and then another is the same as through the last alone", () => {
    fc.assert(
      fc.property(recipes, fibres, fibres, strengths, (recipe, first, second, strengthPct) => {
        const there = scaledBack(scaled(recipe, { fibreUg: first, strengthPct }));
        expect(scaled(there, { fibreUg: second, strengthPct })).toEqual(
          scaled(recipe, { fibreUg: second, strengthPct }),
        );
      }),
      RUNS,
    );
  });

  test("needs a strength for each dye, and fibre", () => {
    const recipe = { pours: [{ dyes: { constructor: 5 }, fibreUg: 5 }] };
    expect(() => scaled(recipe, { fibreUg: 5, strengthPct: {} })).toThrow(RangeError);
    expect(() =>
      scaled({ pours: [{ dyes: { a: 1 }, fibreUg: 5 }] }, { fibreUg: 5, strengthPct: { a: 0 } }),
    ).toThrow(RangeError);
    expect(() =>
      scaled({ pours: [{ dyes: {}, fibreUg: 5 }] }, { fibreUg: 0, strengthPct: {} }),
    ).toThrow(RangeError);
  });
});
