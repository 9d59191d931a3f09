import { shareOut } from "./shareOut.ts";

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

/** A depth and the bounds it surely lies in, % owf. */
export type DepthRange = { pct: number; lowPct: number; highPct: number };

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
