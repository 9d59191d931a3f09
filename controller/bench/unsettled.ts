import type { Poured } from "../../shared/session/bench.ts";
import type { Id } from "../../shared/session/setup.ts";
import type { State } from "../../shared/session/state.ts";

/** Pours from a bottle that were judged by eye until its level or weight is read. */
export function unsettled(state: State, vessel: Id): Poured[] {
  return state.bench.poured.filter(({ pour: { source } }) => {
    return (
      source.from === "vessel" && source.vessel === vessel && source.amount.how === "unsettled"
    );
  });
}
