import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { readingAgrees, settle } from "../../shared/dye/amount.ts";
import { RUNS } from "./arbitrary.ts";

describe("settling pours from a bottle's level", () => {
  test("one pour is exactly what is gone, with the doubt of the reading", () => {
    const settled = settle([{ id: "a", volumeUl: 30_000, plusMinusUl: 10_000 }], 34_000, 500);
    expect(settled).toEqual([{ id: "a", volumeUl: 34_000, plusMinusUl: 500 }]);
  });

  test("several share what is gone in proportion to what they were judged to be", () => {
    const settled = settle(
      [
        { id: "a", volumeUl: 20_000, plusMinusUl: 5_000 },
        { id: "b", volumeUl: 10_000, plusMinusUl: 2_000 },
      ],
      33_000,
      0,
    );
    // b took 8 to 12 mL, so a took 21 to 25 of the 33; a took 15 to 25, so b took 8 to 12.
    expect(settled).toEqual([
      { id: "a", volumeUl: 22_000, plusMinusUl: 3_000 },
      { id: "b", volumeUl: 11_000, plusMinusUl: 3_000 },
    ]);
  });

  test("pours all judged to be nothing share alike", () => {
    const settled = settle(
      [
        { id: "a", volumeUl: 0, plusMinusUl: 100 },
        { id: "b", volumeUl: 0, plusMinusUl: 100 },
      ],
      101,
      0,
    );
    expect(settled.map((pour) => pour.volumeUl)).toEqual([51, 50]);
  });

  test("believes the reading where the judgements cannot be true, and widens the doubt", () => {
    const pours = [
      { id: "a", volumeUl: 10_000, plusMinusUl: 1_000 },
      { id: "b", volumeUl: 10_000, plusMinusUl: 1_000 },
    ];
    expect(readingAgrees(pours, 21_000, 500)).toBe(true);
    expect(readingAgrees(pours, 40_000, 500)).toBe(false);
    expect(readingAgrees(pours, 10_000, 500)).toBe(false);
    expect(settle(pours, 40_000, 500)).toEqual([
      { id: "a", volumeUl: 20_000, plusMinusUl: 11_000 },
      { id: "b", volumeUl: 20_000, plusMinusUl: 11_000 },
    ]);
  });

  test("has nothing to say without a pour", () => {
    expect(() => settle([], 10, 1)).toThrow(RangeError);
  });

  const truths = fc.array(
    fc.record({
      trueUl: fc.oneof(fc.nat(50), fc.nat(60_000)),
      offUl: fc.integer({ min: -20_000, max: 20_000 }),
      slackUl: fc.oneof(fc.constant(0), fc.nat(5_000)),
    }),
    { minLength: 1, maxLength: 7 },
  );

  test("every pour truly within its own doubt, and the sum within the reading's, lies in the range it is given", () => {
    fc.assert(
      fc.property(
        truths,
        fc.integer({ min: -3_000, max: 3_000 }),
        fc.nat(2_000),
        (list, off, slack) => {
          const pours = list.map(({ trueUl, offUl, slackUl }, at) => {
            const volumeUl = Math.max(0, trueUl + offUl);
            return { id: `${at}`, volumeUl, plusMinusUl: Math.abs(volumeUl - trueUl) + slackUl };
          });
          const reallyUl = list.reduce((sum, pour) => sum + pour.trueUl, 0);
          const goneUl = Math.max(0, reallyUl + off);
          const readingUl = Math.abs(goneUl - reallyUl) + slack;
          expect(readingAgrees(pours, goneUl, readingUl)).toBe(true);
          const settled = settle(pours, goneUl, readingUl);
          expect(settled.reduce((sum, pour) => sum + pour.volumeUl, 0)).toBe(goneUl);
          settled.forEach((pour, at) => {
            const trueUl = list[at]?.trueUl ?? Number.NaN;
            expect(Math.abs(trueUl - pour.volumeUl)).toBeLessThanOrEqual(pour.plusMinusUl);
          });
        },
      ),
      { numRuns: 3000 },
    );
  });

  test("with any reading the sum is exact and the doubt is a whole number of 0 or more", () => {
    const judged = fc.array(
      fc.record({ id: fc.string(), volumeUl: fc.nat(60_000), plusMinusUl: fc.nat(20_000) }),
      { minLength: 1, maxLength: 7 },
    );
    let disagreed = 0;
    fc.assert(
      fc.property(judged, fc.nat(300_000), fc.nat(5_000), (pours, goneUl, readingUl) => {
        const settled = settle(pours, goneUl, readingUl);
        expect(settled.reduce((sum, pour) => sum + pour.volumeUl, 0)).toBe(goneUl);
        expect(settled.map((pour) => pour.id)).toEqual(pours.map((pour) => pour.id));
        for (const pour of settled) {
          expect(Number.isSafeInteger(pour.plusMinusUl) && pour.plusMinusUl >= 0).toBe(true);
        }
        if (!readingAgrees(pours, goneUl, readingUl)) disagreed += 1;
      }),
      RUNS,
    );
    expect(disagreed).toBeGreaterThan(100);
  });
});
