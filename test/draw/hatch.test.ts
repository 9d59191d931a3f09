import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { hatchPath } from "../../shared/draw/hatch.ts";

describe("hatchPath", () => {
  it("keeps every line inside the box", () => {
    const length = fc.double({ min: 0.5, max: 400, noNaN: true });
    fc.assert(
      fc.property(
        length,
        length,
        fc.double({ min: 2, max: 20, noNaN: true }),
        (wide, tall, gap) => {
          const lines = hatchPath(10, 20, wide, tall, gap);
          const numbers = (lines.match(/-?\d+(\.\d+)?/g) ?? []).map(Number);
          numbers.forEach((value, index) => {
            const [from, to] = index % 2 === 0 ? [10, 10 + wide] : [20, 20 + tall];
            expect(value).toBeGreaterThanOrEqual(from - 0.02);
            expect(value).toBeLessThanOrEqual(to + 0.02);
          });
          if (wide > 2 * gap) expect(lines).not.toBe("");
        },
      ),
    );
  });

  it("draws nothing in a box that has no area", () => {
    expect(hatchPath(0, 0, 0, 10, 4)).toBe("");
  });
});
