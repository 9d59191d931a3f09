import type { Seen, Yarn } from "../../shared/colour/seen.ts";
import { yarnOf } from "../../shared/colour/seen.ts";
import { calibrate, type Dye, type Swatch } from "../../shared/colour/swatch.ts";
import { refused } from "../../shared/dye/refusal.ts";

export const woolHex = "#efe6d6";

export function typed(hex: string): Seen {
  return { how: "typed", hex };
}

export function yarnSeen(seen: Seen, id?: string): Yarn {
  const yarn = yarnOf(seen, id);
  if (refused(yarn)) throw new Error(yarn.say);
  return yarn;
}

export const wool = yarnSeen(typed(woolHex));

export function dyeOf(...swatches: Swatch[]): Dye {
  const dye = calibrate(swatches);
  if (refused(dye)) throw new Error(dye.say);
  return dye;
}

/** A dye known by one typed colour on the wool. */
export function dyeSeen(hex: string, depthPct = 1): Dye {
  return dyeOf({ depthPct, seen: typed(hex), yarn: typed(woolHex) });
}

export const dyes = {
  lantern: dyeSeen("#d39a2c"),
  slipway: dyeSeen("#a8332f"),
  saltmarsh: dyeSeen("#2e6e86"),
  tidewrack: dyeSeen("#5d6b3a"),
  gullwing: dyeSeen("#8d8f93"),
  deepwater: dyeSeen("#22344f", 1.5),
};
