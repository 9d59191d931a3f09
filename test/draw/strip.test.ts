import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { grain } from "../../shared/draw/grain.ts";
import { area } from "../../shared/draw/polygon.ts";
import { dippedOutline, strandOutline } from "../../shared/draw/strand.ts";
import { powderPath, stripDrawing, stripStrands } from "../../shared/draw/strip.ts";
import { pathPoints } from "./pathPoints.ts";

const highest = (path: string) =>
  pathPoints(path).map((outline) => Math.min(...outline.map((point) => point.y)));
const size = fc.record({
  width: fc.integer({ min: 16, max: 160 }),
  height: fc.integer({ min: 30, max: 320 }),
});

describe("a strip of yarn", () => {
  it("keeps its edge for the same seed and has another for another", () => {
    const bands = [{ dyedHex: "#2e6e86", share: 1 }];
    const strip = stripDrawing(100, 200, "Saltmarsh", bands);
    expect(stripDrawing(100, 200, "Saltmarsh", bands)).toEqual(strip);
    expect(stripDrawing(100, 200, "Lantern", bands)).not.toEqual(strip);
  });

  it("stays within a pixel or two of its box", () => {
    fc.assert(
      fc.property(size, fc.string(), ({ width, height }, seed) => {
        const { yarn, bands } = stripDrawing(width, height, seed, [
          { dyedHex: "#2e6e86", share: 1 },
        ]);
        for (const path of [yarn, bands[0]?.dyed ?? "", powderPath(width, height, seed)]) {
          const points = pathPoints(path).flat();
          const across = points.map((point) => point.x);
          const down = points.map((point) => point.y);
          expect(points.length).toBeGreaterThan(0);
          expect(Math.min(...across, ...down)).toBeGreaterThanOrEqual(-2.5);
          expect(Math.max(...across)).toBeLessThanOrEqual(width + 2.5);
          expect(Math.max(...down)).toBeLessThanOrEqual(height + 2.5);
        }
      }),
    );
  });

  it("has an uneven edge: no two strands take dye to quite the same height", () => {
    const strip = stripDrawing(100, 200, "Saltmarsh", [{ dyedHex: "#2e6e86", share: 1 }]);
    const tops = highest(strip.bands[0]?.dyed ?? "");
    expect(new Set(tops).size).toBe(tops.length);
    expect(Math.max(...tops) - Math.min(...tops)).toBeGreaterThan(3);
  });

  it("dyes about the share that is not left undyed", () => {
    fc.assert(
      fc.property(
        size,
        fc.string(),
        fc.double({ min: 0.1, max: 0.8, noNaN: true }),
        ({ width, height }, seed, undyedShare) => {
          const strands = stripStrands(width, height, grain(seed));
          const whole = strands.reduce((sum, strand) => sum + area(strandOutline(strand)), 0);
          const dyed = strands.reduce(
            (sum, strand) => sum + area(dippedOutline(strand, undyedShare * height, 0, 0)),
            0,
          );
          expect(Math.abs(dyed / whole - (1 - undyedShare))).toBeLessThan(0.08);
        },
      ),
    );
  });

  it("gives each dye of a jug its own band, in order from the top", () => {
    const strip = stripDrawing(100, 200, "jug", [
      { dyedHex: "#d39a2c", share: 2 },
      { dyedHex: "#96502f", share: 1 },
    ]);
    const tops = strip.bands.map((band) => Math.min(...highest(band.dyed)));
    expect(strip.bands).toHaveLength(2);
    expect(tops[0] ?? 0).toBeLessThan(tops[1] ?? 0);
  });
});

describe("grain", () => {
  it("runs evenly from 0 to 1 for any name", () => {
    fc.assert(
      fc.property(fc.string(), (name) => {
        const next = grain(name);
        const run = Array.from({ length: 400 }, next);
        const mean = run.reduce((sum, value) => sum + value, 0) / run.length;
        expect(Math.min(...run)).toBeGreaterThanOrEqual(0);
        expect(Math.max(...run)).toBeLessThan(1);
        expect(Math.abs(mean - 0.5)).toBeLessThan(0.09);
      }),
    );
  });
});
