import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { minuteScale } from "../../shared/draw/minutes.ts";

describe("minuteScale", () => {
  it("marks every minute of a 25 minute steam, and each fifth one longer", () => {
    const scale = minuteScale(1500);
    expect(scale).toMatchObject({ endS: 1500, mainS: 300, fineS: 60 });
    expect(scale.ticks).toHaveLength(26);
    expect(scale.ticks.filter((tick) => tick.rank === "main").map((tick) => tick.at)).toEqual([
      0, 300, 600, 900, 1200, 1500,
    ]);
  });

  it("holds the whole wait, with less than one graduation to spare", () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 400_000 }), (totalS) => {
        const { endS, mainS, halfS, fineS, ticks } = minuteScale(totalS);
        expect(endS).toBeGreaterThanOrEqual(totalS);
        expect(endS - totalS).toBeLessThan(fineS);
        expect(mainS % halfS).toBe(0);
        expect(halfS % fineS).toBe(0);
        expect(ticks[0]?.at).toBe(0);
        expect(ticks.at(-1)?.at).toBe(endS);
      }),
    );
  });

  it("stays within 61 graduations up to a day", () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 86_400 }), (totalS) => {
        expect(minuteScale(totalS).ticks.length).toBeLessThanOrEqual(61);
      }),
    );
  });
});
