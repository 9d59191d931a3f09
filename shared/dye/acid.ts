import { type Refusal, refuse } from "./refusal.ts";

/** The acids of the bench. */
export type Acid = "acetic" | "citric";

/**
 * What an acid comes as. `pct` is % w/v, g of acid in 100 mL. Vinegar of 4 g in 100 mL is the least
 * that is sold as vinegar in the US (FDA CPG 525.825); 5 % is the usual label. A citric stock says
 * which crystals its grams were weighed as.
 */
export type AcidSource =
  | { kind: "vinegar"; pct: number }
  | { kind: "citricCrystals"; form: CitricForm }
  | { kind: "citricStock"; pct: number; form: CitricForm };

export type CitricForm = "anhydrous" | "monohydrate";

/** An amount as it is measured: liquids in uL, crystals in ug. */
export type AcidAmount = { volumeUl: number } | { massUg: number };

/** Acid in a bath as pure substance (citric as anhydrous), ug, 0 or more. */
export type AcidMasses = Readonly<Partial<Record<Acid, number>>>;

/**
 * A bath before the yarn is in it. `alkalinityMgPerL` is the water's total alkalinity as its
 * supplier gives it, mg of CaCO3 in a litre, taken to be bicarbonate; left out, the water has none.
 */
export type AcidBath = { volumeUl: number; acids: AcidMasses; alkalinityMgPerL?: number };

type Constants = { pKa: readonly number[]; gPerMol: number };

/** CRC Handbook of Chemistry and Physics: pKa at 25 C, molar mass of the pure acid, g/mol. */
export const ACIDS: Readonly<Record<Acid, Constants>> = {
  acetic: { pKa: [4.756], gPerMol: 60.052 },
  citric: { pKa: [3.128, 4.761, 6.396], gPerMol: 192.124 },
};

const CITRIC_MONOHYDRATE_G_PER_MOL = 210.14;

/** Carbonic acid 6.35 and 10.33, water 14.00, all at 25 C (CRC Handbook; values from memory). */
const CARBONIC_PKA = [6.35, 10.33] as const;
const WATER_PKW = 14;

/** Half the molar mass of CaCO3, 100.09 g/mol: mg/L as CaCO3 to milliequivalents a litre. */
const MG_PER_MEQ = 50.04;

/**
 * Equilibrium pH of a bath at 25 C before the yarn: wool binds acid, so that the pH that the yarn
 * meets is higher.
 *
 * Method: charge balance [H] + [alkalinity] = [OH] + [HCO3] + 2 [CO3] + the acids' anions, each
 * anion from its acid's constants, solved by bisection between pH 0 and 14. The solution is taken
 * as ideal (activities equal to concentrations), and carbon dioxide as staying dissolved. At the
 * pH of a dye bath the latter makes no difference to speak of; without acid a bath that is boiled
 * ends higher than this says.
 *
 * @param bath volumeUl above 0
 * @throws RangeError when volumeUl is not above 0
 */
export function phBeforeYarn(bath: AcidBath): number {
  const litres = litresOf(bath.volumeUl);
  const alkalinity = alkalinityMolPerL(bath);
  const concentrations = (Object.keys(ACIDS) as Acid[]).map((acid) => ({
    pKa: ACIDS[acid].pKa,
    molPerL: (bath.acids[acid] ?? 0) / 1e6 / ACIDS[acid].gPerMol / litres,
  }));
  const surplus = (pH: number) =>
    waterSurplus(pH, alkalinity) -
    concentrations.reduce((sum, { pKa, molPerL }) => sum + molPerL * chargeOf(pKa, pH), 0);
  let [low, high] = [0, 14];
  // Positive charge falls as pH rises, so there is one crossing; 60 halvings are past a double.
  for (let halving = 0; halving < 60; halving++) {
    const middle = (low + high) / 2;
    if (surplus(middle) > 0) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/**
 * Pure acid that brings a bath to a pH before the yarn, ug (citric as anhydrous), rounded once.
 * The charge balance of `phBeforeYarn` gives it without iteration: it is linear in the acid.
 *
 * @param pH target
 * @param bath its other acids count; volumeUl above 0
 * @returns 0 when the bath is at or below the target without it; a refusal for a target outside 2 to 7
 * @throws RangeError when volumeUl is not above 0
 */
export function acidUgForPh(pH: number, acid: Acid, bath: AcidBath): number | Refusal {
  if (!(pH >= 2 && pH <= 7)) {
    return refuse("acid.target", "A dye bath lies between pH 2 and pH 7: choose a pH in between.");
  }
  const litres = litresOf(bath.volumeUl);
  let needed = waterSurplus(pH, alkalinityMolPerL(bath));
  for (const other of Object.keys(ACIDS) as Acid[]) {
    const { pKa, gPerMol } = ACIDS[other];
    needed -= ((bath.acids[other] ?? 0) / 1e6 / gPerMol / litres) * chargeOf(pKa, pH);
  }
  const { pKa, gPerMol } = ACIDS[acid];
  return Math.max(0, Math.round((needed / chargeOf(pKa, pH)) * litres * gPerMol * 1e6));
}

/** Which acid a source holds. */
export function acidOf(source: AcidSource): Acid {
  return source.kind === "vinegar" ? "acetic" : "citric";
}

/** Pure acid in an amount of a source, ug (citric as anhydrous), rounded once. */
export function acidUgIn(source: AcidSource, amount: AcidAmount): number {
  const weighedUg =
    "massUg" in amount
      ? amount.massUg
      : amount.volumeUl * 10 * (source.kind === "citricCrystals" ? 0 : source.pct);
  return Math.round(weighedUg * purity(source));
}

/**
 * The amount of a source that holds so much pure acid: uL of a liquid, ug of crystals, rounded once.
 *
 * @param acidUg 0 or more, citric as anhydrous
 * @throws RangeError when a liquid's strength is not above 0 %
 */
export function amountWith(source: AcidSource, acidUg: number): AcidAmount {
  const weighedUg = acidUg / purity(source);
  if (source.kind === "citricCrystals") return { massUg: Math.round(weighedUg) };
  if (!(source.pct > 0)) throw new RangeError(`the strength must be above 0 %: ${source.pct}`);
  return { volumeUl: Math.round(weighedUg / source.pct / 10) };
}

/**
 * Acid by weight of fibre: pure acid (citric as anhydrous) for a per cent of dry fibre, ug, rounded
 * once. Its opposite is `acidPctOnFibre`.
 */
export function acidUgForPct(pct: number, fibreUg: number): number {
  return Math.round((pct * fibreUg) / 100);
}

/**
 * Pure acid on dry fibre, % of its weight.
 *
 * @throws RangeError when fibreUg is not above 0
 */
export function acidPctOnFibre(acidUg: number, fibreUg: number): number {
  if (!(fibreUg > 0)) throw new RangeError(`fibreUg must be above 0: ${fibreUg}`);
  return (acidUg / fibreUg) * 100;
}

/** How much of another acid stands for one amount of acid; both in ug of pure acid. */
export type Converted = {
  /** As much acid set free at the target pH: what to use. */
  atPhUg: number;
  /** As much titratable acid: every proton counted, whether it comes off at that pH or not. */
  titratableUg: number;
};

/**
 * One acid in place of another. At the pH of a dye bath the later protons of citric acid stay on, so
 * that a conversion by titratable acid brings too little or too much; equal acid set free at the
 * target pH is the conversion that keeps the bath. 1 g of anhydrous citric acid is 0.94 g of acetic
 * acid by titration, about 1.2 g at pH 4.5 and 2.2 g at pH 4.0 (from the constants of `ACIDS`).
 *
 * @param pH target, before the yarn
 */
export function convertAcid(acidUg: number, from: Acid, to: Acid, pH: number): Converted {
  const mol = acidUg / ACIDS[from].gPerMol;
  const freed = chargeOf(ACIDS[from].pKa, pH) / chargeOf(ACIDS[to].pKa, pH);
  const protons = ACIDS[from].pKa.length / ACIDS[to].pKa.length;
  return {
    atPhUg: Math.round(mol * freed * ACIDS[to].gPerMol),
    titratableUg: Math.round(mol * protons * ACIDS[to].gPerMol),
  };
}

/** Titratable acid, mol of protons: every one that sodium hydroxide would find. */
export function titratableMol(acids: AcidMasses): number {
  return (Object.keys(ACIDS) as Acid[]).reduce((sum, acid) => {
    const { pKa, gPerMol } = ACIDS[acid];
    return sum + ((acids[acid] ?? 0) / 1e6 / gPerMol) * pKa.length;
  }, 0);
}

/** "vinegar 5 %", "citric acid crystals", "citric acid stock 10 %". */
export function sayAcid(source: AcidSource): string {
  switch (source.kind) {
    case "vinegar":
      return `vinegar ${source.pct}\u202f%`;
    case "citricCrystals":
      return "citric acid crystals";
    case "citricStock":
      return `citric acid stock ${source.pct}\u202f%`;
  }
}

/** g of pure acid in a gram as weighed. */
function purity(source: AcidSource): number {
  return source.kind !== "vinegar" && source.form === "monohydrate"
    ? ACIDS.citric.gPerMol / CITRIC_MONOHYDRATE_G_PER_MOL
    : 1;
}

/** Mean negative charge of an acid at a pH: how many of its protons are off. */
function chargeOf(pKa: readonly number[], pH: number): number {
  let [form, forms, charge] = [1, 1, 0];
  pKa.forEach((pK, at) => {
    form *= 10 ** (pH - pK);
    forms += form;
    charge += (at + 1) * form;
  });
  return charge / forms;
}

/** Positive charge less negative of water with bicarbonate in it, mol/L. */
function waterSurplus(pH: number, alkalinity: number): number {
  return 10 ** -pH + alkalinity - 10 ** (pH - WATER_PKW) - alkalinity * chargeOf(CARBONIC_PKA, pH);
}

function alkalinityMolPerL(bath: AcidBath): number {
  return (bath.alkalinityMgPerL ?? 0) / MG_PER_MEQ / 1000;
}

function litresOf(volumeUl: number): number {
  if (!(volumeUl > 0)) throw new RangeError(`volumeUl must be above 0: ${volumeUl}`);
  return volumeUl / 1e6;
}
