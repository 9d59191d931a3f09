import fc from "fast-check";
import { showStrength } from "../../shared/dye/display.ts";
import { shareOut } from "../../shared/dye/shareOut.ts";
import { massUgFor } from "../../shared/dye/strength.ts";
import { ugFromG, ulFromMl } from "../../shared/dye/units.ts";
import type { Own } from "../../shared/session/views/ownTerms.ts";
import { asInSession } from "../../shared/session/views/ownTerms.ts";
import type { PublicView } from "../../shared/session/views/publicView.ts";
import { decimals } from "../dye/arbitrary.ts";
import { lookOn } from "../scenario/lookOn.ts";

const from = (least: number, numbers: fc.Arbitrary<number>) =>
  numbers.filter((number) => number >= least);

const ids = ["s0", "s1", "s2", "s3"];

/** One session that all others are made from, for its predicted colours take long to work out. */
const template = lookOn({
  skeins: ids.map((id) => ({ id, g: 50 })),
  pours: ids.map(() => ({ mL: 10, strengthPct: 1, skeins: ids })),
});

const sessionsWith = (powders: fc.Arbitrary<number | null>): fc.Arbitrary<PublicView> =>
  fc
    .record({
      skeins: fc.array(
        fc.record({ g: from(1, decimals(300, 1)), colourway: fc.constantFrom("Ebb", "Dawn") }),
        { minLength: 1, maxLength: 4 },
      ),
      pours: fc.array(
        fc.record({
          mL: from(0.05, decimals(400, 2)),
          strengthPct: from(0.05, decimals(25, 2)),
          powderG: powders,
          parts: fc.array(fc.integer({ min: 1, max: 9 }), { minLength: 1, maxLength: 4 }),
        }),
        { minLength: 1, maxLength: 4 },
      ),
    })
    .map(({ skeins, pours }) => {
      const view = structuredClone(template);
      for (const at of ids.keys()) if (at >= skeins.length) delete view.skeins[`s${at}`];
      skeins.forEach(({ g, colourway }, at) => {
        Object.assign(view.skeins[`s${at}`] ?? {}, { massUg: ugFromG(g), colourway });
      });
      for (const [id, step] of Object.entries(view.steps)) {
        const pour = pours[step.n - 1];
        if (step.kind !== "pour" || pour === undefined) {
          delete view.steps[id];
          continue;
        }
        const weights = pour.parts.slice(0, skeins.length);
        const volumeUl = ulFromMl(pour.mL);
        const dyeUg =
          pour.powderG === null ? massUgFor(pour.strengthPct, volumeUl) : ugFromG(pour.powderG);
        const shares = shareOut(dyeUg, weights);
        step.pour.doses = Object.fromEntries(
          weights.map((_, at) => [
            `s${at}`,
            { dyes: { saltmarsh: shares[at] ?? 0 }, beforePct: 0, afterPct: 0, localPct: 0 },
          ]),
        );
        if (pour.powderG === null) {
          const vessel = view.vessels[`bottle${step.n}`];
          if (vessel === undefined) throw new Error("the bottle is gone");
          vessel.strengthPct = pour.strengthPct;
          vessel.strengths = { saltmarsh: pour.strengthPct };
          vessel.title = step.pour.title = `Saltmarsh ${showStrength(pour.strengthPct)}`;
          step.pour.volumeUl = volumeUl;
        } else {
          const { volumeUl: _, ...bare } = step.pour;
          const source = { from: "powder" as const, dye: "saltmarsh" };
          step.pour = { ...bare, source, title: "Saltmarsh powder", massUg: dyeUg };
        }
      }
      return view;
    });

/** Sessions of a few skeins in colourways, with pours of stock in uneven parts. */
export const stockSessions = sessionsWith(fc.constant(null));

/** The same, with pours of powder among them. */
export const sessions = sessionsWith(fc.option(from(0.05, decimals(5, 2)), { freq: 4 }));

const grams = from(1, decimals(2000, 2)).map((g) => Math.round(g * 1_000_000));

/** Viewers: yarn by the skein, the colourway or the set, own stocks or powder only, and a tool. */
export const viewers: fc.Arbitrary<Own> = fc
  .record({
    massUg: grams,
    of: fc.constantFrom("skein" as const, "set" as const, "colourway" as const),
    pct: from(0.05, decimals(25, 2)),
    powder: fc.boolean(),
    tool: fc.constantFrom(
      { kind: "syringe" as const, capacityUl: 10_000, divisionUl: 500 },
      { kind: "cylinder" as const, capacityUl: 100_000, divisionUl: 1_000 },
      { kind: "scale" as const, capacityUg: 200_000_000, divisionUg: 10_000 },
      { kind: "scale" as const, capacityUg: 1_000_000_000, divisionUg: 100_000 },
    ),
  })
  .map(({ massUg, of, pct, powder, tool }) => ({
    ...asInSession,
    fibre: of === "colourway" ? { of, colourway: "Ebb", massUg } : { of, massUg },
    dyePct: { saltmarsh: pct },
    powder,
    tool,
  }));
