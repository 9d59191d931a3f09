import type { BenchTimer } from "./bench.ts";
import type { Heating, Id } from "./setup.ts";
import type { State } from "./state.ts";

/** A heat, or a rest, as it was. */
export type Heated = {
  /** The act that began it, and when, ms since 1970. */
  act: number;
  at: number;
  how: Heating;
  pan: Id;
  waitingFor: string;
  /** What it was meant to reach, where its step says so, degrees C. */
  celsius?: number;
  /** The step of the pour sheet that it belongs to. */
  step?: Id;
  /** From its begin to its end, s, extensions counted in; while it runs, what its timer is set to. */
  seconds: number;
  /** Ended before its timer was; or not ended yet. */
  ended?: "early" | "notYet";
};

/** An end this near to the timer's is the timer's: nobody taps to the second; no source. */
const mostSlackSeconds = 30;
const mostSlackShare = 0.05;

/** Every heat and rest of a session, in the order in which they were begun. */
export function heatsOf(state: State): Heated[] {
  const began = new Map<Id, number>();
  for (const { seq, act } of state.acts) if (act.kind === "timerStart") began.set(act.timer, seq);
  return Object.values(state.bench.timers)
    .map((timer): Heated => {
      const { id, how, pan, waitingFor, step, startedAt: at } = timer;
      return {
        act: began.get(id) ?? 0,
        at,
        how,
        pan,
        waitingFor,
        ...celsiusOf(state, step),
        ...(step === null ? {} : { step }),
        ...lasted(timer),
      };
    })
    .sort((a, b) => a.act - b.act);
}

function lasted({ seconds, startedAt, stoppedAt }: BenchTimer): Pick<Heated, "seconds" | "ended"> {
  if (stoppedAt === null) return { seconds, ended: "notYet" };
  const real = Math.max(0, Math.round((stoppedAt - startedAt) / 1_000));
  const slack = Math.min(mostSlackSeconds, seconds * mostSlackShare);
  if (Math.abs(real - seconds) <= slack) return { seconds };
  return real < seconds ? { seconds: real, ended: "early" } : { seconds: real };
}

function celsiusOf(state: State, id: Id | null): { celsius?: number } {
  const step = state.setup.steps.find((step) => step.id === id);
  return step?.kind === "heat" && step.celsius !== undefined ? { celsius: step.celsius } : {};
}
