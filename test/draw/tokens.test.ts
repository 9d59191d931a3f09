import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { describe, expect, it } from "vitest";
import { contrast } from "../../shared/draw/contrast.ts";
import * as palette from "../../shared/draw/palette.ts";

const css = readFileSync(new URL("../../shared/draw/tokens.css", import.meta.url), "utf8");
const tokens = new Map(
  [...css.matchAll(/--([a-z-]+): (#[0-9a-f]{6});/g)].map((found) => [found[1], found[2]]),
);
const token = (name: string): string => {
  const value = tokens.get(name);
  if (value === undefined) throw new Error(`no token --${name}`);
  return value;
};

describe("tokens", () => {
  it("say the same colours as the palette that drawings use", () => {
    const inPalette = Object.entries(palette)
      .filter(([, value]) => String(value).startsWith("#"))
      .map(([name, value]) => [name.toLowerCase().replaceAll("_", "-"), value]);
    expect(Object.fromEntries(inPalette)).toEqual(Object.fromEntries(tokens));
  });

  it.each([
    ["ink", "wool", 7],
    ["wool-quiet", "wool", 4.5],
    ["wool-quiet", "wool-light", 4.5],
    ["wool-quiet", "wool-deep", 4.5],
    ["wool", "action", 4.5],
    ["wool", "action-down", 4.5],
    ["wool", "ink", 7],
    ["wool", "ink-raised", 7],
    ["ink-quiet", "ink", 7],
    ["ink-quiet", "ink-raised", 7],
    ["action-on-ink", "ink", 7],
    ["ink", "caution", 7],
  ])("keep --%s on --%s at %d:1 or more", (text, ground, least) => {
    expect(contrast(token(text), token(ground))).toBeGreaterThanOrEqual(least);
  });

  it("state beside each colour the contrast it really has", () => {
    const stated = [
      ["wool-quiet", "wool", "6.17 on wool"],
      ["wool-quiet", "wool-deep", "5.24 on wool-deep"],
      ["wool-quiet", "wool-light", "6.85 on wool-light"],
      ["ink", "wool", "text on wool: 13.79"],
      ["wool", "ink-raised", "wool on it: 11.03"],
      ["ink-quiet", "ink", "9.45 on ink"],
      ["ink-quiet", "ink-raised", "7.56 on ink-raised"],
      ["wool", "action", "wool on it: 5.13"],
      ["wool", "action-down", "wool on it: 7.15"],
      ["action-on-ink", "ink", "8.33 on ink"],
      ["ink", "caution", "ink on it: 9.31"],
      ["caution", "wool", "amber text on wool: 1.48"],
    ] as const;
    for (const [text, ground, note] of stated) {
      expect(css).toContain(note);
      const figure = Number(/\d+\.\d+/.exec(note)?.[0]);
      expect(contrast(token(text), token(ground))).toBeCloseTo(figure, 2);
    }
  });

  it("name font files that are there", () => {
    const require = createRequire(import.meta.url);
    const files = [...css.matchAll(/url\("([^"]+)"\)/g)].map((found) => String(found[1]));
    expect(files).toHaveLength(2);
    for (const file of files) {
      expect(readFileSync(require.resolve(file)).subarray(0, 4).toString("latin1")).toBe("wOF2");
    }
  });
});
