import { mulDivCeil, mulDivFloor, mulDivRound } from "./mulDiv.ts";
import { shareOut } from "./shareOut.ts";
import type { Liquor } from "./vessel.ts";

/**
 * How much liquor went in, uL. `measured`: read off a tool, `plusMinusUl` 0 unless given.
 * `estimated`: judged by eye. `unsettled`: judged by eye, to be settled from the bottle's level or
 * weight. `drops` where it was counted.
 */
export type VolumeAmount = {
  how: "measured" | "estimated" | "unsettled";
  volumeUl: number;
  plusMinusUl: number;
  drops?: number;
};

/** How much dry powder went in, ug. */
export type PowderAmount = { how: "measured" | "estimated"; massUg: number; plusMinusUg: number };

/** A mass and the bounds it surely lies in, ug; lowUg <= massUg <= highUg, never below 0. */
export type MassRange = { massUg: number; lowUg: number; highUg: number };

/** A depth and the bounds it surely lies in, % owf. */
export type DepthRange = { pct: number; lowPct: number; highPct: number };

/**
 * The dye in an amount of a liquor, with its bounds, per dye id. The bounds are rounded outwards, so
 * that the mass a vessel really gave up (which may differ by a ug from the plain ratio) is inside.
 *
 * @param of any amount of the liquor poured from, volumeUl above 0; only its ratio counts
 * @throws RangeError when of.volumeUl is not above 0
 */
export function doseRange(amount: VolumeAmount, of: Liquor): Readonly<Record<string, MassRange>> {
  const lowUl = Math.max(0, amount.volumeUl - amount.plusMinusUl);
  const highUl = amount.volumeUl + amount.plusMinusUl;
  return Object.fromEntries(
    Object.entries(of.dyes).map(([dye, ug]) => [
      dye,
      {
        massUg: mulDivRound(ug, amount.volumeUl, of.volumeUl),
        lowUg: mulDivFloor(ug, lowUl, of.volumeUl),
        highUg: mulDivCeil(ug, highUl, of.volumeUl),
      },
    ]),
  );
}

/** The bounds of an amount of dry powder, ug. */
export function powderRange(amount: PowderAmount): MassRange {
  return {
    massUg: amount.massUg,
    lowUg: Math.max(0, amount.massUg - amount.plusMinusUg),
    highUg: amount.massUg + amount.plusMinusUg,
  };
}

/**
 * One skein's share of a dose, with its bounds. It carries the doubt about how much was poured, not
 * about how evenly it fell.
 *
 * @param weight,weightSum the skein's weight in the share-out and the sum of weights (above 0)
 */
export function shareOfRange(range: MassRange, weight: number, weightSum: number): MassRange {
  return {
    massUg: mulDivRound(range.massUg, weight, weightSum),
    lowUg: mulDivFloor(range.lowUg, weight, weightSum),
    highUg: mulDivCeil(range.highUg, weight, weightSum),
  };
}

/**
 * Several doses together, with their bounds, ug. The bounds add in full, never as the root of the
 * sum of squares: that is for independent errors, and pours settled from one bottle level are not
 * independent (what one got too much the others got too little), nor are two guesses by one eye.
 * The true sum is therefore inside, at the price of bounds that are often wider than need be.
 */
export function sumRange(doses: readonly MassRange[]): MassRange {
  let [massUg, lowUg, highUg] = [0, 0, 0];
  for (const dose of doses) {
    massUg += dose.massUg;
    lowUg += dose.lowUg;
    highUg += dose.highUg;
  }
  return { massUg, lowUg, highUg };
}

/**
 * Depth of several doses on one weight of fibre, % owf, with guaranteed bounds (see `sumRange`).
 *
 * @param fibreUg above 0
 * @throws RangeError when fibreUg is not above 0
 */
export function depthRange(doses: readonly MassRange[], fibreUg: number): DepthRange {
  if (!(fibreUg > 0)) throw new RangeError(`fibreUg must be above 0: ${fibreUg}`);
  const sum = sumRange(doses);
  const pct = (ug: number) => (ug / fibreUg) * 100;
  return { pct: pct(sum.massUg), lowPct: pct(sum.lowUg), highPct: pct(sum.highUg) };
}

/** The one ± that covers both bounds of a depth, % owf. */
export function plusMinusPct(range: DepthRange): number {
  return Math.max(range.pct - range.lowPct, range.highPct - range.pct);
}

/** An unsettled pour as it was judged: uL and the ± of that judgement, uL. */
export type UnsettledPour = { id: string; volumeUl: number; plusMinusUl: number };

/** A pour after settling: its share of what is really gone, and the ± that now holds, uL. */
export type SettledPour = { id: string; volumeUl: number; plusMinusUl: number };

/**
 * Shares the liquid that is really gone from a bottle over its unsettled pours, in proportion to
 * what they were judged to be, by the largest remainder: the settled pours sum exactly to `goneUl`.
 * Where every pour was judged to be 0 they share alike.
 *
 * What the ± promises: if every pour truly lay within its own judgement ±, and together they lay
 * within the reading ±, then each pour lies within its settled volume ±. One pour alone is the
 * reading, ± the reading's own. Of several, a pour is at least what it was judged to be at the
 * least, and at least what is left of the lowest reading when all the others took their most (and
 * the same upside down); the ± is the distance from its share to the further of those two bounds.
 * Where reading and judgements cannot both be true (`readingAgrees` says so) the reading is
 * believed: ± is then the judgement's own plus the distance it had to move, at least the reading's,
 * and never so wide that it passes both nothing and everything gone.
 *
 * @param pours at least one; whole uL, 0 or more
 * @param goneUl whole uL gone from the bottle in these pours together, 0 or more
 * @param readingPlusMinusUl how well level or weight was read, whole uL, 0 or more
 * @throws RangeError when there is no pour
 */
export function settle(
  pours: readonly UnsettledPour[],
  goneUl: number,
  readingPlusMinusUl: number,
): SettledPour[] {
  const [only] = pours;
  if (only === undefined) throw new RangeError("no pour to settle");
  if (pours.length === 1) {
    return [{ id: only.id, volumeUl: goneUl, plusMinusUl: readingPlusMinusUl }];
  }
  const judged = pours.some((pour) => pour.volumeUl > 0);
  const shares = shareOut(
    goneUl,
    pours.map((pour) => (judged ? pour.volumeUl : 1)),
  );
  const { leastUl, mostUl } = boundsOf(pours);
  const lowestUl = Math.max(0, goneUl - readingPlusMinusUl);
  const highestUl = goneUl + readingPlusMinusUl;
  const agrees = readingAgrees(pours, goneUl, readingPlusMinusUl);

  return pours.map((pour, at) => {
    const volumeUl = shares[at] ?? 0;
    const most = pour.volumeUl + pour.plusMinusUl;
    const least = Math.max(0, pour.volumeUl - pour.plusMinusUl);
    if (agrees) {
      const lowUl = Math.max(least, lowestUl - (mostUl - most));
      const highUl = Math.min(most, highestUl - (leastUl - least));
      const plusMinusUl = Math.max(volumeUl - lowUl, highUl - volumeUl);
      return { id: pour.id, volumeUl, plusMinusUl };
    }
    const moved = Math.abs(volumeUl - pour.volumeUl) + pour.plusMinusUl;
    const everything = Math.max(volumeUl, highestUl - volumeUl);
    const plusMinusUl = Math.min(Math.max(readingPlusMinusUl, moved), everything);
    return { id: pour.id, volumeUl, plusMinusUl };
  });
}

/**
 * Whether a reading of the bottle and the pours as they were judged can both be true: false means
 * that something was judged badly, was spilled, or was never written down.
 */
export function readingAgrees(
  pours: readonly UnsettledPour[],
  goneUl: number,
  readingPlusMinusUl: number,
): boolean {
  const { leastUl, mostUl } = boundsOf(pours);
  return goneUl + readingPlusMinusUl >= leastUl && goneUl - readingPlusMinusUl <= mostUl;
}

function boundsOf(pours: readonly UnsettledPour[]): { leastUl: number; mostUl: number } {
  let [leastUl, mostUl] = [0, 0];
  for (const pour of pours) {
    leastUl += Math.max(0, pour.volumeUl - pour.plusMinusUl);
    mostUl += pour.volumeUl + pour.plusMinusUl;
  }
  return { leastUl, mostUl };
}
