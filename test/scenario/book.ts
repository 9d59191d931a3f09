import { addMasses, type DyeMasses, left } from "../../shared/dye/vessel.ts";
import type { Bench } from "../../shared/session/bench.ts";

/** Where every microgram of dye and every microlitre from the bottles is, to be held against what came. */
export function bookOf(bench: Bench): { dyes: DyeMasses; volumeUl: number } {
  let dyes: DyeMasses = addMasses(bench.losses.tipped, bench.losses.spilled);
  let volumeUl = bench.outUl.poured + bench.outUl.tipped + bench.outUl.spilled;
  for (const { vessel } of Object.values(bench.vessels)) {
    const held = left(vessel);
    dyes = addMasses(dyes, held.dyes);
    volumeUl += held.volumeUl;
  }
  for (const skein of Object.values(bench.skeins)) dyes = addMasses(dyes, skein.dyes);
  for (const pan of Object.values(bench.pans)) dyes = addMasses(dyes, pan.bathDyes);
  return { dyes, volumeUl };
}

/** The masses without the dyes of which there is none, for comparing. */
export function present(dyes: DyeMasses): DyeMasses {
  return Object.fromEntries(Object.entries(dyes).filter(([, ug]) => ug !== 0));
}
