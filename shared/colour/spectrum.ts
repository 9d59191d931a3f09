import { type Refusal, refuse } from "../dye/refusal.ts";

/** The first and last wavelength of every spectrum in the program, and the distance, nm. */
export const FIRST_NM = 400;
export const LAST_NM = 700;
export const STEP_NM = 10;
/** Values in a spectrum: 400, 410 … 700 nm. */
export const BANDS = (LAST_NM - FIRST_NM) / STEP_NM + 1;

/** One value for each 10 nm from 400 to 700 nm: a reflectance (0 to 1) or a K/S (0 and up). */
export type Spectrum = Float64Array;

export function wavelengthNm(band: number): number {
  return FIRST_NM + band * STEP_NM;
}

export function spectrumOf(value: (band: number, nm: number) => number): Spectrum {
  return Float64Array.from({ length: BANDS }, (_, band) => value(band, wavelengthNm(band)));
}

/** The most a file's first or last wavelength may fall short of 400 and 700 nm, nm. */
const MOST_SHORT_NM = 10;

/** The widest gap between two wavelengths of a file, nm. */
const WIDEST_GAP_NM = 20;

/** The longest text that is read as a reflectance file, characters. */
const LONGEST_TEXT = 1_000_000;

/**
 * Reads a reflectance file: lines of a wavelength in nm and a reflectance, 400 to 700 nm at 20 nm or
 * closer, as shares of 1 or in %; separated by space, tab, comma or semicolon, other lines are
 * passed over. Values between are interpolated linearly (ASTM E2022 allows it at 10 nm); up to
 * 10 nm that are missing at an end take the end's value.
 *
 * @returns reflectances as shares, over 1 where the file says so, or a sentence that says what is
 *   the matter with the file
 */
export function readReflectance(text: string): Spectrum | Refusal {
  if (text.length > LONGEST_TEXT) {
    return refuse("reflectance.tooLong", "This file is too long to be one swatch's reflectance.");
  }
  const points: { nm: number; value: number }[] = [];
  for (const line of text.split(/\r?\n/)) {
    const found = /^\s*"?(\d{3,4}(?:\.\d+)?)"?\s*(?:nm)?[\s,;:]+"?(-?\d*\.?\d+(?:e-?\d+)?)"?/i.exec(
      line,
    );
    if (found) points.push({ nm: Number(found[1]), value: Number(found[2]) });
  }
  points.sort((a, b) => a.nm - b.nm);
  const within = points.filter(({ nm }) => nm >= FIRST_NM - 20 && nm <= LAST_NM + 20);
  const first = within[0];
  const last = within.at(-1);
  if (!first || !last) {
    return refuse(
      "reflectance.empty",
      "No reflectance found: a line holds a wavelength in nm and a reflectance, such as 550, 0.42.",
    );
  }
  if (first.nm > FIRST_NM + MOST_SHORT_NM || last.nm < LAST_NM - MOST_SHORT_NM) {
    return refuse(
      "reflectance.short",
      `This file covers ${first.nm} to ${last.nm} nm: it has to cover 400 to 700 nm.`,
    );
  }
  for (const [at, point] of within.entries()) {
    const before = within[at - 1];
    if (before && point.nm === before.nm) {
      return refuse("reflectance.twice", `${point.nm} nm is there twice: keep one swatch a file.`);
    }
    if (before && point.nm - before.nm > WIDEST_GAP_NM) {
      return refuse(
        "reflectance.gap",
        `Nothing between ${before.nm} and ${point.nm} nm: measure every 20 nm or closer.`,
      );
    }
  }
  // A dyed or undyed yarn lies under 100 % but, in %, never under 2 % at every wavelength.
  const most = Math.max(...within.map(({ value }) => value));
  const unit = most > 2 ? 100 : 1;
  const below = within.find(({ value }) => value < 0);
  if (below) {
    return refuse("reflectance.negative", `The reflectance at ${below.nm} nm is below 0.`);
  }
  return spectrumOf((_, nm) => between(within, nm) / unit);
}

function between(points: readonly { nm: number; value: number }[], nm: number): number {
  const at = points.findIndex((point) => point.nm >= nm);
  const right = points[at] ?? points.at(-1);
  const left = points[at < 0 ? points.length - 1 : Math.max(0, at - 1)];
  if (!left || !right) return 0;
  if (right.nm === left.nm) return right.value;
  const share = Math.min(1, Math.max(0, (nm - left.nm) / (right.nm - left.nm)));
  return left.value + share * (right.value - left.value);
}
