import "./actions.css";
import type { ComponentChildren } from "preact";
import { sayAct } from "../../shared/session/say.ts";
import type { Step } from "../../shared/session/setup.ts";
import type { State } from "../../shared/session/state.ts";

/** What {@link Actions} are told. */
export interface ActionsProps {
  state: State;
  step: Step | null;
  /** Whether a heat step's timer runs already. */
  running: boolean;
  onGo: () => void;
  onUnplanned: () => void;
  onSkip: () => void;
  onUndo: () => void;
}

/** The next action, always in the same place, and beneath it what else may be done. */
export function Actions(props: ActionsProps) {
  const { state, step, running, onGo, onUnplanned, onSkip, onUndo } = props;
  const last = state.acts.at(-1);
  const live = state.phase === "live";
  return (
    <div class="live-actions">
      <button type="button" class="live-go" data-next onClick={onGo}>
        {goWords(state, step, running)}
      </button>
      <div class="live-others">
        <button type="button" class="live-quiet" disabled={!live} onClick={onUnplanned}>
          Unplanned pour
        </button>
        <button
          type="button"
          class="live-quiet"
          disabled={!live}
          onClick={onSkip}
          aria-label={step ? undefined : "Close the session"}
        >
          {step ? "Skip" : "Close session"}
        </button>
        <button
          type="button"
          class="live-quiet"
          disabled={!last || state.phase === "closed"}
          onClick={onUndo}
        >
          {last ? (
            <span class="live-undo">
              Undo: <bdi>{sayAct(state, last.act)}</bdi>
            </span>
          ) : (
            "Nothing to undo"
          )}
        </button>
      </div>
    </div>
  );
}

function goWords(state: State, step: Step | null, running: boolean): ComponentChildren {
  if (state.phase === "ready") return "Go live";
  if (state.phase === "closed") return "Reopen";
  if (step === null) {
    return state.overlay.view === "recap" ? "Take the recap off screen" : "Show the recap card";
  }
  switch (step.kind) {
    case "pour":
      return step.pour.source.from === "powder" ? "Sprinkled" : "Poured";
    case "add":
      return "Added";
    case "heat":
      if (step.how === "rest") return running ? "Rest done" : "Start the rest";
      return running ? "Heat done" : "Start the heat";
  }
}
