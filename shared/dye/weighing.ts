import { type Refusal, refuse } from "./refusal.ts";
import { massUgFor } from "./strength.ts";

/** Powder for a stock as a scale can weigh it, ug, and how well the scale knows it. */
export type Weighing = {
  /** What the strength asks for, and the nearest that the scale shows. */
  wantedUg: number;
  shownUg: number;
  strength: StrengthRange;
};

/** A strength and the bounds it surely lies in, % w/v. */
export type StrengthRange = { pct: number; lowPct: number; highPct: number };

/**
 * Powder to weigh for a volume of stock at a strength, and what the scale's resolution makes of it.
 *
 * @param pct % w/v, above 0
 * @param volumeUl what it is made up to, above 0
 * @param divisionUg the step of the scale's display, above 0
 * @returns a refusal where so little cannot be weighed on this scale at all
 */
export function weighing(pct: number, volumeUl: number, divisionUg: number): Weighing | Refusal {
  const wantedUg = massUgFor(pct, volumeUl);
  const shownUg = Math.round(wantedUg / divisionUg) * divisionUg;
  if (shownUg === 0) {
    return refuse(
      "weighing.tooLittle",
      "This scale cannot weigh so little powder. Make more stock, or a stronger one and dilute it.",
    );
  }
  return { wantedUg, shownUg, strength: strengthWeighed(shownUg, volumeUl, divisionUg) };
}

/**
 * The strength of a stock from what the scale really showed, with half a division of doubt either
 * way: a display that shows 0.5 g in steps of 0.1 g stands for 0.45 to 0.55 g.
 *
 * @param shownUg 0 or more
 * @param volumeUl above 0
 * @param divisionUg above 0
 * @throws RangeError when volumeUl is not above 0
 */
export function strengthWeighed(
  shownUg: number,
  volumeUl: number,
  divisionUg: number,
): StrengthRange {
  if (!(volumeUl > 0)) throw new RangeError(`volumeUl must be above 0: ${volumeUl}`);
  const pct = (ug: number) => ug / volumeUl / 10;
  const half = divisionUg / 2;
  return {
    pct: pct(shownUg),
    lowPct: pct(Math.max(0, shownUg - half)),
    highPct: pct(shownUg + half),
  };
}
