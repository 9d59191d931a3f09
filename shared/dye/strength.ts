import { type Refusal, refuse } from "./refusal.ts";

/**
 * Strength of a stock, % w/v: grams of dye in 100 mL of solution. 1 % is 1 g in 100 mL, 10 g in 1 L
 * (textile wet-processing laboratory notes).
 *
 * @param massUg 0 or more
 * @param volumeUl above 0
 * @throws RangeError when volumeUl is not above 0
 */
export function strengthPct(massUg: number, volumeUl: number): number {
  return massUg / above0(volumeUl, "volumeUl") / 10;
}

/**
 * Dye in a volume of stock, ug, rounded once to the nearest.
 *
 * @param strengthPct % w/v, 0 or more
 * @param volumeUl 0 or more
 */
export function massUgFor(strengthPct: number, volumeUl: number): number {
  return Math.round(strengthPct * volumeUl * 10);
}

/**
 * Volume of stock that holds a mass of dye, uL, rounded once to the nearest.
 *
 * @param massUg 0 or more
 * @param strengthPct % w/v, above 0
 * @throws RangeError when strengthPct is not above 0
 */
export function volumeUlFor(massUg: number, strengthPct: number): number {
  return Math.round(massUg / above0(strengthPct, "strengthPct") / 10);
}

/** What to measure for a dilution: stock and water, uL; they sum to the volume asked for. */
export type Dilution = { stockUl: number; waterUl: number };

/**
 * Dilutes one stock into a weaker one: C1 V1 = C2 V2 (any general chemistry text). The stock part
 * is rounded once to a uL and water makes up the rest, so the two sum to `finalUl`.
 *
 * @param fromPct,toPct % w/v
 * @param finalUl whole uL to make, above 0
 * @returns a refusal when a strength or the volume is not above 0, or the wanted one is stronger
 */
export function dilution(fromPct: number, toPct: number, finalUl: number): Dilution | Refusal {
  if (!(fromPct > 0) || !(toPct > 0) || !Number.isFinite(fromPct)) {
    return refuse(
      "dilution.noStrength",
      "A strength is more than 0 %: give the strength of the stock and the strength you want.",
    );
  }
  if (!Number.isSafeInteger(finalUl) || finalUl <= 0) {
    return refuse("dilution.noVolume", "Say how much to make: more than 0 mL.");
  }
  if (toPct > fromPct) {
    return refuse(
      "dilution.stronger",
      "Water only makes a stock weaker: choose a strength below the stock's own, or start from a stronger stock.",
    );
  }
  const stockUl = Math.round((finalUl * toPct) / fromPct);
  return { stockUl, waterUl: finalUl - stockUl };
}

function above0(n: number, name: string): number {
  if (!(n > 0)) throw new RangeError(`${name} must be above 0: ${n}`);
  return n;
}
