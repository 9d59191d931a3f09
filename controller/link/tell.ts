import { showAmount, showPowder } from "../../shared/dye/display.ts";
import type { Act, StepAmount } from "../../shared/session/act.ts";
import type { SessionEvent } from "../../shared/session/event.ts";
import { sayAct, sayAddition } from "../../shared/session/say.ts";
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

/** A tap in a few words, by which the dyer knows it again after it was lost. */
export function nameTap(before: State, after: State, event: SessionEvent): string {
  switch (event.type) {
    case "opened":
      return "opening the session";
    case "replanned":
      return "the changed plan";
    case "wentLive":
      return "going on air";
    case "closed":
      return "closing the session";
    case "reopened":
      return "reopening the session";
    case "chosen":
      return "the choice of a step";
    case "adjusted":
      return `the change to ${sayAmount(event.amount)}`;
    case "shown":
      return "what viewers are shown";
    case "codeShown":
      return "the code on screen";
    case "heldBack":
      return "how long viewers' phones wait";
    case "undone": {
      const entry = before.acts.find((entry) => entry.seq === event.act);
      return entry ? `undo of ${sayAct(before, entry.act)}` : "an undo";
    }
    case "acted":
      return event.act.kind === "note" ? sayNote(event.act.text) : sayAct(after, event.act);
  }
}

function sayNote(text: string): string {
  const letters = [...text];
  return `the note “${letters.length > 40 ? `${letters.slice(0, 39).join("")}…` : text}”`;
}

function sayAmount(amount: StepAmount): string {
  switch (amount.of) {
    case "volume":
      return showAmount(amount.amount);
    case "powder":
      return showPowder(amount.amount);
    case "addition":
      return sayAddition(amount.amount);
  }
}
