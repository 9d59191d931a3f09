import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { shareOut } from "../../shared/dye/shareOut.ts";
import { RUNS } from "./arbitrary.ts";

const weightLists = fc
  .array(
    fc.oneof(
      fc.nat(5),
      fc.nat(200_000_000),
      fc.maxSafeNat().map((n) => Math.floor(n / 16)),
    ),
    {
      minLength: 1,
      maxLength: 12,
    },
  )
  .filter((weights) => weights.some((weight) => weight > 0));
const totals = fc.oneof(fc.nat(20), fc.nat(1_250_000), fc.maxSafeNat());

describe("sharing out", () => {
  test("gives what is over to the largest remainders, and ties to the earlier one", () => {
    expect(shareOut(10, [1, 1, 1])).toEqual([4, 3, 3]);
    expect(shareOut(11, [1, 1, 1])).toEqual([4, 4, 3]);
    expect(shareOut(10, [6, 3, 1, 0])).toEqual([6, 3, 1, 0]);
    expect(shareOut(7, [1, 2])).toEqual([2, 5]);
    expect(shareOut(0, [5, 5])).toEqual([0, 0]);
  });

  test("sums exactly, and each share is within 1 of its exact proportion", () => {
    let pastSafe = 0;
    fc.assert(
      fc.property(totals, weightLists, (total, weights) => {
        const shares = shareOut(total, weights);
        const weightSum = weights.reduce((sum, weight) => sum + BigInt(weight), 0n);
        expect(shares.reduce((sum, share) => sum + BigInt(share), 0n)).toBe(BigInt(total));
        shares.forEach((share, at) => {
          const exact = BigInt(total) * BigInt(weights[at] ?? 0);
          if (exact > BigInt(Number.MAX_SAFE_INTEGER)) pastSafe += 1;
          const off = BigInt(share) * weightSum - exact;
          expect(Number.isSafeInteger(share) && share >= 0).toBe(true);
          expect(off < weightSum && -off < weightSum).toBe(true);
          if (weights[at] === 0) expect(share).toBe(0);
        });
      }),
      RUNS,
    );
    expect(pastSafe).toBeGreaterThan(100);
  });

  test("never gives a heavier skein less than a lighter one", () => {
    fc.assert(
      fc.property(totals, weightLists, (total, weights) => {
        const shares = shareOut(total, weights);
        for (const [a, weightA] of weights.entries()) {
          for (const [b, weightB] of weights.entries()) {
            if (weightA > weightB) expect(shares[a]).toBeGreaterThanOrEqual(shares[b] ?? 0);
            if (weightA === weightB && a < b) {
              expect(shares[a]).toBeGreaterThanOrEqual(shares[b] ?? 0);
            }
          }
        }
      }),
      RUNS,
    );
  });

  test("refuses to share over nothing", () => {
    expect(() => shareOut(5, [])).toThrow(RangeError);
    expect(() => shareOut(5, [0, 0])).toThrow(RangeError);
    expect(() => shareOut(5, [1, -1])).toThrow(RangeError);
    expect(() => shareOut(5, [0.5])).toThrow(RangeError);
    expect(() => shareOut(-5, [1])).toThrow(RangeError);
    expect(() => shareOut(5, [Number.MAX_SAFE_INTEGER, 1])).toThrow(RangeError);
  });
});
