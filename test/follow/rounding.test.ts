import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { asNumber } from "../../shared/dye/fraction.ts";
import { refused } from "../../shared/dye/refusal.ts";
import { measureWith, type Tool } from "../../shared/dye/tool.ts";
import { totalUg } from "../../shared/dye/vessel.ts";
import { followRecipe } from "../../shared/session/views/followRecipe.ts";
import type { OwnPart } from "../../shared/session/views/ownPour.ts";
import { isMine } from "../../shared/session/views/ownTerms.ts";
import { publicView } from "../../shared/session/views/publicView.ts";
import { Desk } from "../scenario/desk.ts";
import { own } from "../scenario/lookOn.ts";
import { sessions, viewers } from "../takeaway/sessions.ts";

const tried = { numRuns: 1_000 };

/** Dye that is in the measure as the tool rounds it, ug; worked from the tool alone. */
function dyeMeasuredUg(part: OwnPart, tool: Tool): number | null {
  if (part.of === "mass") {
    const got = measureWith(tool, { massUg: asNumber(part.exact), dye: "saltmarsh" });
    return refused(got) ? null : got.massUg;
  }
  const got = measureWith(tool, { volumeUl: asNumber(part.exact) });
  return refused(got) ? null : got.volumeUl * part.strengthPct * 10;
}

describe("a recipe followed with the rounding that it gives", () => {
  test("keeps the depth of every pour on every skein within the error it states", () => {
    fc.assert(
      fc.property(sessions, viewers, (view, viewer) => {
        const recipe = followRecipe(view, viewer);
        for (const step of [...(recipe.now ? [recipe.now] : []), ...recipe.coming]) {
          if (step.kind !== "pour" || !step.own.mine || viewer.tool === null) continue;
          const [part] = step.own.parts;
          if (!part?.measured?.ok) continue;
          const gotUg = dyeMeasuredUg(part, viewer.tool);
          if (gotUg === null) throw new Error("measured by a tool that refuses");
          const mine = Object.entries(step.pour.doses).filter(([id]) => isMine(recipe.terms, id));
          // What each skein should get, of the viewer's own fibre at the session's depth.
          const wanted = mine.map(([id, { dyes }]) => {
            const { fromUg, toUg } = recipe.terms.skeins[id] ?? { fromUg: 1, toUg: 1 };
            const fibreUg = ((view.skeins[id]?.massUg ?? 1) * toUg) / fromUg;
            return { fibreUg, ug: (totalUg(dyes) * toUg) / fromUg };
          });
          const wantedUg = wanted.reduce((sum, { ug }) => sum + ug, 0);
          if (wantedUg < 100) continue;
          for (const { fibreUg, ug } of wanted) {
            const errorPct = Math.abs((((gotUg - wantedUg) * ug) / wantedUg / fibreUg) * 100);
            // Weights of the shares and the viewer's fibre are whole ug.
            const slack = 1e-9 + errorPct * ((1.1 * wanted.length) / wantedUg + 1.1 / fibreUg);
            expect(errorPct).toBeLessThanOrEqual(Math.abs(part.measured.errorPct) + slack);
          }
        }
      }),
      tried,
    );
  });

  test("that is too coarse keeps it within the error of the dilution it proposes", () => {
    fc.assert(
      fc.property(sessions, viewers, fc.boolean(), (view, viewer, tooMuch) => {
        for (const step of followRecipe(view, viewer).coming) {
          if (step.kind !== "pour") continue;
          for (const { exact, measured } of step.own.parts) {
            if (!measured?.ok || measured.insteadErrorPct === undefined) continue;
            const sign = tooMuch ? 1 : -1;
            const { dilution, weighed } = measured;
            const wanted = asNumber(exact);
            let share: number;
            if (dilution) {
              // Stock and portion, each read half a division out, the same way.
              const half = dilution.stockUl / 10 / 2;
              const stock = (dilution.stockUl + sign * half) / dilution.stockUl;
              share = (stock * (dilution.wantedUl + sign * half)) / dilution.wantedUl - 1;
            } else if (weighed) {
              const half = weighed.massUg / 10 / 2;
              const inPortion =
                ((weighed.massUg + sign * half) * weighed.portionUl) / weighed.madeUl;
              share = inPortion / wanted - 1;
            } else {
              throw new Error("an error of nothing");
            }
            const stated = measured.insteadErrorPct;
            const onePct = Math.abs(measured.errorPct);
            // Both are per cents of fibre on the same skein: told apart by the share of the amount.
            const perShare = stated / (dilution ? dilution.worstShare : 1.05 * 1.005 - 1);
            expect(Math.abs(share) * perShare).toBeLessThanOrEqual(stated * (1 + 1e-9) + 1e-12);
            expect(onePct).toBeGreaterThanOrEqual(0);
          }
        }
      }),
      tried,
    );
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
