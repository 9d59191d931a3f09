/** Published figures of the acids of the bench. Every row carries its source. */

/** pH of an acid alone in water. Ideal-solution arithmetic is within 0.15 of these. */
export const PH_IN_WATER = [
  { acid: "acetic", molPerL: 1, pH: 2.4, source: "Merck Index, acetic acid 1.0 M" },
  { acid: "acetic", molPerL: 0.1, pH: 2.9, source: "Merck Index, acetic acid 0.1 M" },
  { acid: "acetic", molPerL: 0.01, pH: 3.4, source: "Merck Index, acetic acid 0.01 M" },
  { acid: "citric", molPerL: 0.1 / 3, pH: 2.2, source: "Merck Index, citric acid 0.1 N" },
] as const;

export const PH_TOLERANCE = 0.15;

export const CONSTANTS = {
  acetic: { pKa: [4.756], gPerMol: 60.052 },
  citric: { pKa: [3.128, 4.761, 6.396], gPerMol: 192.124, monohydrateGPerMol: 210.14 },
  source: "CRC Handbook of Chemistry and Physics, 25 C",
} as const;

/** g of acetic acid that 1 g of anhydrous citric acid stands for. */
export const CITRIC_AS_ACETIC = {
  titratable: 0.94,
  atPh: [
    { pH: 4.5, g: 1.2 },
    { pH: 4.0, g: 2.2 },
  ],
  source: "worked from the pKa of the CRC Handbook, two figures",
} as const;

export const VINEGAR = {
  leastGIn100Ml: 4,
  usualPct: 5,
  source: "FDA CPG 525.825; 5 % is the usual label",
} as const;
