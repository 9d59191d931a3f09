import { showDepth } from "../dye/display.ts";
import { type Fleck, type FleckReport, faintest, flecksOn } from "./fleck.ts";
import { type Dose, type Prediction, predict } from "./predict.ts";
import type { Yarn } from "./seen.ts";

/** What is left in one bottle or jug, or in a bath that is not exhausted. */
export type Remainder = {
  readonly id: string;
  readonly name: string;
  /** Depth that each of its dyes would give on the skein, % owf. */
  readonly doses: readonly Dose[];
  /** Least share of it that may still reach the yarn, for a bath that took up some; 1 for a bottle. */
  readonly atLeast?: number;
};

export type LeftoverPlan = {
  /** All of it on one skein, % owf: the same twice unless a bath's rest is only known as a range. */
  readonly leastPct: number;
  readonly mostPct: number;
  readonly predicted: Prediction;
  /** With as little as may be left in the baths. */
  readonly palest: Prediction;
  readonly flecks: FleckReport;
  /** Bottles that are better held back, and what comes of the rest; absent when all is best. */
  readonly better?: {
    readonly heldBack: readonly string[];
    readonly predicted: Prediction;
    readonly flecks: FleckReport;
    readonly say: string;
  };
  readonly say: string;
};

/** A gain in chroma, CIELAB, that makes it worth holding a bottle back: no source. */
const CLEARER = 6;

/** What a fleck that comes to show is worth beside chroma, and up to which CIEDE2000 it counts. */
const FLECK_WORTH = 2;
const FLECK_ENOUGH = 8;

/** Bottles up to which every set of them is tried; with more, at most two are held back. */
const MOST_SETS = 10;

/**
 * What all that is left becomes on one more skein, and which bottles to hold back for a clearer one:
 * leftovers of every hue make mud, so the set is sought that keeps most chroma and lets flecks show,
 * and holds back as little as that takes.
 */
export function leftoverOn(
  yarn: Yarn,
  remainders: readonly Remainder[],
  flecks: readonly Fleck[],
): LeftoverPlan {
  const all = remainders.flatMap(({ doses }) => doses);
  const least = remainders.flatMap(({ doses, atLeast = 1 }) =>
    doses.map(({ dye, depthPct }) => ({ dye, depthPct: depthPct * atLeast })),
  );
  const predicted = predict(yarn, all);
  const leastPct = total(least);
  const mostPct = total(all);
  const worthOfAll = worth(yarn, all, flecks);
  let best: { kept: readonly Remainder[]; gain: number } | undefined;
  for (const kept of sets(remainders)) {
    if (kept.length === 0 || kept.length === remainders.length) continue;
    const doses = kept.flatMap((remainder) => remainder.doses);
    const held = remainders.length - kept.length;
    const gain = worth(yarn, doses, flecks) - worthOfAll - CLEARER * held;
    if (gain > 0 && (!best || gain > best.gain)) best = { kept, gain };
  }
  return {
    leastPct,
    mostPct,
    predicted,
    palest: predict(yarn, least),
    flecks: flecksOn(yarn, all, flecks),
    ...(best ? { better: betterOf(yarn, remainders, best.kept, flecks) } : {}),
    say: `All of it gives ${sayDepth(leastPct, mostPct)}, predicted ${predicted.hex}.`,
  };
}

function betterOf(
  yarn: Yarn,
  remainders: readonly Remainder[],
  kept: readonly Remainder[],
  flecks: readonly Fleck[],
) {
  const doses = kept.flatMap((remainder) => remainder.doses);
  const held = remainders.filter((remainder) => !kept.includes(remainder));
  const predicted = predict(yarn, doses);
  const names = held.map(({ name }) => name).join(" and ");
  return {
    heldBack: held.map(({ id }) => id),
    predicted,
    flecks: flecksOn(yarn, doses, flecks),
    say: `Hold back ${names}: the rest gives ${showDepth(total(doses))}, predicted ${predicted.hex}, a clearer colour.`,
  };
}

function worth(yarn: Yarn, doses: readonly Dose[], flecks: readonly Fleck[]): number {
  const { a, b } = predict(yarn, doses).lab;
  const seen = Math.min(FLECK_ENOUGH, faintest(yarn, doses, flecks));
  return Math.hypot(a, b) + FLECK_WORTH * seen;
}

function sets(remainders: readonly Remainder[]): Remainder[][] {
  if (remainders.length <= MOST_SETS) {
    return Array.from({ length: 2 ** remainders.length }, (_, bits) =>
      remainders.filter((_one, at) => ((bits >> at) & 1) === 1),
    );
  }
  return remainders.flatMap((a, i) =>
    remainders.slice(i).map((b) => remainders.filter((one) => one !== a && one !== b)),
  );
}

function total(doses: readonly Dose[]): number {
  return doses.reduce((sum, { depthPct }) => sum + depthPct, 0);
}

function sayDepth(leastPct: number, mostPct: number): string {
  return mostPct - leastPct < 0.005
    ? showDepth(mostPct)
    : `${showDepth(leastPct)} to ${showDepth(mostPct)}`;
}
