import { BANDS, type Spectrum, spectrumOf } from "./spectrum.ts";
import { WHITE, type Xyz } from "./tone.ts";

/**
 * The 1931 2 degree standard observer (x, y, z) and the relative power of standard illuminant D65,
 * 400 to 700 nm every 10 nm: ISO/CIE 11664-1 and 11664-2, CIE 15.
 */
// biome-ignore format: a row for each wavelength
export const OBSERVER: readonly (readonly [number, number, number, number])[] = [
  [0.01431, 0.000396, 0.06785, 82.7549],
  [0.04351, 0.00121, 0.2074, 91.486],
  [0.13438, 0.004, 0.6456, 93.4318],
  [0.2839, 0.0116, 1.3856, 86.6823],
  [0.34828, 0.023, 1.74706, 104.865],
  [0.3362, 0.038, 1.77211, 117.008],
  [0.2908, 0.06, 1.6692, 117.812],
  [0.19536, 0.09098, 1.28764, 114.861],
  [0.09564, 0.13902, 0.81295, 115.923],
  [0.03201, 0.20802, 0.46518, 108.811],
  [0.0049, 0.323, 0.272, 109.354],
  [0.0093, 0.503, 0.1582, 107.802],
  [0.06327, 0.71, 0.07825, 104.79],
  [0.1655, 0.862, 0.04216, 107.689],
  [0.2904, 0.954, 0.0203, 104.405],
  [0.43345, 0.99495, 0.00875, 104.046],
  [0.5945, 0.995, 0.0039, 100],
  [0.7621, 0.952, 0.0021, 96.3342],
  [0.9163, 0.87, 0.00165, 95.788],
  [1.0263, 0.757, 0.0011, 88.6856],
  [1.0622, 0.631, 0.0008, 90.0062],
  [1.0026, 0.503, 0.00034, 89.5991],
  [0.85445, 0.381, 0.00019, 87.6987],
  [0.6424, 0.265, 0.00005, 83.2886],
  [0.4479, 0.175, 0.00002, 83.6992],
  [0.2835, 0.107, 0, 80.0268],
  [0.1649, 0.061, 0, 80.2146],
  [0.0874, 0.032, 0, 82.2778],
  [0.04677, 0.017, 0, 78.2842],
  [0.0227, 0.00821, 0, 69.7213],
  [0.011359, 0.004102, 0, 71.6091],
];

/**
 * What each band of a reflectance adds to X, Y and Z. The table is summed as it stands (CIE 15) and
 * scaled channel by channel, so that a perfect white has exactly the white of the colour library:
 * the table ends at 700 nm and its own white is 94.94, 100, 108.71, which would tint every neutral.
 */
export const WEIGHTS: { readonly x: Spectrum; readonly y: Spectrum; readonly z: Spectrum } = {
  x: weights(0, WHITE.x),
  y: weights(1, WHITE.y),
  z: weights(2, WHITE.z),
};

function weights(channel: 0 | 1 | 2, white: number): Spectrum {
  const raw = spectrumOf((band) => (OBSERVER[band]?.[channel] ?? 0) * (OBSERVER[band]?.[3] ?? 0));
  const sum = raw.reduce((total, each) => total + each, 0);
  return raw.map((each) => (each / sum) * white);
}

/**
 * Tristimulus values of a reflectance under D65 for the CIE 1931 observer, Y of a perfect white 1.
 *
 * @param reflectance 31 shares, 400 to 700 nm
 */
export function xyzOfReflectance(reflectance: Spectrum): Xyz {
  let x = 0;
  let y = 0;
  let z = 0;
  for (let band = 0; band < BANDS; band++) {
    const r = reflectance[band] as number;
    x += r * (WEIGHTS.x[band] as number);
    y += r * (WEIGHTS.y[band] as number);
    z += r * (WEIGHTS.z[band] as number);
  }
  return { x, y, z };
}
