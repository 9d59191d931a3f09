import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import fc from "fast-check";
import * as fontkit from "fontkit";
import { describe, expect, test } from "vitest";
import {
  fitted,
  fittedWith,
  isolated,
  outlined,
  widthOf,
  wrapped,
} from "../../shared/recap/setting.ts";

const packages = createRequire(import.meta.url);
const text = { size: 28, weight: "text" } as const;

/** Where the outline's points reach from and to, across. */
function across(path: string): [least: number, most: number] {
  const xs = [...path.matchAll(/M(-?[\d.]+) /g)].map(([, x]) => Number(x));
  return [Math.min(...xs), Math.max(...xs)];
}

describe("letters of the recap card", () => {
  test("are as wide as the bundled face says", async () => {
    const { decompress } = packages("wawoff2") as {
      decompress(packed: Buffer): Promise<Uint8Array>;
    };
    const file = packages.resolve(
      "@fontsource-variable/atkinson-hyperlegible-next/files/atkinson-hyperlegible-next-latin-wght-normal.woff2",
    );
    const font = fontkit.create(Buffer.from(await decompress(readFileSync(file)))) as unknown as {
      getVariation(axes: object): fontkit.Font;
    };
    for (const [weight, wght] of [
      ["text", 420],
      ["strong", 720],
    ] as const) {
      const face = font.getVariation({ wght });
      for (const said of ["Saltmarsh", "Tidewrack", "AVATAR", "Tovey", "Gullwing"]) {
        const { advanceWidth } = face.layout(said);
        // Each advance is baked to a thousandth of the size.
        expect(Math.abs(widthOf(said, { size: 1000, weight }) - advanceWidth)).toBeLessThan(
          said.length,
        );
      }
      const digits = face.layout("0123456789", ["tnum"]).advanceWidth;
      expect(widthOf("0123456789", { size: 1000, weight, tabular: true })).toBeCloseTo(digits, -1);
    }
  });

  test("stand from right to left where they are read so, and figures beside them do not", () => {
    // Read alef first: it stands to the right of bet, as in every Hebrew text.
    const [alef] = across(outlined("א", text, 0, 0));
    const both = outlined("אב", text, 0, 0);
    expect(across(both)[1]).toBeGreaterThan(alef + 10);
    expect(
      outlined(`${isolated("אב")} 1 %`, text, 0, 0).startsWith(outlined("ב", text, 0, 0)),
    ).toBe(true);
  });

  test("keep the direction of the name that they are a line of", () => {
    const line = "ערביים Salt";
    const set = (said: string) => outlined(said, text, 0, 0);
    expect(set(isolated(line, `Соль ${line}`))).toBe(set(`${isolated("ערביים")} Salt`));
    expect(set(isolated(line))).toBe(set(`Salt ${isolated("ערביים")}`));
  });

  test("that no face has are open boxes, and what is invisible takes no room", () => {
    expect(outlined("港", text, 0, 0)).toMatch(/^M.*zM.*z$/);
    expect(widthOf("港", text)).toBeGreaterThan(10);
    expect(widthOf("\u2068Ebb\u2069\u200d", text)).toBe(widthOf("Ebb", text));
  });

  test("never reach past the width that they are set in", () => {
    const anyText = fc.string({ unit: "grapheme", maxLength: 120 });
    fc.assert(
      fc.property(
        anyText,
        fc.integer({ min: 60, max: 900 }),
        fc.integer({ min: 1, max: 4 }),
        (said, width, lines) => {
          const set = wrapped(said, text, width, lines);
          expect(set.length).toBeLessThanOrEqual(lines);
          for (const line of set) expect(widthOf(line, text)).toBeLessThanOrEqual(width + 0.01);
          expect(widthOf(fitted(said, text, width), text)).toBeLessThanOrEqual(width + 0.01);
          const tailed = fittedWith(said, " 1\u202f%", text, width + 60);
          expect(tailed.endsWith(" 1\u202f%")).toBe(true);
          expect(widthOf(tailed, text)).toBeLessThanOrEqual(width + 60.01);
        },
      ),
      { numRuns: 200 },
    );
  });

  test("are all there when they are broken into enough lines", () => {
    const said = "Saltmarsh and Lantern over a grey ground, then Deepwater";
    expect(wrapped(said, text, 200, 20).join(" ")).toBe(said);
    expect(wrapped(said, text, 200, 2)[1]).toMatch(/…$/);
  });
});
