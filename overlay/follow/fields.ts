import type { Field } from "../../shared/dye/quantity.ts";
import { type Refusal, refuse } from "../../shared/dye/refusal.ts";

/** Dry yarn, up to 100 kg, the most that anybody dyes at once; in g, or any unit of mass. */
export const fibreField: Field = { kind: "mass", max: 100_000_000_000 };

/** The strength of a stock, % w/v: above 0, 100 at the most. */
export const strengthField: Field = { kind: "percent", max: 100 };

/** Drops of a dropper in 1 mL. */
export const dropsField: Field = { kind: "number", max: 100 };

const weakestPct = 0.001;

export function checkStrength(pct: number): Refusal | null {
  return pct < weakestPct
    ? refuse("strength.tooWeak", "A stock that weak is all but water: check the figure.")
    : null;
}

export function checkDrops(drops: number): Refusal | null {
  return drops < 1
    ? refuse("drops.outOfRange", "Count how many drops fill 1 mL: 1 to 100, often about 20.")
    : null;
}
