import { left } from "../../shared/dye/vessel.ts";
import { pourNow } from "../../shared/session/pourNow.ts";
import type { Id } from "../../shared/session/setup.ts";
import { isOpen, type State } from "../../shared/session/state.ts";

/** What a bottle or jug still has to give, uL: what is in it against what the sheet takes from it. */
export type Demand = { leftUl: number; plannedUl: number; pours: number; shortUl: number };

/** The open pours of the sheet that draw on a bottle, as adjusted, against what it holds. */
export function demandOn(state: State, vessel: Id): Demand {
  const held = state.bench.vessels[vessel];
  const leftUl = held ? left(held.vessel).volumeUl : 0;
  let plannedUl = 0;
  let pours = 0;
  for (const step of state.setup.steps) {
    if (step.kind !== "pour" || !isOpen(state, step.id)) continue;
    const { source } = pourNow(state, step);
    if (source.from !== "vessel" || source.vessel !== vessel) continue;
    plannedUl += source.amount.volumeUl;
    pours += 1;
  }
  return { leftUl, plannedUl, pours, shortUl: Math.max(0, plannedUl - leftUl) };
}
