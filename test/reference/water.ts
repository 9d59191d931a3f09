/** Published figures of water and air. Every row carries its source. */

export const SPECIFIC_HEAT = {
  leastKjPerKgK: 4.18,
  mostKjPerKgK: 4.19,
  source: "IAPWS-95, 15 to 90 C",
} as const;

export const BOILING = [
  { kPa: 101.325, celsius: 99.97, decimals: 2, source: "IAPWS-IF97 saturation line" },
  { kPa: 84.56, celsius: 95.0, decimals: 1, source: "IAPWS-IF97 saturation line" },
  { kPa: 70.11, celsius: 90.0, decimals: 1, source: "IAPWS-IF97 saturation line" },
] as const;

/** The check values that the formulation itself prints, from memory. */
export const IF97_CHECK = [
  { MPa: 0.1, kelvin: 372.755919 },
  { MPa: 1, kelvin: 453.035632 },
  { MPa: 10, kelvin: 584.149488 },
] as const;

export const PRESSURE_AT = [
  { metres: 0, kPa: 101.325, source: "ISO 2533 standard atmosphere" },
  { metres: 1_500, kPa: 84.56, source: "ISO 2533 standard atmosphere" },
  { metres: 3_000, kPa: 70.11, source: "ISO 2533 standard atmosphere" },
] as const;
