import type { RecordedEvent } from "../session/event.ts";
import { sayEntry } from "../session/say.ts";
import type { Id } from "../session/setup.ts";
import { currentStep, fold, type State, step } from "../session/state.ts";

/** A pour in force, and when viewers saw it. */
export type Moment = {
  act: number;
  /** When it came up as the next pour; for an unplanned one, when it was made. Server's ms. */
  shownAt: number;
  /** The tap that said it was poured, server's ms. */
  pouredAt: number;
  say: string;
};

/**
 * The pours of a session that its video shows, in the order in which they came up: undone ones and
 * those off air are left out. `at` of the events is the clock that counts, as everywhere.
 */
export function momentsOf(session: Id, events: readonly RecordedEvent[]): Moment[] {
  const cameUp = new Map<number, number>();
  let state: State = fold(session, []);
  let next: Id | null = null;
  let since = 0;
  for (const recorded of events) {
    const { event, seq, at } = recorded;
    if (event.type === "acted" && "step" in event.act && event.act.step === next) {
      cameUp.set(seq, since);
    }
    state = step(state, recorded);
    const now = state.phase === "live" ? (currentStep(state)?.id ?? null) : null;
    if (now !== next) since = at;
    next = now;
  }
  const onAir = state.bench.poured.filter(({ offAir }) => offAir !== true);
  const moments = onAir.map((poured) => {
    const entry = state.acts.find(({ seq }) => seq === poured.act);
    return {
      act: poured.act,
      shownAt: Math.min(cameUp.get(poured.act) ?? poured.at, poured.at),
      pouredAt: poured.at,
      say: entry ? sayEntry(state, entry) : "",
    };
  });
  return moments.sort((a, b) => a.shownAt - b.shownAt || a.act - b.act);
}
