// Bakes the letters of the recap card into shared/recap/faces.json: advance, kerning and outline of
// every letter, so that screen and file set and draw the same text without a font of their own.
// Run it after the font packages change; test/recap/face.test.ts holds the two together.
import { readFileSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import * as fontkit from "fontkit";
import { root } from "./build.mjs";

const { decompress } = createRequire(import.meta.url)("wawoff2");

/** The faces in the order in which they are asked for a letter. */
const files = [
  "atkinson-hyperlegible-next/files/atkinson-hyperlegible-next-latin-wght-normal",
  "atkinson-hyperlegible-next/files/atkinson-hyperlegible-next-latin-ext-wght-normal",
  "noto-sans/files/noto-sans-greek-wght-normal",
  "noto-sans/files/noto-sans-greek-ext-wght-normal",
  "noto-sans/files/noto-sans-cyrillic-wght-normal",
  "noto-sans/files/noto-sans-cyrillic-ext-wght-normal",
  "noto-sans-hebrew/files/noto-sans-hebrew-hebrew-wght-normal",
];

/** The weights of the overlay's own text, as tokens.css has them. */
export const weights = { text: 420, strong: 720 };

/** Latin with its extensions and punctuation, Greek, Cyrillic, Hebrew; no historic letters. */
const wanted = [
  [0x20, 0x7e],
  [0xa0, 0x24f],
  [0x2b0, 0x36f],
  [0x370, 0x52f],
  [0x591, 0x5f4],
  [0x1e00, 0x1fff],
  [0x2000, 0x206f],
  [0x20a0, 0x20bf],
  [0x2116, 0x2122],
  [0x2212, 0x2215],
];
const kerned = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz";

/** @typedef {import("fontkit").Font} Font */

/** The variable fonts, unpacked, because the weight of a packed one cannot be chosen. */
async function fonts() {
  /** @type {Font[]} */
  const unpacked = [];
  // One after the other: the unpacker has one memory for all.
  for (const file of files) {
    const path = join(root, "node_modules", "@fontsource-variable", `${file}.woff2`);
    const font = fontkit.create(Buffer.from(await decompress(readFileSync(path))));
    unpacked.push(/** @type {Font} */ (font));
  }
  return unpacked;
}

/** All that shared/recap/faces.json holds, in units of a thousandth of the size. */
export async function bakeFaces() {
  const all = await fonts();
  /** @type {Record<string, unknown>} */
  const faces = {};
  for (const [name, wght] of Object.entries(weights)) {
    const set = all.map((font) => {
      const made = /** @type {{ getVariation(axes: object): Font }} */ (
        /** @type {unknown} */ (font)
      );
      return made.getVariation({ wght });
    });
    /** @type {Record<string, string>} */
    const glyphs = {};
    for (const [from = 0, to = 0] of wanted) {
      for (let code = from; code <= to; code += 1) {
        const font = set.find((one) => one.hasGlyphForCodePoint(code));
        if (font) glyphs[String.fromCodePoint(code)] = baked(font, font.glyphForCodePoint(code));
      }
    }
    const [latin] = set;
    if (!latin) throw new Error("There is no face to bake.");
    /** @type {Record<string, string>} */
    const tabular = {};
    for (const digit of "0123456789") {
      const [glyph] = latin.layout(digit, ["tnum"]).glyphs;
      if (glyph) tabular[digit] = baked(latin, glyph);
    }
    faces[name] = { glyphs, tabular, kern: kerning(latin) };
  }
  return faces;
}

/**
 * Advance and outline of one glyph: "683 M12 0l5-600q...z", upwards as fonts have it.
 * @param {Font} font
 * @param {import("fontkit").Glyph} glyph
 */
function baked(font, glyph) {
  const scale = 1000 / font.unitsPerEm;
  const units = (/** @type {number} */ value) => Math.round(value * scale);
  let [x, y] = [0, 0];
  let path = "";
  for (const { command, args } of glyph.path.commands) {
    const points = args.map(units);
    if (command === "closePath") {
      path += "z";
      continue;
    }
    if (command === "moveTo") path += `M${points.join(" ")}`;
    else {
      const letter = command === "lineTo" ? "l" : command === "quadraticCurveTo" ? "q" : "c";
      const steps = points.map(
        (/** @type {number} */ value, /** @type {number} */ at) => value - (at % 2 === 0 ? x : y),
      );
      path += `${letter}${steps.join(" ")}`;
    }
    [x = 0, y = 0] = points.slice(-2);
  }
  return `${units(glyph.advanceWidth)} ${path}`.trim();
}

/**
 * What comes between two letters: for each first, the seconds, "T -49 V -49".
 * @param {Font} font
 */
function kerning(font) {
  /** @type {Record<string, string>} */
  const pairs = {};
  for (const first of kerned) {
    const found = [];
    for (const second of kerned) {
      const { glyphs, positions } = font.layout(first + second);
      const by = Math.round((positions[0]?.xAdvance ?? 0) - (glyphs[0]?.advanceWidth ?? 0));
      if (Math.abs(by) >= 2) found.push(`${second} ${by}`);
    }
    if (found.length > 0) pairs[first] = found.join(" ");
  }
  return pairs;
}

if (import.meta.url === pathToFileURL(join(process.argv[1] ?? "")).href) {
  const file = join(root, "shared", "recap", "faces.json");
  writeFileSync(file, `${JSON.stringify(await bakeFaces(), null, 2)}\n`);
}
