import { type Refusal, refuse, refused } from "../dye/refusal.ts";
import { keptFor } from "./kept.ts";
import { ksOf } from "./kubelkaMunk.ts";
import { xyzOfReflectance } from "./observer.ts";
import { smoothKs } from "./smooth.ts";
import { BANDS, type Spectrum, wavelengthNm } from "./spectrum.ts";
import { type Lab, labOfXyz, type Xyz, xyzOfHex, xyzOfLab } from "./tone.ts";

/** How a colour came to be known, with reflectances in lists of the kind `Reflectance`. */
type SeenWith<Reflectance extends ArrayLike<number>> =
  /** Shares of 1 at 400, 410 … 700 nm. */
  | { readonly how: "spectrum"; readonly reflectance: Reflectance }
  | { readonly how: "measured"; readonly lab: Lab }
  | { readonly how: "typed"; readonly hex: string }
  /** Sampled from a photograph with a white card; `spread` is how far its patch strays, CIEDE2000. */
  | { readonly how: "photographed"; readonly hex: string; readonly spread?: number };

/** How a colour came to be known. */
export type Seen = SeenWith<ArrayLike<number>>;

/** The same as plain JSON, as a record keeps it. */
export type RecordedSeen = SeenWith<readonly number[]>;

/** A colour that can be worked with. */
export type Sighted = {
  readonly xyz: Xyz;
  readonly lab: Lab;
  /** Measured reflectance, 0 to 1, where there is one. */
  readonly reflectance?: Spectrum;
  /** How far the true colour may well be from this one, CIEDE2000. */
  readonly uncertainty: number;
};

/** Over this a reflectance is more than noise around a perfect white. */
const FLUORESCENT = 1.02;

/**
 * How sure a colour is, CIEDE2000: our own estimates, no source. A photograph under a home's light is
 * never better than 3.
 */
const SPECTRUM_UNCERTAINTY = 0.5;
const MEASURED_UNCERTAINTY = 0.7;
const TYPED_UNCERTAINTY = 2;
const PHOTOGRAPHED_UNCERTAINTY = 3;

/** Reads a colour, or says why nothing can be worked out from it. */
export function sightedOf(seen: Seen): Sighted | Refusal {
  switch (seen.how) {
    case "spectrum":
      return fromReflectance(Float64Array.from(seen.reflectance));
    case "measured":
      return fromLab(seen.lab);
    case "typed":
      return fromHex(seen.hex, TYPED_UNCERTAINTY);
    case "photographed":
      return fromHex(seen.hex, Math.hypot(PHOTOGRAPHED_UNCERTAINTY, seen.spread ?? 0));
  }
}

function fromReflectance(reflectance: Spectrum): Sighted | Refusal {
  if (reflectance.length !== BANDS || reflectance.some((r) => !Number.isFinite(r) || r < 0)) {
    return refuse(
      "colour.noSpectrum",
      "A reflectance has a value of 0 or more for each 10 nm from 400 to 700 nm.",
    );
  }
  const brightest = reflectance.indexOf(Math.max(...reflectance));
  if ((reflectance[brightest] as number) > FLUORESCENT) {
    return refuse(
      "colour.fluorescent",
      `At ${wavelengthNm(brightest)} nm this gives back more light than falls on it: it fluoresces, and how such a colour mixes cannot be predicted.`,
    );
  }
  const within = reflectance.map((r) => Math.min(1, r));
  const xyz = xyzOfReflectance(within);
  return { xyz, lab: labOfXyz(xyz), reflectance: within, uncertainty: SPECTRUM_UNCERTAINTY };
}

function fromLab(lab: Lab): Sighted | Refusal {
  const { l, a, b } = lab;
  if (![l, a, b].every(Number.isFinite) || l < 0 || Math.abs(a) > 150 || Math.abs(b) > 150) {
    return refuse(
      "colour.noLab",
      "A measured colour is L* from 0 to 100 and a* and b* from −150 to 150.",
    );
  }
  if (l > 100.5) {
    return refuse(
      "colour.fluorescent",
      "An L* over 100 is brighter than white: it fluoresces, and how such a colour mixes cannot be predicted.",
    );
  }
  return { xyz: xyzOfLab(lab), lab, uncertainty: MEASURED_UNCERTAINTY };
}

function fromHex(hex: string, uncertainty: number): Sighted | Refusal {
  const xyz = xyzOfHex(hex);
  return xyz
    ? { xyz, lab: labOfXyz(xyz), uncertainty }
    : refuse("colour.noHex", "Write the colour as six digits and letters, such as #2e6e86.");
}

/** A yarn as it enters, undyed or already dyed. */
export type Yarn = {
  readonly ks: Spectrum;
  readonly lab: Lab;
  readonly uncertainty: number;
  /** Name or number that tells this yarn from another of the same colour. */
  readonly id?: string;
};

/*
 * A dye's swatches are mostly on one yarn, and a session asks for the same few yarns at every event:
 * a yarn's K/S takes as long to find as a dye's.
 */
const MOST_YARNS = 200;
const yarns = keptFor<Omit<Yarn, "id"> | Refusal>(MOST_YARNS);

/** Works out a yarn's K/S from its colour, or says why it cannot. */
export function yarnOf(seen: Seen, id?: string): Yarn | Refusal {
  const yarn = yarns(JSON.stringify(seen), () => readYarn(seen));
  return refused(yarn) || id === undefined ? yarn : { ...yarn, id };
}

function readYarn(seen: Seen): Omit<Yarn, "id"> | Refusal {
  const sighted = sightedOf(seen);
  if (refused(sighted)) return sighted;
  const { reflectance, xyz, lab, uncertainty } = sighted;
  return { ks: reflectance ? reflectance.map(ksOf) : smoothKs(xyz), lab, uncertainty };
}
