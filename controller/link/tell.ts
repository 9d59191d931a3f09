import type { Act } from "../../shared/session/act.ts";
import type { SessionEvent } from "../../shared/session/event.ts";
import { sayAct, sayHeating, sayMinutes, sayPan } from "../../shared/session/say.ts";
import type { State } from "../../shared/session/state.ts";

/**
 * What was just done, in words, or `null` where the screen itself says it (an amount that changed,
 * a step that was chosen). `before` is the state that the event came to.
 */
export function tell(before: State, after: State, event: SessionEvent): string | null {
  switch (event.type) {
    case "wentLive":
      return "on air";
    case "closed":
      return "session closed";
    case "reopened":
      return "session open again";
    case "undone": {
      const entry = before.acts.find((entry) => entry.seq === event.act);
      return entry ? `undid: ${nameAct(before, entry.act)}` : null;
    }
    case "acted":
      return tellAct(before, after, event.act);
    default:
      return null;
  }
}

/** An act in a few words, timers by the pan they are for. */
export function nameAct(state: State, act: Act): string {
  // Labels are written by hand, "vinegar 5 %", and the sign must not be torn off.
  const said = sayAct(state, act).replace(/ %/g, "\u202f%");
  if (act.kind !== "timerStop" && act.kind !== "timerExtend") return said;
  const timer = state.bench.timers[act.timer];
  if (!timer) return said;
  const what = `the ${sayHeating(timer.how)} of ${sayPan(state, timer.pan)}`;
  return act.kind === "timerStop" ? `ended ${what}` : `${sayMinutes(act.seconds)} more for ${what}`;
}

function tellAct(before: State, after: State, act: Act): string {
  switch (act.kind) {
    case "pour":
      return `poured: ${nameAct(before, act)}`;
    case "add":
      return `added: ${nameAct(before, act)}`;
    case "mix":
      return `mixed: ${sayAct(after, act)}`;
    case "timerStart":
      return `started: ${nameAct(before, act)}`;
    case "skip":
    case "timerStop":
    case "timerExtend":
      return nameAct(before, act);
    default:
      return `noted: ${sayAct(after, act)}`;
  }
}
