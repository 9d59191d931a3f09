import { converter, interpolate } from "culori";
import spectral from "spectral.js";
import { difference } from "../../../shared/colour/difference.ts";
import { ksOf, reflectanceOf } from "../../../shared/colour/kubelkaMunk.ts";
import { xyzOfReflectance } from "../../../shared/colour/observer.ts";
import { reflectanceOfDoses } from "../../../shared/colour/predict.ts";
import { yarnOf } from "../../../shared/colour/seen.ts";
import type { Spectrum } from "../../../shared/colour/spectrum.ts";
import { calibrate } from "../../../shared/colour/swatch.ts";
import { type Lab, labOfXyz, shownXyz } from "../../../shared/colour/tone.ts";
import { refused } from "../../../shared/dye/refusal.ts";
import { chance } from "../../record/chance.ts";
import { quantile } from "../quantile.ts";
import type { DyedYarns } from "./spectra.ts";

export type Spread = { median: number; p95: number };
export type MixResult = { ours: Spread; spectraljs: Spread; oklab: Spread };

const SHARES = [0.25, 0.5, 0.75];
const toLab = converter("lab65");

/**
 * Error of mixes of two dyed yarns, a quarter, half or three quarters of the one's depth and the rest
 * of the other's, against Kubelka-Munk on the full spectra, when each yarn and the undyed one is known
 * only as 8-bit sRGB. Yarns that sRGB does not have are left out.
 */
export function mixErrors({ undyed, dyed }: DyedYarns, pairs: number, seed: number) {
  const yarn = yarnOf({ how: "typed", hex: hexOf(undyed) });
  if (refused(yarn)) throw new Error(yarn.say);
  const shown = dyed.filter((r) => shownXyz(xyzOfReflectance(r)).inGamut);
  const known = shown.map((reflectance) => {
    const hex = hexOf(reflectance);
    const dye = calibrate([
      {
        depthPct: 1,
        seen: { how: "typed", hex },
        yarn: { how: "typed", hex: hexOf(undyed) },
      },
    ]);
    if (refused(dye)) throw new Error(dye.say);
    return { hex, dye, ks: reflectance.map(ksOf), other: new spectral.Color(hex).KS };
  });
  const random = chance(seed);
  const errors: Record<keyof MixResult, number[]> = { ours: [], spectraljs: [], oklab: [] };
  for (let n = 0; n < pairs; n++) {
    const a = known[Math.floor(random() * known.length)];
    const b = known[Math.floor(random() * known.length)];
    const share = SHARES[n % SHARES.length] as number;
    if (!a || !b || a === b) continue;
    const rest = 1 - share;
    const truth = labOf(
      a.ks.map((ks, i) => reflectanceOf(share * ks + rest * (b.ks[i] as number))),
    );
    const ours = reflectanceOfDoses(yarn, [
      { dye: a.dye, depthPct: share },
      { dye: b.dye, depthPct: rest },
    ]);
    errors.ours.push(difference(truth, labOf(ours)));
    const other = new spectral.Color(
      a.other.map((ks, i) => reflectanceOf(share * ks + rest * (b.other[i] as number))),
    );
    const [x = 0, y = 0, z = 0] = other.XYZ;
    errors.spectraljs.push(difference(truth, labOfXyz({ x, y, z })));
    errors.oklab.push(difference(truth, toLab(interpolate([b.hex, a.hex], "oklab")(share))));
  }
  return { pairs: errors.ours.length, errors };
}

export function spreadOf(values: readonly number[]): Spread {
  return { median: quantile(values, 0.5), p95: quantile(values, 0.95) };
}

function labOf(reflectance: Spectrum): Lab {
  return labOfXyz(xyzOfReflectance(reflectance));
}

function hexOf(reflectance: Spectrum): string {
  return shownXyz(xyzOfReflectance(reflectance)).hex;
}
