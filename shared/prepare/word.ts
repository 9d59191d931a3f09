import type { Pace } from "../plan/pace.ts";
import type { Id } from "../session/setup.ts";
import type { Preparation, Prepared } from "./preparation.ts";

/** A change that can be taken back or made again: its number, and what it was. */
export type Turnable = { readonly seq: number; readonly say: string };

/** What a tablet is told of the preparation. */
export type PreparationWord = Prepared & {
  readonly seq: number;
  readonly undo: Turnable | null;
  readonly redo: Turnable | null;
  /** How long the dyer takes by hand, from her past sessions. */
  readonly pace: Pace;
  /** How many past sessions that is from; with none it is the usual one. */
  readonly paceFrom: number;
  /** The plan that the session on the bench was opened from. */
  readonly onBench: Id | null;
};

/** The answer to a request; a refusal changed nothing. */
export type PrepareAnswer =
  | { ok: true; seq: number; say: string }
  | { ok: false; code: string; say: string };

export function wordOf(
  { seq, prepared, past, future }: Preparation,
  more: Pick<PreparationWord, "pace" | "paceFrom" | "onBench">,
): PreparationWord {
  const turnable = (turn: Turnable | undefined): Turnable | null =>
    turn ? { seq: turn.seq, say: turn.say } : null;
  return { ...prepared, seq, undo: turnable(past.at(-1)), redo: turnable(future.at(-1)), ...more };
}
