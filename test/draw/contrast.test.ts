import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { contrast, luminance } from "../../shared/draw/contrast.ts";
import { HAIRLINE, INK, INK_RAISED, WOOL, WOOL_LIGHT } from "../../shared/draw/palette.ts";

const hex = fc
  .integer({ min: 0, max: 0xffffff })
  .map((value) => `#${value.toString(16).padStart(6, "0")}`);

describe("contrast", () => {
  // W3C, WCAG 2.2, "contrast ratio" and Understanding 1.4.3, which names these greys.
  it("gives the ratios that W3C publishes", () => {
    expect(contrast("#000000", "#ffffff")).toBeCloseTo(21, 10);
    expect(contrast("#767676", "#ffffff")).toBeCloseTo(4.54, 2);
    expect(contrast("#777777", "#ffffff")).toBeCloseTo(4.48, 2);
  });

  it("gives black no luminance and white all of it", () => {
    expect(luminance("#000000")).toBe(0);
    expect(luminance("#ffffff")).toBeCloseTo(1, 10);
  });

  it("does not mind the order of the two colours and stays between 1 and 21", () => {
    fc.assert(
      fc.property(hex, hex, (one, other) => {
        const ratio = contrast(one, other);
        expect(ratio).toBeCloseTo(contrast(other, one), 10);
        expect(ratio).toBeGreaterThanOrEqual(1);
        expect(ratio).toBeLessThanOrEqual(21.000001);
      }),
    );
  });

  it("keeps the edge of every dye at 3:1 or more on each ground", () => {
    for (const ground of [WOOL, WOOL_LIGHT, INK, INK_RAISED]) {
      expect(contrast(HAIRLINE, ground)).toBeGreaterThanOrEqual(3);
    }
  });
});
