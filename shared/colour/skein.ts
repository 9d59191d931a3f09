import { type Dose, type Pour, type Prediction, predictZones } from "./predict.ts";
import type { Yarn } from "./seen.ts";

/** What one pour left on a skein: its doses are of the whole skein's fibre, % owf. */
export type Laid = Pour & {
  /** Bottle, jug or powder it came from. */
  readonly source: string;
  readonly technique: string;
  readonly placement?: string | undefined;
};

/** A skein by its zones; a patch is in the technique of its first pour. */
export type SkeinZones = {
  readonly ground: Prediction;
  readonly patches: readonly {
    readonly coverage: number;
    readonly technique: string;
    readonly colour: Prediction;
  }[];
};

/** Patches that are told apart on one skein; more are taken together. */
export const MOST_PATCHES = 6;

/** Dye that falls where it falls; what is painted again goes where it went before. */
const BY_CHANCE: ReadonlySet<string> = new Set(["speckled", "dripped"]);

/**
 * Predicts a skein: the ground where dye covers it, and a patch of each pour that does not cover it.
 * Pours after one another from one source, in one way and at one place, are one patch; whenever
 * there are more than `MOST_PATCHES`, the two neighbours that touch least become one.
 *
 * @param ground what covers the skein, also out of a bath
 * @param laid its other pours, in their order
 */
export function predictSkein(
  yarn: Yarn,
  ground: readonly Dose[],
  laid: readonly Laid[],
): SkeinZones {
  const own = patchesOf(laid);
  const zones = predictZones(yarn, [{ coverage: 1, doses: ground }, ...own]);
  return {
    ground: zones.ground,
    patches: zones.patches.map((patch, at) => ({
      ...patch,
      technique: (own[at] as Laid).technique,
    })),
  };
}

/** A patch while pours are gathered into it. */
type Gathered = Omit<Laid, "coverage" | "doses"> & { coverage: number; doses: Dose[] };

function patchesOf(laid: readonly Laid[]): readonly Laid[] {
  const patches: Gathered[] = [];
  for (const one of laid) {
    const last = patches.at(-1);
    if (!last || !isAgain(last, one)) {
      patches.push({ ...one, doses: [...one.doses] });
      // At once, so that a skein of a thousand pours is gone through once.
      if (patches.length > MOST_PATCHES) joinAt(patches, leastTouched(patches));
      continue;
    }
    last.coverage = BY_CHANCE.has(one.technique)
      ? byChance(last.coverage, one.coverage)
      : Math.max(last.coverage, one.coverage);
    for (const dose of one.doses) last.doses.push(dose);
  }
  return patches;
}

function joinAt(patches: Gathered[], at: number): void {
  const [a, b] = patches.slice(at, at + 2) as [Gathered, Gathered];
  a.coverage = byChance(a.coverage, b.coverage);
  for (const dose of b.doses) a.doses.push(dose);
  patches.splice(at + 1, 1);
}

/** The first of the two neighbours that touch least of the skein together. */
function leastTouched(patches: readonly Gathered[]): number {
  let found = 0;
  let least = Number.POSITIVE_INFINITY;
  for (let at = 0; at + 1 < patches.length; at++) {
    const touched = (patches[at] as Gathered).coverage + (patches[at + 1] as Gathered).coverage;
    if (touched >= least) continue;
    least = touched;
    found = at;
  }
  return found;
}

function isAgain(a: Omit<Laid, "coverage" | "doses">, b: Laid): boolean {
  return a.source === b.source && a.technique === b.technique && a.placement === b.placement;
}

/** Share that either touches where neither knows of the other. */
function byChance(a: number, b: number): number {
  return 1 - (1 - a) * (1 - b);
}
