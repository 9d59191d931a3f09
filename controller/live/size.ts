/** The pair of steps by which an amount is changed: a fine one and a coarse one. */
export type Steps = { fine: number; coarse: number };

/**
 * Steps for an amount, in its own unit: the fine one is a 1-2-5 number near a thirtieth of it, the
 * coarse one the second 1-2-5 number above that (37.5 mL goes by 1 and 5, 8 mL by 0.2 and 1).
 *
 * @param amount whole units (uL, ug), above 0
 * @param least the smallest step, itself a 1-2-5 number
 */
export function stepsFor(amount: number, least: number): Steps {
  const fine = Math.max(least, roundDown(amount / 30));
  return { fine, coarse: next(next(fine)) };
}

/** The 1-2-5 number that a tenth of an amount is nearest to: how far a judgement by eye may be off. */
export function doubtFor(amount: number): number {
  const tenth = amount / 10;
  const below = Math.max(1, roundDown(tenth));
  const above = next(below);
  return tenth * tenth < below * above ? below : above;
}

/** A doubt that stays as large a part of an amount that changes; never more than the amount. */
export function scaledDoubt(doubt: number, from: number, to: number): number {
  return Math.min(to, Math.round((doubt * to) / from));
}

function roundDown(size: number): number {
  // A hair is added, so that a whole power of ten is found as itself.
  const decade = 10 ** Math.floor(Math.log10(size) + 1e-9);
  const lead = size / decade + 1e-9;
  return (lead >= 5 ? 5 : lead >= 2 ? 2 : 1) * decade;
}

function next(step: number): number {
  const decade = 10 ** Math.floor(Math.log10(step) + 1e-9);
  const lead = Math.round(step / decade);
  return (lead === 1 ? 2 : lead === 2 ? 5 : 10) * decade;
}
