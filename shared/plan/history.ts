import { type Refusal, refuse, refused } from "../dye/refusal.ts";
import { type Edit, edited } from "./edit.ts";
import type { Plan } from "./plan.ts";

/** A plan as it was, and the change in words that was made to it then. */
export type Turn = { plan: Plan; say: string };

/**
 * A plan with all that can be undone and redone, newest last. It is never changed, only followed by
 * another one; plans share what an edit left alone.
 */
export type History = { past: readonly Turn[]; plan: Plan; future: readonly Turn[] };

/** The answer to an edit, an undo or a redo: the history after it, and what was done. */
export type Turned = { ok: true; history: History; say: string };

/** Edits further back than this cannot be undone. */
export const mostTurns = 1_000;

export function begin(plan: Plan): History {
  return { past: [], plan, future: [] };
}

/** Makes one edit. What was undone before it can no longer be redone. */
export function turn(history: History, edit: Edit): Turned | Refusal {
  const next = edited(history.plan, edit);
  if (refused(next)) return next;
  const past = [...history.past, { plan: history.plan, say: next.say }].slice(-mostTurns);
  return { ok: true, history: { past, plan: next.plan, future: [] }, say: next.say };
}

export function undo(history: History): Turned | Refusal {
  const last = history.past.at(-1);
  if (!last) return refuse("history.oldest", "There is nothing left to undo.");
  const past = history.past.slice(0, -1);
  const future = [...history.future, { plan: history.plan, say: last.say }];
  return { ok: true, history: { past, plan: last.plan, future }, say: `undid: ${last.say}` };
}

export function redo(history: History): Turned | Refusal {
  const next = history.future.at(-1);
  if (!next) return refuse("history.newest", "There is nothing to redo.");
  const future = history.future.slice(0, -1);
  const past = [...history.past, { plan: history.plan, say: next.say }];
  return { ok: true, history: { past, plan: next.plan, future }, say: `redid: ${next.say}` };
}
