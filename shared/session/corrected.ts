import { replacements } from "./bench.ts";
import { sayAct, sayPour } from "./say.ts";
import type { State } from "./state.ts";

/** A correction that was made after the session had been closed, in words. */
export type Correction = {
  seq: number;
  at: number;
  /** The act that it corrects. */
  act: number;
  was: string;
  /** What it was in truth; `null` where it never happened. */
  now: string | null;
  reason: string;
};

/** Corrections made after the close, the oldest first, each beside what was held to be true before. */
export function correctionsAfter(state: State): Correction[] {
  return state.acts.flatMap(({ seq, at, act, offAir }, place): Correction[] => {
    if (act.kind !== "correct" || offAir !== true) return [];
    const written = state.acts.find((one) => one.seq === act.act);
    const before = replacements(state.acts.slice(0, place)).get(act.act)?.to ?? written?.act;
    const strength = state.bench.poured.find((one) => one.act === act.act)?.strengthPct;
    const say = (what: typeof before) =>
      what?.kind === "pour"
        ? sayPour(state, what.pour, isSame(what) ? (strength ?? undefined) : undefined)
        : what
          ? sayAct(state, what)
          : "";
    const isSame = (what: Extract<typeof before, { kind: "pour" }>) => {
      const now = act.to?.kind === "pour" ? act.to.pour.source : null;
      const { source } = what.pour;
      return now?.from === "vessel" && source.from === "vessel" && now.vessel === source.vessel;
    };
    const { reason } = act;
    const now = act.to === null ? null : say(act.to);
    return [{ seq, at, act: act.act, was: say(before), now, reason }];
  });
}
