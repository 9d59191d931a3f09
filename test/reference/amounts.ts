/** Published figures of dyeing arithmetic and units. Every row carries its source. */

/** mL of stock for so many grams of dry fibre: V = W x P / C. */
export const STOCK_FOR_DEPTH = [
  {
    fibreG: 5,
    depthPct: 0.5,
    strengthPct: 1,
    ml: 2.5,
    source:
      'textile laboratory note "How to calculate 0.5 % dyeing shade in fabric", textilecalculation, 2015',
  },
  {
    fibreG: 5,
    depthPct: 2,
    strengthPct: 0.5,
    ml: 20,
    source: '"Dyes and chemicals measuring formula for laboratory", textilecalculation, 2014',
  },
  {
    fibreG: 5,
    depthPct: 1.5,
    strengthPct: 1,
    ml: 7.5,
    source: '"Dyeing calculation in lab dip", textilecalculation, 2015',
  },
] as const;

/**
 * The rest of one lab dip, arithmetic only: it is a cotton recipe with salt and soda, never for
 * wool. 5 g at a liquor ratio of 1:10, dye 7.5 mL, topped up with water to 50 mL.
 */
export const LAB_DIP = {
  fibreG: 5,
  ratio: 10,
  bathMl: 50,
  addedMl: { dye: 7.5, wettingAgent: 2.5, sequesteringAgent: 10, salt: 10, sodaAsh: 2.5 },
  source: '"Dyeing calculation in lab dip", textilecalculation, 2015',
} as const;

export const GOODS = {
  dyeKg: 4,
  goodsKg: 100,
  depthPct: 4,
  liquorL: 1000,
  ratio: 10,
  source: 'VFSTR University lecture, "Fundamentals: basic terminologies in dyeing"',
} as const;

export const STOCKS = [
  { massG: 1, volumeMl: 100, strengthPct: 1, source: "textile wet-processing laboratory notes" },
  { massG: 10, volumeMl: 1000, strengthPct: 1, source: "textile wet-processing laboratory notes" },
  { massG: 10, volumeMl: 1000, strengthPct: 1, source: "a practitioner's published method" },
] as const;

export const DILUTION = {
  fromPct: 1,
  toPct: 0.1,
  finalMl: 100,
  stockMl: 10,
  source: "textile wet-processing laboratory notes; C1 V1 = C2 V2, any general chemistry text",
} as const;

/** An industrial wool recipe, arithmetic only: its sulphuric acid is not for a kitchen bench. */
export const WOOL_STRONG_ACID = {
  dyePct: 2,
  sulphuricAcidPct: 2,
  sodiumSulphatePct: 10,
  ratio: 20,
  source: "wool fabric dyeing by acid dye, bdfabric",
} as const;

export const WOOL_HAND_SCALE = {
  ratio: 40,
  fibreG: 10,
  bathMl: 400,
  source: "a practitioner's published method",
} as const;

export const UNITS = {
  gPerOz: { value: "28.349523125", source: "NIST SP 811 (exact)" },
  gPerLb: { value: "453.59237", source: "NIST SP 811 (exact)" },
  mlPerUsFlOz: { value: "29.5735295625", source: "NIST Handbook 44" },
  mlPerUsCup: { value: "236.5882365", source: "NIST Handbook 44" },
  mlPerUsTablespoon: { value: "14.78676478125", source: "NIST Handbook 44" },
  mlPerUsTeaspoon: { value: "4.92892159375", source: "NIST Handbook 44" },
  labelledTeaspoonMl: { value: 5, source: "21 CFR 101.9" },
  labelledTablespoonMl: { value: 15, source: "21 CFR 101.9" },
} as const;

/** t(F) = 1.8 t(C) + 32 (NIST SP 811); the rows are that formula worked by hand. */
export const TEMPERATURES = [
  { celsius: 0, fahrenheit: 32 },
  { celsius: 100, fahrenheit: 212 },
  { celsius: -40, fahrenheit: -40 },
  { celsius: 85, fahrenheit: 185 },
] as const;

export const READING = {
  slowWordsAMinute: 160,
  fastWordsAMinute: 180,
  source: "BBC subtitle guidelines",
} as const;

/** Common practice, no source. */
export const DROPS_PER_ML = 20;
