import { INK, WOOL } from "./palette.ts";

/**
 * A flat colour part of the way from one to another, even to the eye (through Oklab, by the
 * matrices that its author published: B. Ottosson, "A perceptual color space for image processing",
 * 2020). By hand, since the follow page and the overlay carry no colour library.
 * @param from `#rrggbb`
 * @param to `#rrggbb`
 * @param share 0 gives `from`, 1 gives `to`
 */
export function between(from: string, to: string, share: number): string {
  const [a, b] = [oklabOf(from), oklabOf(to)];
  return hexOf(a.map((value, at) => value + ((b[at] ?? 0) - value) * share));
}

/** The line of a twist on yarn of this colour: darker, or lighter where the yarn is nearly black. */
export function twistOf(hex: string, strength = 0.3): string {
  return luminanceOf(hex) > 0.05 ? between(hex, INK, strength) : between(hex, WOOL, strength);
}

/** The pale rim that dye leaves where it has crept up dry yarn. */
export function creptOf(undyedHex: string, dyedHex: string): string {
  return between(undyedHex, dyedHex, 0.5);
}

type Matrix = readonly (readonly number[])[];

const LMS_OF_RGB: Matrix = [
  [0.4122214708, 0.5363325363, 0.0514459929],
  [0.2119034982, 0.6806995451, 0.1073969566],
  [0.0883024619, 0.2817188376, 0.6299787005],
];
const OKLAB_OF_LMS: Matrix = [
  [0.2104542553, 0.793617785, -0.0040720468],
  [1.9779984951, -2.428592205, 0.4505937099],
  [0.0259040371, 0.7827717662, -0.808675766],
];
const LMS_OF_OKLAB: Matrix = [
  [1, 0.3963377774, 0.2158037573],
  [1, -0.1055613458, -0.0638541728],
  [1, -0.0894841775, -1.291485548],
];
const RGB_OF_LMS: Matrix = [
  [4.0767416621, -3.3077115913, 0.2309699292],
  [-1.2684380046, 2.6097574011, -0.3413193965],
  [-0.0041960863, -0.7034186147, 1.707614701],
];

function through(matrix: Matrix, values: readonly number[]): number[] {
  return matrix.map((row) => row.reduce((sum, of, at) => sum + of * (values[at] ?? 0), 0));
}

function oklabOf(hex: string): number[] {
  return through(OKLAB_OF_LMS, through(LMS_OF_RGB, linearOf(hex)).map(Math.cbrt));
}

function hexOf(oklab: readonly number[]): string {
  const lms = through(LMS_OF_OKLAB, oklab).map((value) => value ** 3);
  const parts = through(RGB_OF_LMS, lms).map((light) => {
    const sRgb = light <= 0.0031308 ? light * 12.92 : 1.055 * light ** (1 / 2.4) - 0.055;
    return Math.round(Math.min(1, Math.max(0, sRgb)) * 255);
  });
  return `#${parts.map((part) => part.toString(16).padStart(2, "0")).join("")}`;
}

/** Linear light of each channel, 0 to 1 (IEC 61966-2-1). */
function linearOf(hex: string): number[] {
  return [1, 3, 5].map((at) => {
    const part = Number.parseInt(hex.slice(at, at + 2), 16) / 255;
    return part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4;
  });
}

function luminanceOf(hex: string): number {
  const [r = 0, g = 0, b = 0] = linearOf(hex);
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}
