import { mulDivRound } from "./mulDiv.ts";
import { shareOut } from "./shareOut.ts";

/** Mass of each dye, dye id to ug (safe integers, 0 or more). */
export type DyeMasses = Readonly<Record<string, number>>;

/** An amount of dye liquor: uL, and the ug of each dye dissolved in it. */
export type Liquor = { volumeUl: number; dyes: DyeMasses };

/**
 * A bottle or a jug since it was last made or topped up: what it held then (uL, ug per dye) and
 * how much has been drawn since (uL). What it holds now is never stored, only worked out, so that
 * no rounding can pile up.
 */
export type Vessel = { madeUl: number; madeUg: DyeMasses; drawnUl: number };

/** A vessel that holds exactly this liquor. `volumeUl` and masses: safe integers, 0 or more. */
export function vesselOf(liquor: Liquor): Vessel {
  return { madeUl: liquor.volumeUl, madeUg: liquor.dyes, drawnUl: 0 };
}

/** The liquid that the vessel holds now, uL. */
export function leftUl(vessel: Vessel): number {
  return vessel.madeUl - vessel.drawnUl;
}

/** What the vessel holds now, uL and ug. Empty of liquid is empty of dye. */
export function left(vessel: Vessel): Liquor {
  return {
    volumeUl: leftUl(vessel),
    dyes: mapMasses(vessel.madeUg, (madeUg) => madeUg - outSoFar(vessel, vessel.drawnUl, madeUg)),
  };
}

/**
 * Draws `volumeUl` from a vessel. Dye out so far is the made mass x drawn / made, rounded once, and
 * a draw is the difference of two such sums: it is within one ug of the exact ratio however many
 * draws went before, and drawing everything takes everything.
 *
 * @param volumeUl whole number from 0 to what is left
 * @throws RangeError for anything else; callers ask `left` first and refuse in words
 */
export function draw(vessel: Vessel, volumeUl: number): { vessel: Vessel; drawn: Liquor } {
  const drawnUl = vessel.drawnUl + volumeUl;
  if (!Number.isSafeInteger(volumeUl) || volumeUl < 0 || drawnUl > vessel.madeUl) {
    throw new RangeError(
      `cannot draw ${volumeUl} uL from a vessel that holds ${leftUl(vessel)} uL`,
    );
  }
  const dyes: Record<string, number> = {};
  for (const dye in vessel.madeUg) {
    const madeUg = massOf(vessel.madeUg, dye);
    put(dyes, dye, outSoFar(vessel, drawnUl, madeUg) - outSoFar(vessel, vessel.drawnUl, madeUg));
  }
  return { vessel: { ...vessel, drawnUl }, drawn: { volumeUl, dyes } };
}

/** The vessel after `liquor` is poured into it: made anew from what it holds now and what came. */
export function pourIn(vessel: Vessel, liquor: Liquor): Vessel {
  return vesselOf(addLiquor(left(vessel), liquor));
}

/** Two liquors in one vessel: volumes and masses add (dilute dye liquors do not shrink on mixing). */
export function addLiquor(a: Liquor, b: Liquor): Liquor {
  return { volumeUl: a.volumeUl + b.volumeUl, dyes: addMasses(a.dyes, b.dyes) };
}

/** Mass of each dye of two amounts together, ug. */
export function addMasses(a: DyeMasses, b: DyeMasses): DyeMasses {
  const sum: Record<string, number> = { ...a };
  for (const dye in b) put(sum, dye, massOf(a, dye) + massOf(b, dye));
  return sum;
}

/** Mass of all dyes together, ug. */
export function totalUg(masses: DyeMasses): number {
  let sum = 0;
  for (const dye in masses) sum += massOf(masses, dye);
  return sum;
}

/** Mass of one dye, ug; 0 when there is none. Safe for a dye id such as "constructor". */
export function massOf(masses: DyeMasses, dye: string): number {
  return Object.hasOwn(masses, dye) ? (masses[dye] ?? 0) : 0;
}

/**
 * A pour shared over skeins: the volume and each dye are shared by the same weights (dry fibre in
 * ug, or named shares as whole numbers), and each sums exactly to the pour.
 *
 * @throws RangeError as `shareOut` does
 */
export function shareLiquor(liquor: Liquor, weights: readonly number[]): Liquor[] {
  const dyes = shareMasses(liquor.dyes, weights);
  return shareOut(liquor.volumeUl, weights).map((volumeUl, at) => ({
    volumeUl,
    dyes: dyes[at] ?? {},
  }));
}

/** Each dye shared by the same weights, ug, to the last one; throws as `shareOut` does. */
export function shareMasses(masses: DyeMasses, weights: readonly number[]): DyeMasses[] {
  const shares = weights.map((): Record<string, number> => ({}));
  for (const dye in masses) {
    const ofDye = shareOut(massOf(masses, dye), weights);
    for (let at = 0; at < shares.length; at++) put(shares[at] ?? {}, dye, ofDye[at] ?? 0);
  }
  return shares;
}

function outSoFar(vessel: Vessel, drawnUl: number, madeUg: number): number {
  // Powder in a vessel that has no water yet cannot be drawn as liquor.
  return vessel.madeUl === 0 ? 0 : mulDivRound(madeUg, drawnUl, vessel.madeUl);
}

function mapMasses(masses: DyeMasses, change: (massUg: number) => number): DyeMasses {
  const changed: Record<string, number> = {};
  for (const dye of Object.keys(masses)) put(changed, dye, change(massOf(masses, dye)));
  return changed;
}

/** Sets a dye's mass; plain assignment would lose the mass of a dye that is called "__proto__". */
function put(masses: Record<string, number>, dye: string, massUg: number): void {
  if (dye === "__proto__") {
    Object.defineProperty(masses, dye, {
      value: massUg,
      enumerable: true,
      configurable: true,
      writable: true,
    });
  } else {
    masses[dye] = massUg;
  }
}
