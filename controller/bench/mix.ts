import { addLiquor, draw, type Liquor, left } from "../../shared/dye/vessel.ts";
import type { MixPart, PowderPart } from "../../shared/session/act.ts";
import type { Bench } from "../../shared/session/bench.ts";
import type { Id } from "../../shared/session/setup.ts";

/** What goes together: uL of bottles and water, ug of powder; `into` is what is there already. */
export type Mix = {
  into?: Id | undefined;
  parts: readonly MixPart[];
  powder: readonly PowderPart[];
  waterUl: number;
};

/** What a mix comes to before it is made, or null where a bottle does not hold so much. */
export function liquorOf(bench: Bench, { into, parts, powder, waterUl }: Mix): Liquor | null {
  const there = into === undefined ? undefined : bench.vessels[into];
  let liquor: Liquor = there ? left(there.vessel) : { volumeUl: 0, dyes: {} };
  liquor = addLiquor(liquor, { volumeUl: waterUl, dyes: {} });
  for (const { dye, massUg } of powder) {
    liquor = addLiquor(liquor, { volumeUl: 0, dyes: { [dye]: massUg } });
  }
  for (const { vessel, volumeUl } of parts) {
    const from = bench.vessels[vessel];
    if (!from || volumeUl > left(from.vessel).volumeUl) return null;
    liquor = addLiquor(liquor, draw(from.vessel, volumeUl).drawn);
  }
  return liquor;
}
