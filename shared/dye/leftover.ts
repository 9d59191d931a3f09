import { addLiquor, type Liquor, left, type Vessel } from "./vessel.ts";

/**
 * What is left in bottles and jugs, as one bath: uL, and ug per dye. Its depth on one more skein is
 * `depthPct` of its dye on that skein's dry fibre.
 */
export function leftover(vessels: readonly Vessel[]): Liquor {
  return vessels.map(left).reduce(addLiquor, { volumeUl: 0, dyes: {} });
}
