import { refused } from "../dye/refusal.ts";
import { addKs } from "./curve.ts";
import { reflectanceOf } from "./kubelkaMunk.ts";
import { xyzOfReflectance } from "./observer.ts";
import { type Yarn, yarnOf } from "./seen.ts";
import { BANDS, type Spectrum } from "./spectrum.ts";
import { calibrate, type Dye, isSameYarn } from "./swatch.ts";
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

/** Added for each doubling of the depth beyond the deepest swatch, and halving under the palest. */
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

/** How far a dye's colour may well be off at a depth on a yarn, CIEDE2000. */
export function uncertaintyAt(dye: Dye, depthPct: number, yarn: Yarn): number {
  const palest = dye.depthsPct[0] ?? depthPct;
  const deepest = dye.depthsPct.at(-1) ?? depthPct;
  const deeper = Math.max(0, Math.log2(depthPct / deepest)) * DEEPER;
  const paler = Math.max(0, Math.log2(palest / depthPct)) * PALER;
  const other = dye.yarn && isSameYarn(dye.yarn, yarn) ? 0 : OTHER_YARN;
  return Math.hypot(dye.uncertainty, deeper, paler, other);
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
};

/*
 * A session asks for the same few dyes and yarns at every event, and a swatch never changes: what was
 * worked out for one is kept with it.
 */
const dyes = new WeakMap<HexSwatch, Dye | null>();
const yarns = new Map<string, Yarn | null>();
const MOST_YARNS = 200;

/** The dye of a session's swatch; `null` when its colours or depth cannot be read. */
export function dyeOfSwatch(swatch: HexSwatch): Dye | null {
  const kept = dyes.get(swatch);
  if (kept !== undefined) return kept;
  const dye = calibrate([
    {
      depthPct: swatch.swatchDepthPct,
      seen: { how: "typed", hex: swatch.hex },
      yarn: { how: "typed", hex: swatch.swatchBaseHex },
    },
  ]);
  const read = refused(dye) ? null : dye;
  dyes.set(swatch, read);
  return read;
}

/** The yarn of a typed colour; `null` when it cannot be read. */
export function yarnOfHex(hex: string): Yarn | null {
  const kept = yarns.get(hex);
  if (kept !== undefined) return kept;
  const yarn = yarnOf({ how: "typed", hex });
  const read = refused(yarn) ? null : yarn;
  if (yarns.size >= MOST_YARNS) yarns.clear();
  yarns.set(hex, read);
  return read;
}

/**
 * Predicted colour of a session's yarn with its dyes, for a screen.
 *
 * @param doses dyes by their swatches with depth of shade in % owf
 * @returns `#rrggbb`; a prediction from screen colours, not a measurement
 */
export function predictHex(
  baseHex: string,
  doses: readonly { swatch: HexSwatch; depthPct: number }[],
): string {
  return predictSession(baseHex, doses)?.hex ?? baseHex;
}

/** As `predictHex`, with CIELAB and how sure it is; `null` when the yarn's colour cannot be read. */
export function predictSession(
  baseHex: string,
  doses: readonly { swatch: HexSwatch; depthPct: number }[],
): Prediction | null {
  const yarn = yarnOfHex(baseHex);
  if (!yarn) return null;
  const known = doses.flatMap(({ swatch, depthPct }) => {
    const dye = dyeOfSwatch(swatch);
    return dye ? [{ dye, depthPct }] : [];
  });
  return predict(yarn, known);
}
