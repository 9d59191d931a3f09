import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { above, area, below, closedPath, coordinate, openPath } from "../../shared/draw/polygon.ts";
import { pathPoints } from "./pathPoints.ts";

const level = fc.double({ min: -20, max: 120, noNaN: true });
const shape = fc
  .array(fc.double({ min: 1, max: 50, noNaN: true }), { minLength: 3, maxLength: 12 })
  .map((reaches) =>
    reaches.map((reach, index) => {
      const angle = (index / reaches.length) * 2 * Math.PI;
      return { x: 50 + Math.cos(angle) * reach, y: 50 + Math.sin(angle) * reach };
    }),
  );

describe("a cut outline", () => {
  it("keeps all of its area between the part above and the part below", () => {
    fc.assert(
      fc.property(shape, level, (outline, at) => {
        const parts = area(above(outline, at)) + area(below(outline, at));
        expect(parts).toBeCloseTo(area(outline), 6);
      }),
    );
  });

  it("stays on its own side of the level", () => {
    fc.assert(
      fc.property(shape, level, (outline, at) => {
        for (const point of below(outline, at)) expect(point.y).toBeGreaterThanOrEqual(at - 1e-9);
        for (const point of above(outline, at)) expect(point.y).toBeLessThanOrEqual(at + 1e-9);
      }),
    );
  });
});

describe("path data", () => {
  it("never holds an exponent, a minus zero or more than two decimals", () => {
    fc.assert(
      fc.property(fc.double({ min: -5000, max: 5000, noNaN: true }), (value) => {
        expect(coordinate(value)).toMatch(/^(-?(?!0$)\d+(\.\d{1,2})?|0)$/);
        expect(Number(coordinate(value))).toBeCloseTo(value, 1);
      }),
    );
  });

  it("ends within a tenth of a pixel of every corner, however many there are", () => {
    fc.assert(
      fc.property(shape, (outline) => {
        const many = [...outline, ...outline, ...outline, ...outline];
        const drawn = pathPoints(openPath(many))[0] ?? [];
        const last = many.at(-1);
        expect(Math.abs((drawn.at(-1)?.x ?? 0) - (last?.x ?? 0))).toBeLessThan(0.06);
        expect(Math.abs((drawn.at(-1)?.y ?? 0) - (last?.y ?? 0))).toBeLessThan(0.06);
      }),
    );
  });

  it("is empty for what has no area to close", () => {
    expect(closedPath([])).toBe("");
    expect(closedPath([{ x: 0, y: 0 }])).toBe("");
  });
});
