import { ksOf, reflectanceOf } from "../../../shared/colour/kubelkaMunk.ts";
import { BANDS, type Spectrum, spectrumOf, wavelengthNm } from "../../../shared/colour/spectrum.ts";
import { chance } from "../../record/chance.ts";

/**
 * Dyed yarns of our own making, the same at every run, for which every K/S is known.
 *
 * A dye is a sum of absorption bands in wavenumber: one main band in the yellow, red or blue dyes'
 * range (or two or three bands, as in browns, greens and blacks) with a vibronic progression of
 * 1,150 to 1,500 cm-1 and widths of 550 to 1,500 cm-1, one or two broad bands in the near ultraviolet
 * whose tails reach into the violet, and a background of 0.2 to 3 % of the peak that falls towards the
 * red. Undyed wool absorbs more towards the violet, with 2 to 6 % K/S left in the red. A yarn's peak
 * K/S spreads evenly in its logarithm. Ranges are common knowledge of dye spectra, no source. Half of
 * the yarns carry two or three dyes; up to 2 % is reflected by the surface before it meets dye.
 */
export type DyedYarns = { readonly undyed: Spectrum; readonly dyed: readonly Spectrum[] };

export type Making = {
  /** How many times wider the bands are. */
  readonly width: number;
  /** Share of yarns with more than one dye. */
  readonly mixed: number;
  /** Most that the surface reflects. */
  readonly surface: number;
  /** Least and most K/S at the peak. */
  readonly peak: readonly [number, number];
};

export const MAKINGS: Readonly<Record<string, Making>> = {
  "clear dyes": { width: 1, mixed: 0, surface: 0, peak: [0.3, 15] },
  "dyed fabrics": { width: 1.3, mixed: 0.6, surface: 0.02, peak: [0.3, 20] },
  pastels: { width: 1, mixed: 0.5, surface: 0.01, peak: [0.1, 4] },
};

export function dyedYarns(seed: number, count: number, making: Making): DyedYarns {
  const random = chance(seed);
  const between = (least: number, most: number) => least + (most - least) * random();
  const undyed = woolKs(between);
  const dyed = Array.from({ length: count }, () => {
    let shape = dyeShape(random, between, making.width);
    if (random() < making.mixed) {
      shape = mixed(shape, dyeShape(random, between, making.width), between(0, 1));
      if (random() < 0.5) {
        shape = mixed(shape, dyeShape(random, between, making.width), between(0.4, 1));
      }
    }
    const [least, most] = making.peak;
    const peak = Math.exp(between(Math.log(least), Math.log(most)));
    const surface = between(0, making.surface);
    return shape.map((ks, band) => {
      const inside = reflectanceOf((undyed[band] as number) + peak * ks);
      return surface + (1 - surface) * inside;
    });
  });
  return { undyed: undyed.map(reflectanceOf), dyed };
}

/** Dyes, as K/S for each 1 % of depth on the yarn, from the same making. */
export function unitDyes(seed: number, count: number): { undyed: Spectrum; units: Spectrum[] } {
  const random = chance(seed);
  const between = (least: number, most: number) => least + (most - least) * random();
  const undyed = woolKs(between).map(reflectanceOf);
  const units = Array.from({ length: count }, () => {
    const strength = Math.exp(between(Math.log(3), Math.log(20)));
    return dyeShape(random, between, 1).map((ks) => ks * strength);
  });
  return { undyed, units };
}

/** One wool for each list of yarns; K/S. */
function woolKs(between: (least: number, most: number) => number): Spectrum {
  const violet = between(0.5, 1.1);
  const reach = between(35, 70);
  const red = between(0.02, 0.06);
  return spectrumOf((_, nm) => red + violet * Math.exp(-(nm - 400) / reach));
}

type Band = { centre: number; width: number; height: number };

function dyeShape(
  random: () => number,
  between: (least: number, most: number) => number,
  width: number,
): Spectrum {
  const bands: Band[] = [];
  const main = (leastNm: number, mostNm: number, height: number) => {
    const centre = 1e7 / between(leastNm, mostNm);
    const coupling = random() < 0.5 ? between(0, 1) : between(0, 0.4);
    const spacing = between(1150, 1500);
    const wide = between(550, 1500) * width;
    let step = height;
    for (let quanta = 0; quanta < 4; quanta++) {
      bands.push({
        centre: centre + quanta * spacing,
        width: wide * (1 + 0.12 * quanta),
        height: step,
      });
      step *= coupling / (quanta + 1);
    }
    bands.push({
      centre: centre - between(300, 900),
      width: wide * 1.2,
      height: height * between(0, 0.125),
    });
  };
  const kind = random();
  if (kind < 0.25) main(395, 460, 1);
  else if (kind < 0.5) main(470, 550, 1);
  else if (kind < 0.75) main(560, 660, 1);
  else {
    const count = 2 + Math.floor(random() * 2);
    for (let n = 0; n < count; n++) main(400, 650, between(0.25, 1));
  }
  const ultraviolet = 1 + Math.floor(random() * 2);
  for (let n = 0; n < ultraviolet; n++) {
    bands.push({
      centre: 1e7 / between(280, 430),
      width: between(1500, 3500),
      height: between(0.1, 0.8),
    });
  }
  const background = Math.exp(between(Math.log(0.002), Math.log(0.03)));
  const fall = between(0, 4);
  const shape = spectrumOf((_, nm) =>
    bands.reduce(
      (sum, band) =>
        sum + band.height * Math.exp(-0.5 * ((1e7 / nm - band.centre) / band.width) ** 2),
      background * (500 / nm) ** fall,
    ),
  );
  const peak = Math.max(...shape);
  return shape.map((ks) => ks / peak);
}

function mixed(a: Spectrum, b: Spectrum, share: number): Spectrum {
  return a.map((ks, band) => ks * share + (b[band] as number) * (1 - share));
}

/**
 * Reads spectra of somebody else's: lines of comma-separated values, the first a heading of
 * wavelengths (a first cell that is no number is passed over), the others a reflectance each, as
 * shares; the first of these is the undyed yarn.
 */
export function readYarns(text: string): DyedYarns {
  const rows = text
    .split(/\r?\n/)
    .filter((line) => line.trim() !== "" && !line.startsWith("#"))
    .map((line) => line.split(",").map((cell) => Number.parseFloat(cell)));
  const [heading = [], ...yarns] = rows;
  const columns = Array.from({ length: BANDS }, (_, band) => heading.indexOf(wavelengthNm(band)));
  if (columns.includes(-1)) throw new Error("the heading needs every 10 nm from 400 to 700");
  const spectra = yarns.map((row) => Float64Array.from(columns, (column) => row[column] ?? 0));
  const [undyed, ...dyed] = spectra;
  if (!undyed || dyed.length < 2) throw new Error("an undyed yarn and two dyed ones are needed");
  return { undyed, dyed };
}

/** K/S of a mix of two dyed yarns, so much of the one and the rest of the other. */
export function mixKs(a: Spectrum, b: Spectrum, share: number): Spectrum {
  return mixed(a.map(ksOf), b.map(ksOf), share);
}
