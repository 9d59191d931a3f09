import type { Act, Entry } from "../../shared/session/act.ts";
import { replacements } from "../../shared/session/bench.ts";
import { sayAct, sayEntry } from "../../shared/session/say.ts";
import type { State } from "../../shared/session/state.ts";
import { sayMix } from "./sayMix.ts";

/** A line of the record as it stands: what was written, and what it is held to be by now. */
export type Line = {
  entry: Entry;
  say: string;
  mark: "as written" | "corrected" | "settled" | "taken out";
  /** What was written at first, where that is another thing by now. */
  was: string | null;
  /** The pour or addition that a correction starts from; null where there is none to correct. */
  truth: Extract<Act, { kind: "pour" | "add" }> | null;
};

/** All that was done, the newest first, corrections and settlements counted in. */
export function linesOf(state: State): Line[] {
  const truths = replacements(state.acts);
  const lines = state.acts.map((entry): Line => {
    const { act, seq } = entry;
    const written = act.kind === "mix" ? sayMix(state, act) : sayAct(state, act);
    if (act.kind !== "pour" && act.kind !== "add") {
      return { entry, say: written, mark: "as written", was: null, truth: null };
    }
    const known = truths.get(seq);
    if (!known) {
      return { entry, say: sayEntry(state, entry), mark: "as written", was: null, truth: act };
    }
    const truth = known.to;
    if (truth === null) return { entry, say: written, mark: "taken out", was: null, truth: null };
    const say = truth.kind === "pour" ? sayEntry(state, entry) : sayAct(state, truth);
    const mark = known.corrected ? "corrected" : "settled";
    return { entry, say, mark, was: say === written ? null : written, truth };
  });
  return lines.reverse();
}
