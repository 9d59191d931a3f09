import { type Fraction, fractionOf, rounded, times } from "./fraction.ts";

const UL_PER_ML = fractionOf(1_000);
const UG_PER_G = fractionOf(1_000_000);

/*
 * NIST Special Publication 811 and Handbook 44: the avoirdupois ounce and pound are exact, the US
 * measures follow from the inch. Labelled measuring spoons of 5 and 15 mL: 21 CFR 101.9.
 */
const UG_PER_OZ = fractionOf("28349523.125");
const UG_PER_LB = fractionOf("453592370");
const UL_PER_US_FL_OZ = fractionOf("29573.5295625");
const UL_PER_US_CUP = fractionOf("236588.2365");
const UL_PER_US_TABLESPOON = fractionOf("14786.76478125");
const UL_PER_US_TEASPOON = fractionOf("4928.92159375");

/** Labelled measuring spoons, uL (21 CFR 101.9). */
export const TEASPOON_UL = 5_000;
export const TABLESPOON_UL = 15_000;

/**
 * mL to whole uL. The decimal is taken as written and rounded once, a half going up: 37.5 is 37,500
 * and 1.0005 is 1,001.
 *
 * @throws RangeError for NaN, infinity, or more than 2^53 - 1 uL
 */
export function ulFromMl(ml: number): number {
  return whole(ml, UL_PER_ML);
}

/** g to whole ug, as `ulFromMl`. */
export function ugFromG(g: number): number {
  return whole(g, UG_PER_G);
}

/** Avoirdupois ounces to whole ug: 1 oz is 28.349523125 g (NIST SP 811), rounded once. */
export function ugFromOz(oz: number): number {
  return whole(oz, UG_PER_OZ);
}

/** Avoirdupois pounds to whole ug: 1 lb is 453.59237 g (NIST SP 811), rounded once. */
export function ugFromLb(lb: number): number {
  return whole(lb, UG_PER_LB);
}

/** US fluid ounces to whole uL: 29.5735295625 mL (NIST Handbook 44), rounded once. */
export function ulFromUsFlOz(flOz: number): number {
  return whole(flOz, UL_PER_US_FL_OZ);
}

/** US cups to whole uL: 236.5882365 mL (NIST Handbook 44), rounded once. */
export function ulFromUsCups(cups: number): number {
  return whole(cups, UL_PER_US_CUP);
}

/** US tablespoons to whole uL: 14.78676478125 mL (NIST Handbook 44), rounded once. */
export function ulFromUsTablespoons(spoons: number): number {
  return whole(spoons, UL_PER_US_TABLESPOON);
}

/** US teaspoons to whole uL: 4.92892159375 mL (NIST Handbook 44), rounded once. */
export function ulFromUsTeaspoons(spoons: number): number {
  return whole(spoons, UL_PER_US_TEASPOON);
}

/** uL to mL, for showing and for typing in. */
export function mlFromUl(volumeUl: number): number {
  return volumeUl / 1_000;
}

/** ug to g. */
export function gFromUg(massUg: number): number {
  return massUg / 1_000_000;
}

/** ug to avoirdupois ounces. */
export function ozFromUg(massUg: number): number {
  return massUg / 28_349_523.125;
}

/** ug to avoirdupois pounds. */
export function lbFromUg(massUg: number): number {
  return massUg / 453_592_370;
}

/** uL to US fluid ounces. */
export function usFlOzFromUl(volumeUl: number): number {
  return volumeUl / 29_573.5295625;
}

/** Degrees Celsius to Fahrenheit: t(F) = 1.8 t(C) + 32 (NIST SP 811). */
export function fahrenheitFrom(celsius: number): number {
  return (celsius * 9) / 5 + 32;
}

/** Degrees Fahrenheit to Celsius (NIST SP 811). */
export function celsiusFrom(fahrenheit: number): number {
  return ((fahrenheit - 32) * 5) / 9;
}

function whole(value: number, factor: Fraction): number {
  return rounded(times(fractionOf(value), factor));
}
