/**
 * a x b / c as a whole part and what is left over, exactly.
 *
 * @param a,b safe integers, 0 or more
 * @param c safe integer, 1 or more
 * @throws RangeError when an argument is out of range or the whole part is past 2^53 - 1
 */
export function mulDivRest(a: number, b: number, c: number): { whole: number; rest: number } {
  if (!isCount(a) || !isCount(b) || !isCount(c) || c === 0) {
    throw new RangeError(
      `mulDiv takes whole numbers of 0 or more, and c above 0: ${a}, ${b}, ${c}`,
    );
  }
  const product = a * b;
  if (product <= Number.MAX_SAFE_INTEGER) {
    const rest = product % c;
    return { whole: (product - rest) / c, rest };
  }
  const exact = BigInt(a) * BigInt(b);
  const divisor = BigInt(c);
  const whole = Number(exact / divisor);
  if (!Number.isSafeInteger(whole)) {
    throw new RangeError(`${a} x ${b} / ${c} is past 2^53`);
  }
  return { whole, rest: Number(exact % divisor) };
}

/**
 * a x b / c rounded to the nearest whole number, a half going up; exact even where a x b is past 2^53.
 *
 * @param a,b safe integers, 0 or more
 * @param c safe integer, 1 or more
 * @throws RangeError when an argument is out of range or the answer is past 2^53 - 1
 */
export function mulDivRound(a: number, b: number, c: number): number {
  const { whole, rest } = mulDivRest(a, b, c);
  return rest >= c - rest ? withinReach(whole + 1) : whole;
}

/** a x b / c rounded down; see `mulDivRest` for the range. */
export function mulDivFloor(a: number, b: number, c: number): number {
  return mulDivRest(a, b, c).whole;
}

/** a x b / c rounded up; see `mulDivRest` for the range. */
export function mulDivCeil(a: number, b: number, c: number): number {
  const { whole, rest } = mulDivRest(a, b, c);
  return rest > 0 ? withinReach(whole + 1) : whole;
}

function isCount(n: number): boolean {
  return Number.isSafeInteger(n) && n >= 0;
}

function withinReach(n: number): number {
  if (!Number.isSafeInteger(n)) throw new RangeError(`${n} is past 2^53`);
  return n;
}
