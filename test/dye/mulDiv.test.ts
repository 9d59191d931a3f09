import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { mulDivCeil, mulDivFloor, mulDivRound } from "../../shared/dye/mulDiv.ts";

const counts = fc.oneof(fc.nat(1000), fc.nat(), fc.maxSafeNat());

describe("a x b / c", () => {
  test("rounds a half up and anything less down", () => {
    expect(mulDivRound(1, 1, 2)).toBe(1);
    expect(mulDivRound(1, 5, 10)).toBe(1);
    expect(mulDivRound(1, 49, 100)).toBe(0);
    expect(mulDivRound(3, 3, 2)).toBe(5);
    expect(mulDivRound(0, 7, 3)).toBe(0);
  });

  test("is what big integers give, also where a x b is past 2^53", () => {
    let pastSafe = 0;
    fc.assert(
      fc.property(counts, counts, fc.oneof(fc.nat(1000), fc.maxSafeNat()), (a, b, c) => {
        fc.pre(c > 0);
        const [A, B, C] = [BigInt(a), BigInt(b), BigInt(c)];
        const round = (2n * A * B + C) / (2n * C);
        const ceil = (A * B + C - 1n) / C;
        fc.pre(ceil <= BigInt(Number.MAX_SAFE_INTEGER));
        if (A * B > BigInt(Number.MAX_SAFE_INTEGER)) pastSafe += 1;
        expect(BigInt(mulDivRound(a, b, c))).toBe(round);
        expect(BigInt(mulDivFloor(a, b, c))).toBe((A * B) / C);
        expect(BigInt(mulDivCeil(a, b, c))).toBe(ceil);
      }),
      { numRuns: 5000 },
    );
    expect(pastSafe).toBeGreaterThan(500);
  });

  test("refuses what is no whole number of 0 or more, division by 0, and an answer past 2^53", () => {
    expect(() => mulDivRound(-1, 1, 1)).toThrow(RangeError);
    expect(() => mulDivRound(1.5, 1, 1)).toThrow(RangeError);
    expect(() => mulDivRound(1, 1, 0)).toThrow(RangeError);
    expect(() => mulDivRound(Number.NaN, 1, 1)).toThrow(RangeError);
    expect(() => mulDivRound(Number.MAX_SAFE_INTEGER, 2, 1)).toThrow(RangeError);
  });
});
