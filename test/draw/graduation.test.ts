import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { numberedTicks, readableTicks, ruleScale } from "../../shared/draw/graduation.ts";

const volume = fc.integer({ min: 0, max: 20_000_000 });
const oneTwoFive = (value: number) => {
  const lead = value / 10 ** Math.floor(Math.log10(value));
  return [1, 2, 5].some((step) => Math.abs(lead - step) < 1e-9);
};

describe("ruleScale", () => {
  it.each([
    [0, 50],
    [50, 50],
    [51, 100],
    [600, 1_000],
    [8_000, 10_000],
    [10_000, 10_000],
    [12_000, 20_000],
    [25_000, 50_000],
    [37_500, 50_000],
    [100_000, 100_000],
    [212_000, 500_000],
    [1_250_000, 2_000_000],
  ])("stands %d microlitres on a rule of %d", (volumeUl, endUl) => {
    expect(ruleScale(volumeUl).endUl).toBe(endUl);
  });

  it("ends at the smallest 1-2-5 capacity that holds the volume", () => {
    fc.assert(
      fc.property(volume, (volumeUl) => {
        const { endUl } = ruleScale(volumeUl);
        expect(oneTwoFive(endUl)).toBe(true);
        expect(endUl).toBeGreaterThanOrEqual(volumeUl);
        if (endUl > 50) expect(volumeUl).toBeGreaterThan(endUl * 0.4 - 1e-9);
      }),
    );
  });

  it("steps in whole 1-2-5 microlitres, each step a whole number of the finer one", () => {
    fc.assert(
      fc.property(volume, (volumeUl) => {
        const { endUl, mainUl, halfUl, fineUl } = ruleScale(volumeUl);
        for (const step of [mainUl, halfUl, fineUl]) {
          expect(Number.isInteger(step)).toBe(true);
          expect(oneTwoFive(step)).toBe(true);
          expect(step % fineUl).toBe(0);
        }
        expect(endUl % mainUl).toBe(0);
        expect(mainUl % halfUl).toBe(0);
      }),
    );
  });

  it("numbers 4 or 5 graduations after 0, among 40 or 50 fine ones, the last at the end", () => {
    fc.assert(
      fc.property(volume, (volumeUl) => {
        const { endUl, ticks } = ruleScale(volumeUl);
        const mains = ticks.filter((tick) => tick.rank === "main");
        expect([5, 6]).toContain(mains.length);
        expect([41, 51]).toContain(ticks.length);
        expect(ticks[0]).toEqual({ at: 0, rank: "main" });
        expect(ticks.at(-1)).toEqual({ at: endUl, rank: "main" });
      }),
    );
  });
});

describe("readableTicks", () => {
  it("never stands two graduations closer than asked, unless only the numbered ones are left", () => {
    fc.assert(
      fc.property(
        volume,
        fc.integer({ min: 40, max: 1600 }),
        fc.integer({ min: 2, max: 12 }),
        (volumeUl, length, gap) => {
          const { endUl, ticks } = ruleScale(volumeUl);
          const kept = readableTicks(ticks, endUl, length, gap);
          const gaps = kept
            .slice(1)
            .map((tick, index) => ((tick.at - (kept[index]?.at ?? 0)) / endUl) * length);
          const onlyMain = kept.every((tick) => tick.rank === "main");
          expect(onlyMain || Math.min(...gaps) >= gap - 1e-9).toBe(true);
          expect(kept[0]?.at).toBe(0);
          expect(kept.at(-1)?.at).toBe(endUl);
        },
      ),
    );
  });
});

describe("numberedTicks", () => {
  it("leaves room for every number it keeps, down to the first and last alone", () => {
    fc.assert(
      fc.property(volume, fc.integer({ min: 60, max: 900 }), (volumeUl, length) => {
        const { endUl, ticks } = ruleScale(volumeUl);
        const kept = numberedTicks(ticks, endUl, length, 40);
        const gaps = kept
          .slice(1)
          .map((tick, index) => ((tick.at - (kept[index]?.at ?? 0)) / endUl) * length);
        expect(kept[0]?.at).toBe(0);
        for (const gap of gaps) expect(gap).toBeGreaterThanOrEqual(40 - 1e-9);
      }),
    );
  });
});
