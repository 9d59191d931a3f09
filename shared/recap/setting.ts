import bidiFactory from "bidi-js";
import baked from "./faces.json" with { type: "json" };

/** The weights that letters are baked in. */
export type Weight = "text" | "strong";

/** How a text is set: letters of a size, px, and figures of one width where they stand in a column. */
export type Style = { size: number; weight: Weight; tabular?: boolean };

type Baked = {
  /** "ADVANCE OUTLINE", in thousandths of the size, upwards. */
  glyphs: Readonly<Record<string, string>>;
  tabular: Readonly<Record<string, string>>;
  /** For a first letter the second ones and what comes between, "T -49 V -49". */
  kern: Readonly<Record<string, string>>;
};

type Outline = readonly (readonly [letter: string, numbers: readonly number[]])[];
type Glyph = { advance: number; outline: Outline; middle: number };
/** A letter with the marks that stand on it, in the order in which it is seen. */
type Cluster = { base: string; marks: readonly string[] };
type Placed = { glyph: Glyph; at: number };

const faces: Readonly<Record<Weight, Baked>> = baked;
const bidi = bidiFactory();
const RIGHT_TO_LEFT =
  /[\u0590-\u08ff\u200f\u2067\ufb1d-\ufdff\ufe70-\ufeff\u{10800}-\u{10fff}\u{1e800}-\u{1efff}]/u;
const INVISIBLE = /^[\p{Cf}\p{Cc}\p{Zl}\p{Zp}]$/u;
const ELLIPSIS = "…";

/** Blanks that a face may lack, in thousandths of the size; the narrow one as tokens.css has it. */
const BLANKS: Readonly<Record<string, number>> = { "\u202f": 160, "\u2009": 200, "\u3000": 1000 };

/** What stands for a letter that the bundled faces lack: an open box, seen and never mistaken. */
const missing = glyphOf("640 M70 -60l0 800l500 0l0 -800zM130 0l380 0l0 680l-380 0z");

const known: Record<Weight, Map<string, Glyph | null>> = { text: new Map(), strong: new Map() };
const knownTabular: Record<Weight, Map<string, Glyph | null>> = {
  text: new Map(),
  strong: new Map(),
};

function glyphOf(written: string): Glyph {
  const cut = written.indexOf(" ");
  const path = cut === -1 ? "" : written.slice(cut + 1);
  const outline = [...path.matchAll(/([Mlqcz])([^Mlqcz]*)/g)].map(
    ([, letter = "", numbers = ""]) =>
      [letter, numbers === "" ? [] : numbers.trim().split(/\s+/).map(Number)] as const,
  );
  return {
    advance: Number(cut === -1 ? written : written.slice(0, cut)),
    outline,
    middle: middleOf(outline),
  };
}

/** Where the middle of an outline stands, so that a mark can be set over a letter's. */
function middleOf(outline: Outline): number {
  let [least, most, x] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, 0];
  for (const [letter, numbers] of outline) {
    if (letter === "z") continue;
    x = letter === "M" ? (numbers[0] ?? 0) : x + (numbers.at(-2) ?? 0);
    least = Math.min(least, x);
    most = Math.max(most, x);
  }
  return least <= most ? (least + most) / 2 : 0;
}

function find(letter: string, { weight, tabular }: Style): Glyph | null {
  const figures = tabular === true && letter >= "0" && letter <= "9";
  const cache = (figures ? knownTabular : known)[weight];
  const cached = cache.get(letter);
  if (cached !== undefined) return cached;
  const face = faces[weight];
  const table = figures ? face.tabular : face.glyphs;
  const blank = /^\p{Zs}$/u.test(letter) ? String(BLANKS[letter] ?? 280) : undefined;
  const written = Object.hasOwn(table, letter) ? table[letter] : blank;
  const glyph = written === undefined ? null : glyphOf(written);
  cache.set(letter, glyph);
  return glyph;
}

function kernOf(first: string, second: string, weight: Weight): number {
  if (!/^[A-Za-z]{2}$/.test(first + second)) return 0;
  const pairs = faces[weight].kern[first];
  if (pairs === undefined) return 0;
  const at = pairs.indexOf(`${second} `);
  return at === -1 ? 0 : Number.parseInt(pairs.slice(at + 2), 10);
}

/** Letters in the order in which they are read. */
function readingOrder(text: string): Cluster[] {
  const clusters: { base: string; marks: string[] }[] = [];
  for (const letter of text.normalize("NFC").replaceAll(/[\t\r\n]+/g, " ")) {
    const last = clusters.at(-1);
    if (/^\p{M}$/u.test(letter) && last) last.marks.push(letter);
    else clusters.push({ base: letter, marks: [] });
  }
  return clusters;
}

/** Letters in the order in which they are seen, from the left. */
function clustersOf(text: string): Cluster[] {
  const clusters = readingOrder(text);
  return RIGHT_TO_LEFT.test(text) ? reordered(clusters) : clusters;
}

/** The Unicode Bidirectional Algorithm (UAX 9), of a text that stands among ones left to right. */
function reordered(clusters: readonly Cluster[]): Cluster[] {
  // One code unit a cluster; letters beyond the first plane are boxes, which have no direction.
  const plain = clusters.map(({ base }) => (base.length === 1 ? base : "\u25a1")).join("");
  const levels = bidi.getEmbeddingLevels(plain, "ltr");
  const mirrored = bidi.getMirroredCharactersMap(plain, levels);
  const seen = clusters.map((cluster, at) => {
    const base = mirrored.get(at);
    return base === undefined ? cluster : { ...cluster, base };
  });
  for (const [start, end] of bidi.getReorderSegments(plain, levels)) {
    const turned = seen.slice(start, end + 1).reverse();
    seen.splice(start, turned.length, ...turned);
  }
  return seen;
}

/** Glyphs and where each begins, in thousandths of the size. */
function place(text: string, style: Style): Placed[] {
  const placed: Placed[] = [];
  let at = 0;
  let before = "";
  for (const { base, marks } of clustersOf(text)) {
    if (INVISIBLE.test(base)) continue;
    const found = find(base, style);
    const glyph = found ?? missing;
    at += kernOf(before, base, style.weight);
    placed.push({ glyph, at });
    for (const mark of found ? marks : []) {
      const over = find(mark, style);
      if (over) placed.push({ glyph: over, at: at + glyph.middle - over.middle });
    }
    at += glyph.advance;
    before = base;
  }
  return placed;
}

/** A text's letters in the order in which it is read, and how far it reaches after each. */
type Measured = { letters: readonly string[]; ends: readonly number[] };

const measured = new Map<string, Measured>();
const mostMeasured = 4_000;

/**
 * Kerning stands between Latin letters alone, so that how far a text reaches does not depend on the
 * direction in which it is read.
 */
function measure(text: string, style: Style): Measured {
  const key = `${style.weight}${style.tabular === true ? "#" : " "}${text}`;
  const cached = measured.get(key);
  if (cached) return cached;
  const letters: string[] = [];
  const ends: number[] = [];
  let at = 0;
  let before = "";
  for (const { base, marks } of readingOrder(text)) {
    letters.push(base + marks.join(""));
    if (!INVISIBLE.test(base)) {
      at += kernOf(before, base, style.weight) + (find(base, style) ?? missing).advance;
      before = base;
    }
    ends.push(at);
  }
  if (measured.size >= mostMeasured) measured.clear();
  const made = { letters, ends };
  measured.set(key, made);
  return made;
}

/** Width of a text in one line, px: the sum of its letters' advances with their kerning. */
export function widthOf(text: string, style: Style): number {
  return ((measure(text, style).ends.at(-1) ?? 0) / 1000) * style.size;
}

/**
 * A text as path data, its line's foot at `y`. The same on every screen and in every file, for no
 * font is asked.
 */
export function outlined(text: string, style: Style, x: number, y: number): string {
  const scale = style.size / 1000;
  let path = "";
  for (const { glyph, at } of place(text, style)) {
    const left = x + at * scale;
    for (const [letter, numbers] of glyph.outline) {
      path += letter;
      numbers.forEach((number, order) => {
        const across = order % 2 === 0;
        const moved = (across ? number : -number) * scale;
        const value = letter === "M" ? moved + (across ? left : y) : moved;
        path += `${order === 0 ? "" : " "}${hundredths(value)}`;
      });
    }
  }
  return path;
}

function hundredths(value: number): string {
  return String(Math.round(value * 100) / 100 || 0);
}

/**
 * Text as it stands among text from left to right; one from right to left is kept to itself.
 *
 * @param whole what it is a line of: that begins by its first letter from one side or the other
 */
export function isolated(text: string, whole = text): string {
  if (!RIGHT_TO_LEFT.test(text)) return text;
  const [paragraph] = bidi.getEmbeddingLevels(whole, "auto").paragraphs;
  return `${paragraph?.level === 1 ? "\u2067" : "\u2066"}${text}\u2069`;
}

/** The text itself where it fits into `width` px, else its beginning and an ellipsis. */
export function fitted(text: string, style: Style, width: number): string {
  if (widthOf(text, style) <= width) return text;
  const { letters, ends } = measure(text, style);
  const room = ((width - widthOf(ELLIPSIS, style)) * 1000) / style.size;
  let count = letters.length;
  while (count > 0 && (ends[count - 1] ?? 0) > room) count -= 1;
  return `${letters.slice(0, count).join("").trimEnd()}${ELLIPSIS}`;
}

/** A name and what must stay whole behind it; the name is shortened where both do not fit. */
export function fittedWith(name: string, tail: string, style: Style, width: number): string {
  const whole = `${isolated(name)}${tail}`;
  if (widthOf(whole, style) <= width) return whole;
  return `${isolated(fitted(name, style, width - widthOf(tail, style)))}${tail}`;
}

/**
 * A text over so many lines at most, broken between words, within one only where it is longer
 * than a line; what has no room is left out at the end, and an ellipsis says so.
 */
export function wrapped(text: string, style: Style, width: number, lines: number): string[] {
  const { letters, ends } = measure(text.trim().replaceAll(/[ \t\r\n]+/g, " "), style);
  const room = (width * 1000) / style.size;
  const made: string[] = [];
  let from = 0;
  while (from < letters.length && made.length < lines) {
    const before = from === 0 ? 0 : (ends[from - 1] ?? 0);
    let to = from;
    let blank = -1;
    while (to < letters.length && (ends[to] ?? 0) - before <= room) {
      if (letters[to] === " ") blank = to;
      to += 1;
    }
    const whole = to === letters.length;
    if (!whole && made.length === lines - 1) {
      made.push(fitted(letters.slice(from).join(""), style, width));
      break;
    }
    // A blank that has no room any more ends the line as well as one within it.
    if (letters[to] === " ") blank = to;
    const cut = whole ? to : blank > from ? blank : Math.max(to, from + 1);
    made.push(letters.slice(from, cut).join(""));
    from = letters[cut] === " " ? cut + 1 : cut;
  }
  return made.length === 0 ? [""] : made;
}
