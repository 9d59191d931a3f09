import { dyeOfSwatch, predict, uncertaintyAt, yarnOfBase } from "../../shared/colour/predict.ts";
import { sightedOf } from "../../shared/colour/seen.ts";
import { type Dye, isSameYarn, knownTo } from "../../shared/colour/swatch.ts";
import { shownLab } from "../../shared/colour/tone.ts";
import { showDepth } from "../../shared/dye/display.ts";
import { refused } from "../../shared/dye/refusal.ts";
import type { Id } from "../../shared/session/setup.ts";
import { baseOnBench, dyeOnBench } from "../../shared/shelf/onBench.ts";
import type { Shelf, ShelfBase, ShelfDye, ShelfSwatch } from "../../shared/shelf/shelf.ts";

/** A dye's swatches in use, in the order in which they are calibrated. */
export function swatchesOf(shelf: Shelf, dye: Id): readonly ShelfSwatch[] {
  return shelf.swatches.filter((one) => one.dye === dye && !one.retired);
}

/** The swatch that shows a dye as most are dyed: the one nearest to 1 %. */
export function typicalSwatch(shelf: Shelf, dye: Id): ShelfSwatch | undefined {
  const off = ({ depthPct }: ShelfSwatch) => Math.abs(Math.log(depthPct));
  return [...swatchesOf(shelf, dye)].sort((a, b) => off(a) - off(b))[0];
}

/** A dye as its swatches show it, or as its one typed colour does; `null` when neither can be read. */
export function calibrated(shelf: Shelf, dye: ShelfDye): Dye | null {
  return dyeOfSwatch(dyeOnBench(shelf, dye));
}

/** "well known", and from what where that is not swatches. */
export function sayKnown(shelf: Shelf, dye: ShelfDye): string {
  const known = calibrated(shelf, dye);
  if (!known) return "colour not known";
  const none = swatchesOf(shelf, dye.id).length === 0;
  return `colour ${known.known} known${none ? ", no swatch" : ""}`;
}

/** The colour of a swatch on a screen; grey where it cannot be read. */
export function hexOfSeen(seen: ShelfSwatch["seen"]): string {
  const sighted = sightedOf(seen);
  return refused(sighted) ? "#808080" : shownLab(sighted.lab).hex;
}

/** How a swatch's colour came to be known, and how far it can be trusted. */
export function sayHow(seen: ShelfSwatch["seen"]): string {
  switch (seen.how) {
    case "spectrum":
      return "measured along the spectrum";
    case "measured":
      return "measured as a colour";
    case "typed":
      return "typed as a screen colour";
    case "photographed": {
      const sighted = sightedOf(seen);
      const much = refused(sighted) ? "3" : sighted.uncertainty.toFixed(1);
      return `photographed, true to ${much} CIEDE2000 at best`;
    }
  }
}

/** One rung of a dye's ladder of depths. */
export type Rung = {
  readonly depthPct: number;
  readonly hex: string;
  /** Whether a swatch in use was dyed to this depth, on any yarn. */
  readonly swatched: boolean;
};

/** Depths that are always on the ladder, % owf. */
const RUNGS = [0.25, 0.5, 1, 2, 3, 4] as const;

/** Two depths nearer than this share of each other are one rung. */
const ONE_RUNG = 0.06;

/** A dye's colour from pale to deep on a yarn, with the depths at which it was really seen. */
export function ladderOf(shelf: Shelf, dye: ShelfDye, base: ShelfBase): readonly Rung[] {
  const curve = calibrated(shelf, dye);
  const yarn = yarnOfBase(baseOnBench(base));
  if (!curve || !yarn) return [];
  const seen = swatchesOf(shelf, dye.id).map(({ depthPct }) => depthPct);
  const isNear = (a: number, b: number) => Math.abs(a - b) <= ONE_RUNG * Math.max(a, b);
  const depths = [
    ...[...new Set(seen)],
    ...RUNGS.filter((rung) => !seen.some((depth) => isNear(depth, rung))),
  ];
  return depths
    .sort((a, b) => a - b)
    .map((depthPct) => ({
      depthPct,
      hex: predict(yarn, [{ dye: curve, depthPct }]).hex,
      swatched: seen.includes(depthPct),
    }));
}

/**
 * How sure a dye's colour is on a yarn, in words: at a depth that was swatched, and what another yarn
 * or a deeper shade adds.
 */
export function sayDoubt(shelf: Shelf, dye: ShelfDye, base: ShelfBase): readonly string[] {
  const curve = calibrated(shelf, dye);
  const yarn = yarnOfBase(baseOnBench(base));
  if (!curve || !yarn) return [];
  const says: string[] = [];
  const own = curve.sureties.some(({ yarns }) => yarns.some((one) => isSameYarn(one, yarn)));
  const deepest = curve.depthsPct.at(-1) ?? 1;
  const at = uncertaintyAt(curve, deepest, yarn);
  if (!own) {
    const much = `${knownTo(at)} known there, to about ${at.toFixed(1)} CIEDE2000`;
    says.push(`${base.name} is another yarn than its colour was seen on: ${much}.`);
  }
  const beyond = uncertaintyAt(curve, deepest * 2, yarn);
  says.push(
    `Deeper than ${showDepth(deepest)} nobody has seen it: at ${showDepth(deepest * 2)} reckon with ${beyond.toFixed(1)}.`,
  );
  says.push("A difference of 1 CIEDE2000 is about the least that shows side by side.");
  return says;
}
