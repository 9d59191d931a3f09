import { refused } from "../dye/refusal.ts";
import { addKs } from "./curve.ts";
import { keptFor, keptWith } from "./kept.ts";
import { reflectanceOf } from "./kubelkaMunk.ts";
import { xyzOfReflectance } from "./observer.ts";
import { type Seen, type Yarn, yarnOf } from "./seen.ts";
import { BANDS, type Spectrum } from "./spectrum.ts";
import { calibrate, type Dye, isSameYarn, type Surety, type Swatch } from "./swatch.ts";
import { type Lab, labOfXyz, shownXyz } from "./tone.ts";

/** So much of a dye, in % owf of the yarn that it reaches. */
export type Dose = { readonly dye: Dye; readonly depthPct: number };

/** What the dry, rinsed yarn is expected to look like if it takes all the dye: never a measurement. */
export type Prediction = {
  readonly lab: Lab;
  /** `#rrggbb`, the nearest that a screen has. */
  readonly hex: string;
  /** False where the colour lies outside what a screen shows and `hex` only comes near. */
  readonly inGamut: boolean;
  /** How far the yarn may well be from this, CIEDE2000. */
  readonly uncertainty: number;
};

/** Added when dye goes onto another yarn than its swatches: no source. */
const OTHER_YARN = 2;

/**
 * Added for each doubling of the depth beyond the deepest swatch; for each halving under the palest,
 * and each doubling or halving from the nearest of two swatches: no source.
 */
const DEEPER = 1;
const PALER = 0.3;

/** Two dyes that are only known by their colours mix to within this, half and more of the time. */
const MIX_OF_COLOURS = 1;

/**
 * K/S of a yarn with dyes on it: the yarn's own and what each dye adds at its depth (single-constant
 * theory of Kubelka and Munk, as in SDC and AATCC texts on colour measurement).
 */
export function ksOfDoses(yarn: Yarn, doses: readonly Dose[]): Spectrum {
  const ks = yarn.ks.slice();
  for (const { dye, depthPct } of merged(doses)) addKs(dye.curve, depthPct, ks);
  return ks;
}

/** Doses of one dye as one dose: a curve that flattens does not add up otherwise. */
function merged(doses: readonly Dose[]): readonly Dose[] {
  const depths = new Map<Dye, number>();
  for (const { dye, depthPct } of doses) {
    if (depthPct > 0) depths.set(dye, (depths.get(dye) ?? 0) + depthPct);
  }
  return Array.from(depths, ([dye, depthPct]) => ({ dye, depthPct }));
}

/** Reflectance of a yarn with dyes on it, 31 shares, 400 to 700 nm. */
export function reflectanceOfDoses(yarn: Yarn, doses: readonly Dose[]): Spectrum {
  return ksOfDoses(yarn, doses).map(reflectanceOf);
}

/** Predicts the colour of a yarn all over which doses are spread. */
export function predict(yarn: Yarn, doses: readonly Dose[]): Prediction {
  const ks = ksOfDoses(yarn, doses);
  const xyz = xyzOfReflectance(ks.map(reflectanceOf));
  return {
    lab: labOfXyz(xyz),
    ...shownXyz(xyz),
    uncertainty: uncertaintyOf(yarn, doses, ks),
  };
}

/** A sentence for a colour that a screen cannot show; nothing for others. */
export function sayGamut({ inGamut, hex }: Prediction): string | undefined {
  return inGamut
    ? undefined
    : `No screen shows this colour: the yarn is more vivid than ${hex}, which is the nearest.`;
}

/** Dye that reaches the share `coverage` of a skein; its doses are of the whole skein's fibre. */
export type Pour = { readonly coverage: number; readonly doses: readonly Dose[] };

export type Zones = {
  /** Where only pours with a coverage of 1 went. */
  readonly ground: Prediction;
  /** Each other pour on that ground, in the order given, at the depth it has where it lies. */
  readonly patches: readonly { readonly coverage: number; readonly colour: Prediction }[];
};

/** Predicts a skein zone by zone: the ground, and the patch that each pour of less coverage makes. */
export function predictZones(yarn: Yarn, pours: readonly Pour[]): Zones {
  const all = pours.filter(({ coverage }) => coverage >= 1).flatMap(({ doses }) => doses);
  const patches = pours.filter(({ coverage }) => coverage < 1 && coverage > 0);
  return {
    ground: predict(yarn, all),
    patches: patches.map(({ coverage, doses }) => ({
      coverage,
      colour: predict(yarn, [
        ...all,
        ...doses.map(({ dye, depthPct }) => ({ dye, depthPct: depthPct / coverage })),
      ]),
    })),
  };
}

function uncertaintyOf(yarn: Yarn, doses: readonly Dose[], ks: Spectrum): number {
  const whole = sumOf(ks);
  if (whole === 0) return yarn.uncertainty;
  let square = (sumOf(yarn.ks) / whole) * yarn.uncertainty ** 2;
  let guessed = 0;
  for (const { dye, depthPct } of merged(doses)) {
    const added = new Float64Array(BANDS);
    addKs(dye.curve, depthPct, added);
    const share = sumOf(added) / whole;
    square += share * uncertaintyAt(dye, depthPct, yarn) ** 2;
    if (!dye.spectral && share > 0.05) guessed++;
  }
  if (guessed > 1) square += MIX_OF_COLOURS ** 2;
  return Math.sqrt(square);
}

/**
 * How far a dye's colour may well be off at a depth on a yarn, CIEDE2000: as its nearest swatches
 * are, the one below and the one above in proportion, and more the further off they are and where
 * they are on another yarn.
 *
 * @param depthPct % owf, above 0
 */
export function uncertaintyAt(dye: Dye, depthPct: number, yarn: Yarn): number {
  const above = dye.sureties.find((one) => one.depthPct >= depthPct);
  const below = dye.sureties.filter((one) => one.depthPct <= depthPct).at(-1);
  const from = below && Math.log2(depthPct / below.depthPct);
  const to = above && Math.log2(above.depthPct / depthPct);
  if (below && from !== undefined && above && to !== undefined) {
    const share = from + to > 0 ? from / (from + to) : 0;
    const between = (1 - share) * onYarn(below, yarn) + share * onYarn(above, yarn);
    return Math.hypot(between, Math.min(from, to) * PALER);
  }
  if (below && from !== undefined) return Math.hypot(onYarn(below, yarn), from * DEEPER);
  if (above && to !== undefined) return Math.hypot(onYarn(above, yarn), to * PALER);
  return dye.uncertainty;
}

function onYarn({ uncertainty, yarns }: Surety, yarn: Yarn): number {
  const there = yarns.some((one) => isSameYarn(one, yarn));
  return there ? uncertainty : Math.hypot(uncertainty, OTHER_YARN);
}

function sumOf(ks: Spectrum): number {
  let sum = 0;
  for (let band = 0; band < BANDS; band++) sum += ks[band] as number;
  return sum;
}

/** A dye as a session keeps it: the colour that it gave at a depth on an undyed yarn. */
export type HexSwatch = {
  readonly hex: string;
  readonly swatchDepthPct: number;
  readonly swatchBaseHex: string;
  /** Swatches that stand in for that one where there are any. */
  readonly swatches?: readonly Swatch[];
};

/** A yarn as a session keeps it: its typed colour, and what it was measured or sampled at. */
export type HexYarn = { readonly id?: string; readonly hex: string; readonly seen?: Seen };

/*
 * A session asks for the same few dyes at every event, and a swatch never changes: what was worked
 * out for one is kept with it. A change of plan makes all of them anew with the same swatches, which
 * are known again by what they say.
 */
const MOST_DYES = 200;
const dyes = keptWith<Dye | null>();
const dyesBySwatches = keptFor<Dye | null>(MOST_DYES);

/**
 * The dye of a session, by its swatches; by the colour that was typed for it where it has none that
 * can be used. `null` when neither that colour nor its depth can be read.
 */
export function dyeOfSwatch(swatch: HexSwatch): Dye | null {
  return dyes(swatch, [], () => {
    const { hex, swatchDepthPct, swatchBaseHex, swatches } = swatch;
    const text = JSON.stringify([hex, swatchDepthPct, swatchBaseHex, swatches]);
    return dyesBySwatches(text, () => readDye(swatch));
  });
}

function readDye({ hex, swatchDepthPct, swatchBaseHex, swatches }: HexSwatch): Dye | null {
  const own = calibrate(swatches ?? []);
  if (!refused(own)) return own;
  const typed = calibrate([
    {
      depthPct: swatchDepthPct,
      seen: { how: "typed", hex },
      yarn: { how: "typed", hex: swatchBaseHex },
    },
  ]);
  return refused(typed) ? null : typed;
}

/** The yarn of a session; `null` when its colour cannot be read. */
export function yarnOfBase({ id, hex, seen }: HexYarn): Yarn | null {
  const own = seen && yarnOf(seen, id);
  if (own && !refused(own)) return own;
  const typed = yarnOf({ how: "typed", hex }, id);
  return refused(typed) ? null : typed;
}

/** The yarn of a typed colour; `null` when it cannot be read. */
export function yarnOfHex(hex: string): Yarn | null {
  return yarnOfBase({ hex });
}

/** Dyes of a session with depths of shade in % owf, as doses; those that cannot be read left out. */
export function dosesOf(
  doses: readonly { swatch: HexSwatch; depthPct: number }[],
): readonly Dose[] {
  return doses.flatMap(({ swatch, depthPct }) => {
    const dye = dyeOfSwatch(swatch);
    return dye ? [{ dye, depthPct }] : [];
  });
}
