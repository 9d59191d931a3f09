/**
 * How long a box over the video stays, and stays away, at least, ms. Ink over bright video is a
 * large change of luminance, and a change each 700 ms is less than one flash a second, where the
 * limit is three (WCAG 2.2, 2.3.1).
 */
export const restMs = 700;

/** What a place on screen shows: `box` names the boxes it is made of. */
export type Steady<Look> = { box: string; look: Look; changedAt: number };

/**
 * What a place on screen may show at `now`: words and figures inside the same boxes change at
 * once, boxes themselves come and go only when the last such change has rested.
 *
 * @param now any clock that does not jump, ms
 */
export function steady<Look>(
  before: Steady<Look> | null,
  box: string,
  look: Look,
  now: number,
): Steady<Look> {
  if (before === null) return { box, look, changedAt: now };
  if (before.box === box) return { ...before, look };
  return now - before.changedAt < restMs ? before : { box, look, changedAt: now };
}
