/** An exact amount num / den; den above 0. */
export type Fraction = { readonly num: bigint; readonly den: bigint };

const DECIMAL = /^([-+]?)(\d+)(?:\.(\d+))?(?:e([-+]?\d+))?$/;

/**
 * The exact fraction of a decimal, as written: 0.1 is a tenth, not the nearest binary number to it.
 *
 * @throws RangeError for NaN, infinity or text that is no decimal
 */
export function fractionOf(decimal: number | string): Fraction {
  const match = DECIMAL.exec(String(decimal));
  if (match === null) throw new RangeError(`not a decimal: ${decimal}`);
  const [, sign, whole = "", part = "", exponent = "0"] = match;
  const digits = BigInt(whole + part) * (sign === "-" ? -1n : 1n);
  const power = Number(exponent) - part.length;
  return power >= 0
    ? { num: digits * 10n ** BigInt(power), den: 1n }
    : reduced({ num: digits, den: 10n ** BigInt(-power) });
}

/** a x b. */
export function times(a: Fraction, b: Fraction): Fraction {
  return reduced({ num: a.num * b.num, den: a.den * b.den });
}

/** a / b. @throws RangeError when b is 0 */
export function over(a: Fraction, b: Fraction): Fraction {
  if (b.num === 0n) throw new RangeError("division by 0");
  const sign = b.num < 0n ? -1n : 1n;
  return reduced({ num: a.num * b.den * sign, den: a.den * b.num * sign });
}

/** a + b. */
export function plus(a: Fraction, b: Fraction): Fraction {
  return reduced({ num: a.num * b.den + b.num * a.den, den: a.den * b.den });
}

/** The nearest whole number, a half going up. @throws RangeError when it is past 2^53 - 1 */
export function rounded(a: Fraction): number {
  const twice = 2n * a.num + a.den;
  const divisor = 2n * a.den;
  const floor = twice / divisor - (twice % divisor < 0n ? 1n : 0n);
  const answer = Number(floor);
  if (!Number.isSafeInteger(answer)) throw new RangeError("past 2^53");
  return answer;
}

/** The nearest floating-point number, for showing. */
export function asNumber(a: Fraction): number {
  return Number(a.num) / Number(a.den);
}

function reduced({ num, den }: Fraction): Fraction {
  let [a, b] = [num < 0n ? -num : num, den];
  while (b > 0n) [a, b] = [b, a % b];
  return a > 1n ? { num: num / a, den: den / a } : { num, den };
}
