import { describe, expect, test } from "vitest";
import { difference } from "../../shared/colour/difference.ts";
import { type Picture, paletteOf, sampleSwatch } from "../../shared/colour/picture.ts";
import { labOfHex } from "../../shared/colour/tone.ts";
import { refused } from "../../shared/dye/refusal.ts";
import { chance } from "../record/chance.ts";

type Paint = (x: number, y: number) => readonly [number, number, number];

function painted(width: number, height: number, paint: Paint, alpha = 255): Picture {
  const data = new Uint8ClampedArray(4 * width * height);
  for (let y = 0, at = 0; y < height; y++) {
    for (let x = 0; x < width; x++, at += 4) data.set([...paint(x, y), alpha], at);
  }
  return { width, height, data };
}

const swatchAt = { x: 0, y: 0, width: 20, height: 20 };
const cardAt = { x: 20, y: 0, width: 20, height: 20 };
const toByte = (light: number) =>
  Math.round(255 * (light <= 0.0031308 ? 12.92 * light : 1.055 * light ** (1 / 2.4) - 0.055));
const toLight = (byte: number) =>
  byte / 255 <= 0.04045 ? byte / 255 / 12.92 : ((byte / 255 + 0.055) / 1.055) ** 2.4;

/** The swatch on the left and a white card on the right, in a light of a colour. */
function photographed(hex: string, light: readonly [number, number, number]): Picture {
  const bytes = [1, 3, 5].map((at) => Number.parseInt(hex.slice(at, at + 2), 16));
  return painted(40, 20, (x) => {
    const seen = light.map((part, n) => toByte(part * (x < 20 ? toLight(bytes[n] ?? 0) : 0.9)));
    return [seen[0] ?? 0, seen[1] ?? 0, seen[2] ?? 0];
  });
}

const codeOf = (picture: Picture, patch = swatchAt, card = cardAt) => {
  const sample = sampleSwatch(picture, patch, card);
  return refused(sample) ? sample.code : "sampled";
};

describe("a swatch sampled beside a white card", () => {
  test.each([
    ["in even daylight", [0.9, 0.9, 0.9], 1],
    ["in half the light", [0.45, 0.45, 0.45], 1],
    ["in warm light", [0.95, 0.8, 0.6], 4],
  ] as const)("%s has its colour again", (_, light, most) => {
    for (const hex of ["#2e6e86", "#d39a2c", "#8d8f93"]) {
      const sample = sampleSwatch(photographed(hex, light), swatchAt, cardAt);
      if (refused(sample)) throw new Error(sample.say);
      const found = labOfHex(sample.hex);
      const lab = labOfHex(hex);
      if (!found || !lab) throw new Error(sample.hex);
      expect(difference(found, lab)).toBeLessThan(most);
    }
  });

  test("is less sure where it is uneven", () => {
    const even = sampleSwatch(photographed("#2e6e86", [0.9, 0.9, 0.9]), swatchAt, cardAt);
    const uneven = sampleSwatch(
      painted(40, 20, (x) =>
        x >= 20 ? [220, 220, 220] : x < 10 ? [46, 110, 134] : [80, 130, 150],
      ),
      swatchAt,
      cardAt,
    );
    if (refused(even) || refused(uneven)) throw new Error("refused");
    expect(even.spread).toBeLessThan(0.1);
    expect(uneven.spread).toBeGreaterThan(2);
  });

  test("is refused with a sentence where the photograph cannot tell", () => {
    const good = photographed("#2e6e86", [0.9, 0.9, 0.9]);
    expect(codeOf(good)).toBe("sampled");
    expect(codeOf(good, { ...swatchAt, width: 1, height: 1 })).toBe("photo.smallPatch");
    expect(codeOf(good, { ...swatchAt, x: 30 })).toBe("photo.smallPatch");
    expect(codeOf(painted(1, 1, () => [9, 9, 9]))).toBe("photo.smallPatch");
    expect(codeOf(painted(40, 20, (x) => (x < 20 ? [46, 110, 134] : [255, 255, 255])))).toBe(
      "photo.clipped",
    );
    expect(codeOf(painted(40, 20, (x) => (x < 20 ? [10, 10, 10] : [40, 40, 40])))).toBe(
      "photo.darkCard",
    );
    expect(codeOf(painted(40, 20, (x) => (x < 20 ? [46, 110, 134] : [220, 90, 60])))).toBe(
      "photo.tintedCard",
    );
    expect(codeOf(painted(40, 20, (x) => (x < 20 ? [240, 240, 240] : [150, 150, 150])))).toBe(
      "photo.brighter",
    );
  });
});

describe("a palette from a picture", () => {
  const stripes: Paint = (x) => (x < 50 ? [46, 110, 134] : x < 80 ? [211, 154, 44] : [34, 52, 79]);

  test("has its colours with their shares, the largest first", () => {
    const palette = paletteOf(painted(100, 40, stripes));
    if (refused(palette)) throw new Error(palette.say);
    expect(palette.map(({ hex }) => hex)).toEqual(["#2e6e86", "#d39a2c", "#22344f"]);
    expect(palette.map(({ share }) => share)).toEqual([0.5, 0.3, 0.2]);
  });

  test("has at most eight colours of a noisy picture, and their shares come to 1 or a little less", () => {
    const random = chance(3);
    const noise = () => Math.floor(random() * 256);
    const palette = paletteOf(painted(200, 200, () => [noise(), noise(), noise()]));
    if (refused(palette)) throw new Error(palette.say);
    expect(palette.length).toBeLessThanOrEqual(8);
    const whole = palette.reduce((sum, { share }) => sum + share, 0);
    expect(whole).toBeGreaterThan(0.95);
    expect(whole).toBeLessThanOrEqual(1 + 1e-9);
  });

  test("is the same every time", () => {
    const picture = painted(60, 60, (x, y) => [x * 4, y * 4, (x * y) % 256]);
    expect(paletteOf(picture)).toEqual(paletteOf(picture));
  });

  test("of one pixel is its colour, and of nothing is refused", () => {
    const one = paletteOf(painted(1, 1, () => [46, 110, 134]));
    expect(one).toMatchObject([{ hex: "#2e6e86", share: 1 }]);
    expect(paletteOf(painted(4, 4, stripes, 0))).toMatchObject({ code: "picture.empty" });
    expect(paletteOf({ width: 0, height: 0, data: new Uint8Array() })).toMatchObject({
      code: "picture.empty",
    });
  });

  test("of 24 million pixels takes well under a second of work", () => {
    const data = new Uint8Array(4 * 24_000_000).fill(200);
    for (let at = 0; at < data.length; at += 4) data[at] = (at >> 10) & 255;
    const from = process.cpuUsage();
    const palette = paletteOf({ width: 6000, height: 4000, data });
    const { user, system } = process.cpuUsage(from);
    expect(refused(palette)).toBe(false);
    expect((user + system) / 1e6).toBeLessThan(1);
  });
});
