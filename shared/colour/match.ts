import { difference } from "./difference.ts";
import { dosesAround, type Means, type MeasuredDose } from "./measure.ts";
import { type Prediction, predict } from "./predict.ts";
import type { Yarn } from "./seen.ts";
import type { Dye } from "./swatch.ts";
import type { Lab } from "./tone.ts";
import { MOST_DYES, Trial } from "./trial.ts";

/** A dye on the shelf, as it may be used. */
export type ShelfDye = {
  readonly id: string;
  readonly dye: Dye;
  /** Deepest that it may be dyed, % owf, above 0. */
  readonly limitPct: number;
  /** How it is measured; without it doses are not rounded. */
  readonly means?: Means;
};

export type RecipeDose = {
  readonly id: string;
  /** % owf, as it can be measured. */
  readonly depthPct: number;
  /** % owf that would be right. */
  readonly exactPct: number;
  readonly measured?: MeasuredDose;
};

export type Recipe = {
  readonly doses: readonly RecipeDose[];
  readonly predicted: Prediction;
  /** CIEDE2000 from the target with doses as they can be measured, and with exact ones. */
  readonly difference: number;
  readonly exactDifference: number;
  /** How far the colour moves when each dose is 5 % out, CIEDE2000: less forgives more. */
  readonly restless: number;
};

export type Match = {
  /** The best that truly differ, the best first. */
  readonly recipes: readonly Recipe[];
  /** True when the best comes so near that the eye sees no difference. */
  readonly reached: boolean;
  readonly say: string;
};

/** The most dyes that are tried, and the most recipes that are given. */
export const MOST_ON_SHELF = 40;
const MOST_RECIPES = 5;

/** Up to this, CIEDE2000, a recipe is as good as one that hits: less is not seen side by side. */
const SEEN = 1;

/** Two recipes this near to each other in CIEDE2000 from the target are equally good. */
const ALIKE = 0.25;

/** A dye that moves the colour by less is no part of what tells two recipes apart, CIEDE2000. */
const TELLING = 2;

/**
 * A third dye whose dose comes out this far below nothing, in CIEDE2000 that it would move, where
 * the colour is taken to move straight, has no place in the recipe: its best is without it, and the
 * pairs are all tried.
 */
const HOPELESS = 3;

/** How many recipes are rounded and held against each other. */
const MOST_HELD = 160;

type Found = { dyes: readonly number[]; doses: Float64Array; difference: number };

/**
 * The recipes of up to three dyes that come nearest to a target on a yarn: every dye, pair and triple
 * of the shelf is tried, doses are settled on CIEDE2000 and rounded to what can be measured. Of
 * recipes equally near, fewer dyes come first, then the one that forgives a slip best.
 *
 * @param shelf up to 40 dyes
 * @throws RangeError for more dyes than that
 */
export function match(yarn: Yarn, target: Lab, shelf: readonly ShelfDye[]): Match {
  if (shelf.length > MOST_ON_SHELF) throw new RangeError(`at most ${MOST_ON_SHELF} dyes`);
  const trial = new Trial(yarn, target, shelf);
  const held = search(trial, shelf.length);
  const candidates = held.map((found) => rounded(trial, found, shelf));
  candidates.sort(byWorth);
  const kept: Candidate[] = [];
  for (const candidate of candidates) {
    if (kept.length === MOST_RECIPES) break;
    if (kept.every((better) => isOther(trial, better, candidate))) kept.push(candidate);
  }
  const recipes = kept.map((candidate) => recipeOf(yarn, shelf, candidate));
  const [best] = recipes;
  const bare = difference(yarn.lab, target);
  if (!best || (bare <= best.difference && bare <= SEEN)) {
    return { recipes, reached: bare <= SEEN, say: sayNone(bare) };
  }
  const reached = best.difference <= SEEN;
  return { recipes, reached, say: reached ? sayReached(best) : sayNearest(best) };
}

/** The nearest that each dye, pair and triple comes, the best of them, nearest first. */
export function search(trial: Trial, count: number): Found[] {
  const found: Found[] = [];
  const start = new Float64Array(MOST_DYES);
  const keep = (dyes: readonly number[], near: number) => {
    found.push({ dyes: [...dyes], doses: start.slice(0, dyes.length), difference: near });
  };
  const one = [0];
  const two = [0, 0];
  const three = [0, 0, 0];
  for (let i = 0; i < count; i++) {
    one[0] = i;
    two[0] = i;
    three[0] = i;
    if (!trial.start(one, start)) start[0] = 0;
    keep(one, trial.settle(one, start));
    for (let j = i + 1; j < count; j++) {
      two[1] = j;
      three[1] = j;
      if (trial.start(two, start)) keep(two, trial.settle(two, start));
      for (let k = j + 1; k < count; k++) {
        three[2] = k;
        if (!trial.start(three, start) || isHopeless(trial, three, start)) continue;
        const near = trial.settle(three, start, true);
        if ((start[0] as number) > 0 && (start[1] as number) > 0 && (start[2] as number) > 0) {
          keep(three, near);
        }
      }
    }
  }
  found.sort((a, b) => a.difference - b.difference);
  return found.slice(0, MOST_HELD);
}

function isHopeless(trial: Trial, dyes: readonly number[], doses: Float64Array): boolean {
  for (let i = 0; i < dyes.length; i++) {
    const dose = doses[i] as number;
    if (dose < 0 && trial.weight(dyes[i] as number, dose) < -HOPELESS) return true;
  }
  return false;
}

type Candidate = {
  dyes: readonly number[];
  exact: Float64Array;
  doses: readonly number[];
  measured: readonly (MeasuredDose | undefined)[];
  difference: number;
  exactDifference: number;
  restless: number;
};

/** The best of the measurable doses around exact ones: each a mark below or above. */
function rounded(
  trial: Trial,
  { dyes, doses, difference: near }: Found,
  shelf: readonly ShelfDye[],
): Candidate {
  type Choice = { depthPct: number; measured: MeasuredDose | undefined };
  const choices = dyes.map((dye, i): Choice[] => {
    const exactPct = doses[i] as number;
    const entry = shelf[dye];
    const around = entry?.means ? dosesAround(exactPct, entry.means) : [];
    const within = around.filter(({ depthPct }) => depthPct <= (entry?.limitPct ?? 0) + 1e-12);
    return within.length > 0
      ? within.map((measured) => ({ depthPct: measured.depthPct, measured }))
      : [{ depthPct: exactPct, measured: undefined }];
  });
  let best: { picked: Choice[]; square: number } | undefined;
  for (const picked of combinations(choices)) {
    const square = trial.squared(
      dyes,
      picked.map(({ depthPct }) => depthPct),
    );
    if (!best || square < best.square) best = { picked, square };
  }
  const picked = best?.picked ?? [];
  return {
    dyes,
    exact: doses,
    doses: picked.map(({ depthPct }) => depthPct),
    measured: picked.map(({ measured }) => measured),
    difference: Math.sqrt(best?.square ?? near * near),
    exactDifference: near,
    restless: Math.hypot(...dyes.map((dye, i) => 0.05 * trial.weight(dye, doses[i] as number))),
  };
}

function combinations<T>(choices: readonly T[][]): T[][] {
  return choices.reduce<T[][]>(
    (all, options) => all.flatMap((before) => options.map((option) => [...before, option])),
    [[]],
  );
}

/** Nearer first, in steps that can just matter; then fewer dyes; then the one that forgives more. */
function byWorth(a: Candidate, b: Candidate): number {
  const steps = Math.floor(a.difference / ALIKE) - Math.floor(b.difference / ALIKE);
  return (
    steps || a.dyes.length - b.dyes.length || a.restless - b.restless || a.difference - b.difference
  );
}

/** True when two recipes differ by a dye that shows, not only by a trace. */
function isOther(trial: Trial, better: Candidate, other: Candidate): boolean {
  const extra = other.dyes.filter((dye) => !better.dyes.includes(dye));
  const left = better.dyes.filter((dye) => !other.dyes.includes(dye));
  const shows = (from: Candidate, dye: number) =>
    trial.weight(dye, from.doses[from.dyes.indexOf(dye)] ?? 0) >= TELLING;
  // A dye more, where the recipe without it was as good, tells nothing new.
  if (left.length === 0) return false;
  return extra.some((dye) => shows(other, dye)) || left.some((dye) => shows(better, dye));
}

function recipeOf(yarn: Yarn, shelf: readonly ShelfDye[], candidate: Candidate): Recipe {
  const doses = candidate.dyes.flatMap((dye, i) => {
    const entry = shelf[dye];
    const depthPct = candidate.doses[i] ?? 0;
    const measured = candidate.measured[i];
    return entry && depthPct > 0
      ? [
          {
            id: entry.id,
            dye: entry.dye,
            depthPct,
            exactPct: candidate.exact[i] ?? 0,
            ...(measured ? { measured } : {}),
          },
        ]
      : [];
  });
  return {
    doses: doses.map(({ dye: _, ...dose }) => dose),
    predicted: predict(yarn, doses),
    difference: candidate.difference,
    exactDifference: candidate.exactDifference,
    restless: candidate.restless,
  };
}

function sayNone(bare: number): string {
  return bare <= SEEN
    ? "The yarn has this colour as it is: no dye brings it nearer."
    : "There is no dye on your shelf to come nearer with.";
}

function sayReached({ difference: near }: Recipe): string {
  return `The best is ${near.toFixed(1)} CIEDE2000 away: predicted to look the same.`;
}

function sayNearest({ difference: near }: Recipe): string {
  const much = near < 3 ? "a difference seen side by side" : "a difference seen at once";
  return `Nothing on your shelf comes nearer than ${near.toFixed(1)} CIEDE2000: ${much}.`;
}
