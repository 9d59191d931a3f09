import { type Fraction, fractionOf, over, rounded, times } from "./fraction.ts";
import type { DyeMasses } from "./vessel.ts";

/** A pour of the recipe: dye offered, ug per dye, to so much dry fibre, ug (above 0). */
export type RecipePour = { dyes: DyeMasses; fibreUg: number };
export type Recipe = { pours: readonly RecipePour[] };

/**
 * What a viewer has: dry fibre that stands for each pour's, ug (above 0), and the strength of their
 * stock of each dye, % w/v (above 0, taken as the decimal that was typed).
 */
export type Own = { fibreUg: number; strengthPct: Readonly<Record<string, number>> };

/** One dye of a scaled pour, exactly: ug of dye, and uL of the viewer's own stock. */
export type ScaledDye = { massUg: Fraction; volumeUl: Fraction };
export type ScaledPour = { dyes: Readonly<Record<string, ScaledDye>>; recipeFibreUg: number };
export type ScaledView = { pours: readonly ScaledPour[]; own: Own };

/**
 * A recipe as it is for somebody else's yarn and stocks: the depth of every pour is kept. Nothing
 * is rounded and nothing is stored; round once where it is shown, with `ulOf` or `ugOf`.
 *
 * @throws RangeError when a fibre weight or strength is not above 0, or a dye has no strength
 */
export function scaled(recipe: Recipe, own: Own): ScaledView {
  const pours = recipe.pours.map((pour) => {
    const factor = over(weight(own.fibreUg), weight(pour.fibreUg));
    const dyes = Object.entries(pour.dyes).map(([dye, ug]) => {
      const massUg = times(fractionOf(ug), factor);
      return [dye, { massUg, volumeUl: over(massUg, ugPerUl(own, dye)) }] as const;
    });
    return { dyes: Object.fromEntries(dyes), recipeFibreUg: pour.fibreUg };
  });
  return { pours, own };
}

/** The recipe that a scaled view came from, worked back from its volumes alone. */
export function scaledBack({ pours, own }: ScaledView): Recipe {
  return {
    pours: pours.map(({ dyes, recipeFibreUg }) => {
      const factor = over(weight(recipeFibreUg), weight(own.fibreUg));
      const masses = Object.entries(dyes).map(([dye, { volumeUl }]) => {
        const ownUg = times(volumeUl, ugPerUl(own, dye));
        return [dye, rounded(times(ownUg, factor))] as const;
      });
      return { dyes: Object.fromEntries(masses), fibreUg: recipeFibreUg };
    }),
  };
}

/** The volume of a scaled dye, uL, rounded once, a half going up. */
export function ulOf(dye: ScaledDye): number {
  return rounded(dye.volumeUl);
}

/** The mass of a scaled dye, ug, rounded once, a half going up. */
export function ugOf(dye: ScaledDye): number {
  return rounded(dye.massUg);
}

function ugPerUl(own: Own, dye: string): Fraction {
  const pct = Object.hasOwn(own.strengthPct, dye) ? own.strengthPct[dye] : undefined;
  if (pct === undefined || !(pct > 0)) throw new RangeError(`no strength above 0 % for ${dye}`);
  return times(fractionOf(pct), fractionOf(10));
}

function weight(fibreUg: number): Fraction {
  if (!(fibreUg > 0)) throw new RangeError(`fibreUg must be above 0: ${fibreUg}`);
  return fractionOf(fibreUg);
}
