import { left } from "../../shared/dye/vessel.ts";
import { pourNow } from "../../shared/session/pourNow.ts";
import type { Id, Setup, Stock } from "../../shared/session/setup.ts";
import { isOpen, type State } from "../../shared/session/state.ts";

/**
 * What still lies ahead of a session, as a setup: bottles and jugs with what is left in them, skeins
 * where they lie, and the steps still open, amounts as adjusted. `foresee` of it is foresight while
 * live.
 */
export function aheadOf(state: State): Setup {
  const { setup, bench } = state;
  const stocks: Record<Id, Stock> = {};
  for (const { id, name, vessel } of Object.values(bench.vessels)) {
    const held = left(vessel);
    stocks[id] = { id, name, volumeUl: held.volumeUl, dyes: held.dyes };
  }
  const steps = setup.steps
    .filter((step) => isOpen(state, step.id) && bench.steps[step.id]?.status !== "running")
    .map((step) => (step.kind === "pour" ? { ...step, pour: pourNow(state, step) } : step));
  return { ...setup, stocks, steps };
}
