import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { asNumber } from "../../shared/dye/fraction.ts";
import { refused } from "../../shared/dye/refusal.ts";
import { measureWith, type Tool } from "../../shared/dye/tool.ts";
import { totalUg } from "../../shared/dye/vessel.ts";
import { type FollowRecipe, followRecipe } from "../../shared/session/views/followRecipe.ts";
import type { OwnPart } from "../../shared/session/views/ownPour.ts";
import { isMine } from "../../shared/session/views/ownTerms.ts";
import {
  type PublicPour,
  type PublicView,
  publicView,
} from "../../shared/session/views/publicView.ts";
import { Desk } from "../scenario/desk.ts";
import { own } from "../scenario/lookOn.ts";
import { sessions, viewers } from "../takeaway/sessions.ts";

const tried = { numRuns: 1_000 };

/** Dye in an amount of a part, ug. */
function dyeUg(part: OwnPart, amount: number): number {
  return part.of === "mass" ? amount : amount * part.strengthPct * 10;
}

/** Dye that is in the measure as the tool rounds it, ug; worked from the tool alone. */
function measuredUg(part: OwnPart, tool: Tool): number {
  const exact = asNumber(part.exact);
  if (part.of === "mass") {
    const got = measureWith(tool, { massUg: exact, dye: "saltmarsh" });
    if (refused(got)) throw new Error("weighed by a tool that refuses");
    return got.massUg;
  }
  const got = measureWith(tool, { volumeUl: exact });
  if (refused(got)) throw new Error("measured by a tool that refuses");
  return dyeUg(part, got.volumeUl);
}

/** Dye in the portion of what is proposed instead, with every reading half a division out, ug. */
function insteadUg(part: OwnPart, sign: 1 | -1): number {
  if (!part.measured?.ok) throw new Error("nothing is proposed");
  const { dilution, weighed } = part.measured;
  if (dilution) {
    const half = dilution.stockUl / 10 / 2;
    const stock = (dilution.stockUl + sign * half) / dilution.stockUl;
    const portion = (dilution.wantedUl + sign * half) / dilution.wantedUl;
    return dyeUg(part, asNumber(part.exact)) * stock * portion;
  }
  if (!weighed) throw new Error("an error of nothing");
  const half = weighed.massUg / 10 / 2;
  return ((weighed.massUg + sign * half) * weighed.portionUl) / weighed.madeUl;
}

type Stretch = { fibreUg: number; share: number };

/** Fibre of each of the viewer's skeins under a pour, ug, and its share of the pour. */
function stretches(view: PublicView, { terms }: FollowRecipe, doses: PublicPour["doses"]) {
  const mine = Object.entries(doses).filter(([id]) => isMine(terms, id));
  const wanted = mine.map(([id, { dyes }]) => {
    const { fromUg, toUg } = terms.skeins[id] ?? { fromUg: 1, toUg: 1 };
    return {
      fibreUg: ((view.skeins[id]?.massUg ?? 1) * toUg) / fromUg,
      ug: (totalUg(dyes) * toUg) / fromUg,
    };
  });
  const wholeUg = wanted.reduce((sum, { ug }) => sum + ug, 0);
  return {
    wholeUg,
    each: wanted.map(({ fibreUg, ug }): Stretch => ({ fibreUg, share: ug / wholeUg })),
  };
}

/** Depth that each of them is then out by stays within what is stated, % owf. */
function expectWithin(
  each: readonly Stretch[],
  offUg: number,
  wantedUg: number,
  statedPct: number,
) {
  for (const { fibreUg, share } of each) {
    const errorPct = Math.abs((offUg * share) / fibreUg) * 100;
    // Weights of the shares and the viewer's fibre are whole ug.
    const slack = 1e-8 + errorPct * ((1.1 * each.length) / wantedUg + 1.1 / fibreUg);
    expect(errorPct).toBeLessThanOrEqual(Math.abs(statedPct) + slack);
  }
}

describe("a recipe followed with the rounding that it gives", () => {
  test("keeps the depth of every pour on every skein within the error it states", () => {
    let looked = 0;
    fc.assert(
      fc.property(sessions, viewers, (view, viewer) => {
        const recipe = followRecipe(view, viewer);
        for (const step of [...(recipe.now ? [recipe.now] : []), ...recipe.coming]) {
          if (step.kind !== "pour" || !step.own.mine || viewer.tool === null) continue;
          const { wholeUg, each } = stretches(view, recipe, step.pour.doses);
          if (wholeUg < 100) continue;
          for (const part of step.own.parts) {
            if (!part.measured?.ok) continue;
            const wantedUg = dyeUg(part, asNumber(part.exact));
            const offUg = measuredUg(part, viewer.tool) - wantedUg;
            expectWithin(each, offUg, wholeUg, part.measured.errorPct);
            looked += 1;
          }
        }
      }),
      tried,
    );
    expect(looked).toBeGreaterThan(1_000);
  });

  test("that is too coarse keeps it within the error of what it proposes instead", () => {
    let looked = 0;
    fc.assert(
      fc.property(sessions, viewers, fc.constantFrom<1 | -1>(1, -1), (view, viewer, sign) => {
        const recipe = followRecipe(view, viewer);
        for (const step of recipe.coming) {
          if (step.kind !== "pour" || !step.own.mine) continue;
          const { wholeUg, each } = stretches(view, recipe, step.pour.doses);
          if (wholeUg < 100) continue;
          for (const part of step.own.parts) {
            if (!part.measured?.ok || part.measured.insteadErrorPct === undefined) continue;
            const offUg = insteadUg(part, sign) - dyeUg(part, asNumber(part.exact));
            expectWithin(each, offUg, wholeUg, part.measured.insteadErrorPct);
            looked += 1;
          }
        }
      }),
      // Few amounts are too little for the tool at hand.
      { numRuns: 5_000 },
    );
    expect(looked).toBeGreaterThan(100);
  });
});

describe("one colourway alone", () => {
  const view = publicView(new Desk().state);
  const ebb = followRecipe(view, {
    ...own({}),
    fibre: { of: "colourway", colourway: "Ebb", massUg: 37_000_000 },
  });

  test("gets its own share of a pour over two skeins, for its own grams", () => {
    // By hand: 37.5 mL of 1 % over skeins 3 and 4 of 50 g is 18.75 mL on skein 4; on 37 g 13.875 mL.
    const pour = ebb.coming.find((step) => step.kind === "pour" && step.nth === 8);
    expect(pour?.kind === "pour" && pour.own.parts[0]?.amount).toBe(13_875);
    expect(pour?.kind === "pour" && pour.depths.map(({ skein }) => skein)).toEqual(["4"]);
  });

  test("takes nothing of the pours, baths and heat of the others", () => {
    const first = ebb.coming.find((step) => step.kind === "pour");
    expect(first?.kind === "pour" && first.own).toMatchObject({ mine: false, parts: [] });
    expect(ebb.now).toMatchObject({ kind: "add", mine: false });
    expect(ebb.water.map(({ pan }) => pan)).toEqual(["B"]);
    // 37 g in a pan that held 100 g: 37 / 100 of 1,500 mL and of 3,000 mL.
    expect(ebb.water[0]).toMatchObject({ volumeUl: 555_000, capacityUl: 1_110_000 });
  });

  test("that is not there leaves the session's own amounts", () => {
    const gone = followRecipe(view, {
      ...own({}),
      fibre: { of: "colourway", colourway: "Nowhere", massUg: 37_000_000 },
    });
    expect(gone.needs).toEqual(followRecipe(view, own({})).needs);
  });
});

describe("powder only", () => {
  test("weighs the dye of every pour, and says how to make up what is too little", () => {
    const view = publicView(new Desk().state);
    const tool = { kind: "scale", capacityUg: 1_000_000_000, divisionUg: 100_000 } as const;
    const recipe = followRecipe(view, { ...own({ skeinG: 37 }), powder: true, tool });
    const first = recipe.coming.find((step) => step.kind === "pour");
    const part = first?.kind === "pour" ? first.own.parts[0] : undefined;
    // 40 mL of 1 % on 2 x 50 g is 400 mg; on 2 x 37 g 296 mg, on a scale of 0.1 g 300 mg.
    expect(part).toMatchObject({ of: "mass", title: "Lantern powder", amount: 296_000 });
    expect(part?.measured).toMatchObject({ ok: true, say: "300\u202fmg", tooCoarse: true });
    expect(part?.measured?.ok && part.measured.instead).toBe(
      "Weigh 1\u202fg into water made up to 100\u202fmL, which is 1\u202f%, and measure 29.6\u202fmL of that.",
    );
  });
});
