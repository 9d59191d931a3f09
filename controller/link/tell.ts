import type { Act } from "../../shared/session/act.ts";
import type { SessionEvent } from "../../shared/session/event.ts";
import { sayAct } from "../../shared/session/say.ts";
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
      return entry ? `undid: ${sayAct(before, entry.act)}` : null;
    }
    case "acted":
      return tellAct(before, after, event.act);
    default:
      return null;
  }
}

function tellAct(before: State, after: State, act: Act): string {
  switch (act.kind) {
    case "pour":
      return `poured: ${sayAct(before, act)}`;
    case "add":
      return `added: ${sayAct(before, act)}`;
    case "mix":
      return `mixed: ${sayAct(after, act)}`;
    case "timerStart":
      return `started: ${sayAct(before, act)}`;
    case "skip":
    case "timerStop":
    case "timerExtend":
      return sayAct(before, act);
    default:
      return `noted: ${sayAct(after, act)}`;
  }
}
