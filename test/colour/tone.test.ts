import Color from "colorjs.io";
import { describe, expect, test } from "vitest";
import { difference } from "../../shared/colour/difference.ts";
import { labOfHex, shownLab, shownXyz, xyzOfHex, xyzOfLab } from "../../shared/colour/tone.ts";

const hexes = [
  "#000000",
  "#ffffff",
  "#808080",
  "#d39a2c",
  "#22344f",
  "#ff0000",
  "#00ff00",
  "#0000ff",
];

describe("a screen colour", () => {
  test.each(hexes)("%s has the tristimulus values and CIELAB of a second library", (hex) => {
    const other = new Color(hex);
    const [x = 0, y = 0, z = 0] = other.to("xyz-d65").coords.map(Number);
    const xyz = xyzOfHex(hex);
    expect(xyz?.x).toBeCloseTo(x, 5);
    expect(xyz?.y).toBeCloseTo(y, 5);
    expect(xyz?.z).toBeCloseTo(z, 5);
    const [l = 0, a = 0, b = 0] = other.to("lab-d65").coords.map(Number);
    const lab = labOfHex(hex);
    expect(lab && difference(lab, { l, a, b })).toBeLessThan(1e-3);
  });

  test.each(hexes)("%s comes back from CIELAB", (hex) => {
    const lab = labOfHex(hex);
    expect(lab && shownLab(lab)).toEqual({ hex, inGamut: true });
  });

  test.each(["", "red", "#12345", "#12345678", "url(x)"])("is not read from %j", (hex) => {
    expect(xyzOfHex(hex)).toBeUndefined();
  });
});

describe("a colour that sRGB does not have", () => {
  const vivid = { l: 50, a: -80, b: 10 };

  test("is said to be out of gamut and shown by one of nearly its lightness", () => {
    const { hex, inGamut } = shownLab(vivid);
    expect(inGamut).toBe(false);
    expect(hex).toMatch(/^#[0-9a-f]{6}$/);
    expect(Math.abs((labOfHex(hex)?.l ?? 0) - vivid.l)).toBeLessThan(5);
  });

  test("is neither black nor white only because a channel is full", () => {
    expect(shownXyz(xyzOfLab({ l: 60, a: 20, b: -90 })).hex).not.toMatch(/^#(000000|ffffff)$/);
  });
});
