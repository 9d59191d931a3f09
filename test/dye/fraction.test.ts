import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { asNumber, fractionOf, over, plus, rounded, times } from "../../shared/dye/fraction.ts";
import { RUNS } from "./arbitrary.ts";

describe("an exact fraction", () => {
  test("takes a decimal as it is written", () => {
    expect(fractionOf(0.1)).toEqual({ num: 1n, den: 10n });
    expect(fractionOf("28.349523125")).toEqual({ num: 45359237n, den: 1600000n });
    expect(fractionOf(1e-7)).toEqual({ num: 1n, den: 10000000n });
    expect(fractionOf(1.5e21)).toEqual({ num: 1500000000000000000000n, den: 1n });
    expect(fractionOf(-2.5)).toEqual({ num: -5n, den: 2n });
    expect(() => fractionOf(Number.NaN)).toThrow(RangeError);
    expect(() => fractionOf(Number.POSITIVE_INFINITY)).toThrow(RangeError);
    expect(() => fractionOf("12 mL")).toThrow(RangeError);
  });

  test("adds tenths without the hair that binary leaves", () => {
    expect(plus(fractionOf(0.1), fractionOf(0.2))).toEqual(fractionOf(0.3));
  });

  test("rounds a half up and refuses to divide by 0", () => {
    expect(rounded(fractionOf(2.5))).toBe(3);
    expect(rounded(fractionOf(-2.5))).toBe(-2);
    expect(rounded(fractionOf(-2.6))).toBe(-3);
    expect(() => over(fractionOf(1), fractionOf(0))).toThrow(RangeError);
    expect(() => rounded(fractionOf(1e20))).toThrow(RangeError);
  });

  test("gives back the decimal it was made from, and undoes its own multiplication", () => {
    const decimals = fc
      .tuple(fc.integer({ min: -1_000_000, max: 1_000_000 }), fc.nat(9))
      .map(([n, places]) => n / 10 ** places);
    fc.assert(
      fc.property(decimals, decimals, (a, b) => {
        expect(asNumber(fractionOf(a))).toBe(a === 0 ? 0 : a);
        fc.pre(b !== 0);
        const [A, B] = [fractionOf(a), fractionOf(b)];
        expect(over(times(A, B), B)).toEqual(A);
        expect(B.den > 0n && over(A, B).den > 0n).toBe(true);
      }),
      RUNS,
    );
  });
});
