import { showStrength } from "../../shared/dye/display.ts";
import { strengthPct } from "../../shared/dye/strength.ts";
import { type Liquor, totalUg } from "../../shared/dye/vessel.ts";

/** Why a mix cannot be a stock: more dye in it than 100 g in 100 mL. */
export function tooStrong(liquor: Liquor | null): string | null {
  if (liquor === null || liquor.volumeUl === 0) return null;
  const pct = strengthPct(totalUg(liquor.dyes), liquor.volumeUl);
  return pct > 100
    ? `That would be ${showStrength(pct)}, and no stock is stronger than 100 %: ` +
        "take less powder, or make it up to more."
    : null;
}
