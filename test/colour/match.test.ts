import { describe, expect, test } from "vitest";
import { difference } from "../../shared/colour/difference.ts";
import { match, type ShelfDye } from "../../shared/colour/match.ts";
import { predict } from "../../shared/colour/predict.ts";
import { Trial } from "../../shared/colour/trial.ts";
import { shelfOf, targetOf } from "../bench/colour/shelf.ts";
import { chance } from "../record/chance.ts";
import { dyeOf, dyes, typed, wool, woolHex } from "../scenario/shelf.ts";

const means = { fibreUg: 50_000_000, strengthPct: 1, divisionUl: 100, dilute: true };
const shelf: readonly ShelfDye[] = Object.entries(dyes).map(([id, dye]) => ({
  id,
  dye,
  limitPct: 4,
  means,
}));

describe("matching a target", () => {
  test("finds a recipe again, and predicts its colour", () => {
    const target = predict(wool, [
      { dye: dyes.lantern, depthPct: 0.4 },
      { dye: dyes.saltmarsh, depthPct: 0.3 },
    ]).lab;
    const { recipes, reached } = match(wool, target, shelf);
    const [best] = recipes;
    expect(reached).toBe(true);
    expect(best?.doses.map(({ id }) => id)).toEqual(["lantern", "saltmarsh"]);
    expect(best?.doses[0]?.exactPct).toBeCloseTo(0.4, 3);
    expect(best?.doses[1]?.exactPct).toBeCloseTo(0.3, 3);
    expect(best?.exactDifference).toBeLessThan(1e-3);
    expect(difference(best?.predicted.lab ?? wool.lab, target)).toBeCloseTo(
      best?.difference ?? 9,
      6,
    );
  });

  test("gives at most five recipes, the best first, no two of the same dyes", () => {
    const { recipes } = match(wool, { l: 45, a: 5, b: 5 }, shelf);
    expect(recipes.length).toBeGreaterThan(1);
    expect(recipes.length).toBeLessThanOrEqual(5);
    const sets = recipes.map(({ doses }) => doses.map(({ id }) => id).join("+"));
    expect(new Set(sets).size).toBe(sets.length);
    const near = recipes.map((recipe) => Math.floor(recipe.difference / 0.25));
    expect(near).toEqual([...near].sort((a, b) => a - b));
  });

  test("gives recipes that truly differ: by a dye that shows where it is left out", () => {
    const { recipes } = match(wool, { l: 45, a: 5, b: 5 }, shelf);
    const colourOf = (doses: readonly { id: string; depthPct: number }[]) =>
      predict(
        wool,
        doses.map(({ id, depthPct }) => ({ dye: dyes[id as keyof typeof dyes], depthPct })),
      ).lab;
    const shown = recipes.map(({ doses }) => {
      const whole = colourOf(doses);
      return doses
        .filter((dose) => difference(whole, colourOf(doses.filter((one) => one !== dose))) >= 1)
        .map(({ id }) => id);
    });
    const all = recipes.map(({ doses }) => doses.map(({ id }) => id));
    let pairs = 0;
    for (const [n, a] of all.entries()) {
      for (const [m, b] of all.entries()) {
        if (m <= n) continue;
        pairs++;
        const own = shown[n]?.filter((id) => !b.includes(id)) ?? [];
        const others = shown[m]?.filter((id) => !a.includes(id)) ?? [];
        expect([...own, ...others]).not.toEqual([]);
      }
    }
    expect(pairs).toBeGreaterThan(0);
  });

  test("doses whole marks of the syringe, of the stock or of a dilution, and within its limit", () => {
    const { recipes } = match(wool, { l: 70, a: 4, b: 20 }, shelf);
    const doses = recipes.flatMap((recipe) => recipe.doses);
    expect(doses.length).toBeGreaterThan(0);
    for (const { measured, depthPct } of doses) {
      expect((measured?.volumeUl ?? 1) % means.divisionUl).toBe(0);
      const stockUg = ((measured?.volumeUl ?? 0) * 10) / (measured?.factor ?? 1);
      expect((100 * stockUg) / means.fibreUg).toBeCloseTo(depthPct, 9);
      expect(depthPct).toBeLessThanOrEqual(4);
    }
  });

  test("keeps to the limit of each dye and says that nothing comes nearer", () => {
    const low = shelf.map((entry) => ({ ...entry, limitPct: 0.1 }));
    const { recipes, reached, say } = match(wool, { l: 20, a: 0, b: 0 }, low);
    expect(reached).toBe(false);
    expect(say).toMatch(/^Nothing on your shelf comes nearer than/);
    for (const { doses } of recipes) {
      for (const { depthPct } of doses) expect(depthPct).toBeLessThanOrEqual(0.1 + 1e-12);
    }
  });

  test("says so of a colour that no dye can give", () => {
    expect(match(wool, { l: 60, a: 90, b: -60 }, shelf).say).toMatch(/^Nothing on your shelf/);
    expect(match(wool, { l: 98, a: 0, b: 0 }, shelf).reached).toBe(false);
  });

  test("says that the yarn has the colour as it is, and that there is no dye", () => {
    expect(match(wool, wool.lab, []).say).toMatch(/^The yarn has this colour/);
    expect(match(wool, { l: 30, a: 0, b: 0 }, []).say).toMatch(/^There is no dye/);
  });

  test("uses a dye that flattens as it flattens", () => {
    const bending = dyeOf(
      { depthPct: 0.5, seen: typed("#7fa5b3"), yarn: typed(woolHex) },
      { depthPct: 2, seen: typed("#4b7d92"), yarn: typed(woolHex) },
    );
    const entry = { id: "bending", dye: bending, limitPct: 4 };
    const target = predict(wool, [{ dye: bending, depthPct: 1.7 }]).lab;
    const [best] = match(wool, target, [entry]).recipes;
    expect(best?.doses[0]?.depthPct).toBeCloseTo(1.7, 3);
  });

  test("finds 99 of 100 targets of known recipes on a shelf of 40 within 0.5", () => {
    const { yarn, shelf: forty } = shelfOf(71, 40);
    const random = chance(72);
    let within = 0;
    for (let n = 0; n < 100; n++) {
      const { recipes } = match(yarn, targetOf(yarn, forty, random), forty);
      if (recipes.some(({ exactDifference }) => exactDifference <= 0.5)) within++;
    }
    expect(within).toBeGreaterThanOrEqual(99);
  });

  test("refuses more than 40 dyes", () => {
    const many = Array.from({ length: 41 }, () => shelf[0] as ShelfDye);
    expect(() => match(wool, { l: 50, a: 0, b: 0 }, many)).toThrow(RangeError);
  });
});

describe("a trial", () => {
  const target = { l: 45, a: 10, b: 20 };
  const trial = new Trial(wool, target, shelf);

  test("sees the difference that prediction sees", () => {
    const doses = [0.3, 0.1, 0.05];
    const predicted = predict(wool, [
      { dye: dyes.lantern, depthPct: 0.3 },
      { dye: dyes.slipway, depthPct: 0.1 },
      { dye: dyes.saltmarsh, depthPct: 0.05 },
    ]);
    expect(trial.difference([0, 1, 2], doses)).toBeCloseTo(difference(target, predicted.lab), 9);
  });

  test("settles where no small change of any dose comes nearer", () => {
    for (const set of [[0], [1], [0, 4], [1, 2], [3, 4, 5]]) {
      const doses = Float64Array.from(set, () => 0.2);
      const near = trial.settle(set, doses);
      for (let i = 0; i < set.length; i++) {
        for (const by of [0.999, 1.001]) {
          const moved = Float64Array.from(doses);
          moved[i] = Math.min(4, (moved[i] ?? 0) * by);
          expect(trial.difference(set, moved)).toBeGreaterThan(near - 1e-5);
        }
      }
    }
  });
});
