/**
 * Advance of letters in the bundled face at weight 700, its wider end, in em, rounded up:
 * measured in Chromium. Figures are the tabular ones.
 */
const WIDTHS: readonly (readonly [letters: string, ems: number])[] = [
  ["\u202f", 0.16],
  [".,:;'’", 0.28],
  ["j", 0.26],
  [" il|!", 0.32],
  ["frt-", 0.38],
  ["I()", 0.43],
  ["csz", 0.515],
  ["vyx", 0.545],
  ["aehknu", 0.575],
  ["bdgopqEFJL", 0.6],
  ["TSZ0123456789−+", 0.635],
  ["BCPKRVY", 0.67],
  ["ADGHNUX", 0.72],
  ["wOQ", 0.76],
  ["…", 0.79],
  ["mWM%", 0.97],
];
const OTHER_WIDTH = 0.8;

/**
 * A width that this text will not exceed in the bundled face, in the unit of `size`.
 * It is an estimate from letter classes: drawings are made without a page to measure on.
 */
export function textWidth(text: string, size: number): number {
  let ems = 0;
  for (const letter of text) {
    ems += WIDTHS.find(([letters]) => letters.includes(letter))?.[1] ?? OTHER_WIDTH;
  }
  return ems * size;
}

/**
 * The text itself when it fits, else its beginning and an ellipsis; a number at its end is kept,
 * for it is what tells one skein of a set from the next. Empty when not even that fits.
 */
export function fitText(text: string, size: number, width: number): string {
  if (textWidth(text, size) <= width) return text;
  const tail = /\d{1,3}$/.exec(text)?.[0] ?? "";
  const letters = [...text.slice(0, text.length - tail.length)];
  for (const end of tail === "" ? [""] : [tail, ""]) {
    for (let count = letters.length - 1; count > 0; count -= 1) {
      const short = `${letters.slice(0, count).join("").trimEnd()}…${end}`;
      if (textWidth(short, size) <= width) return short;
    }
  }
  return "";
}
