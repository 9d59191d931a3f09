import { describe, expect, test } from "vitest";
import { dosesOf, type HexSwatch, predict, yarnOfHex } from "../../shared/colour/predict.ts";
import { labOfHex } from "../../shared/colour/tone.ts";

const lantern: HexSwatch = { hex: "#d39a2c", swatchDepthPct: 1, swatchBaseHex: "#efe6d6" };
const deepwater: HexSwatch = { hex: "#22344f", swatchDepthPct: 1.5, swatchBaseHex: "#efe6d6" };

function shown(baseHex: string, doses: Parameters<typeof dosesOf>[0]): string {
  const yarn = yarnOfHex(baseHex);
  if (!yarn) throw new Error(baseHex);
  return predict(yarn, dosesOf(doses)).hex;
}

const lightness = (hex: string) => labOfHex(hex)?.l ?? Number.NaN;

describe("the colour predicted for a screen", () => {
  test("of a dye at its swatch's depth on its swatch's yarn is the swatch", () => {
    for (const swatch of [lantern, deepwater]) {
      const doses = [{ swatch, depthPct: swatch.swatchDepthPct }];
      expect(shown(swatch.swatchBaseHex, doses)).toBe(swatch.hex);
    }
  });

  test("of no dye is the yarn", () => {
    expect(shown("#d9cdb8", [])).toBe("#d9cdb8");
  });

  test("gets darker with depth", () => {
    const at = (depthPct: number) => shown("#efe6d6", [{ swatch: deepwater, depthPct }]);
    const steps = [0, 0.1, 0.5, 1, 2, 4].map((depth) => lightness(at(depth)));
    expect(steps).toEqual([...steps].sort((a, b) => b - a));
    expect(new Set(steps).size).toBe(steps.length);
  });

  test("does not depend on the order of the dyes", () => {
    const a = { swatch: lantern, depthPct: 0.4 };
    const b = { swatch: deepwater, depthPct: 0.2 };
    expect(shown("#efe6d6", [a, b])).toBe(shown("#efe6d6", [b, a]));
  });

  test("of a swatch lighter than its yarn adds nothing rather than bleaching it", () => {
    const pale: HexSwatch = { hex: "#ffffff", swatchDepthPct: 1, swatchBaseHex: "#808080" };
    expect(shown("#808080", [{ swatch: pale, depthPct: 3 }])).toBe("#808080");
  });

  test("stays a colour for a black swatch at a great depth", () => {
    const black: HexSwatch = { hex: "#000000", swatchDepthPct: 0.1, swatchBaseHex: "#efe6d6" };
    expect(shown("#efe6d6", [{ swatch: black, depthPct: 100 }])).toMatch(/^#[0-9a-f]{6}$/);
  });

  test("of a swatch that cannot be read is the yarn's", () => {
    const none: HexSwatch = { hex: "#2e6e86", swatchDepthPct: 0, swatchBaseHex: "#efe6d6" };
    expect(shown("#efe6d6", [{ swatch: none, depthPct: 1 }])).toBe("#efe6d6");
  });
});
