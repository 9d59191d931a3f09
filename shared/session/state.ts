import type { Entry, StepAmount } from "./act.ts";
import { applyAct, type Bench, benchOf, copyBench, isProblem, replay } from "./bench.ts";
import type { OverlayParts, OverlayView, RecordedEvent } from "./event.ts";
import type { Id, Setup, Step } from "./setup.ts";

export type Phase = "ready" | "live" | "closed";

/** A session as its events have left it. Plain JSON, so that it can be sent as a snapshot. */
export type State = {
  session: Id;
  /** Sequence number of the last event that is counted in. */
  seq: number;
  openedAt: number;
  liveAt: number | null;
  closedAt: number | null;
  phase: Phase;
  setup: Setup;
  /** The plan that the session was opened from. */
  plan?: Id;
  /** Zone that the bench stands in; absent in a record that does not say it. */
  zone?: string;
  /** Acts in force: undone ones are gone. */
  acts: Entry[];
  /** The step the dyer chose out of turn, if any. */
  chosen: Id | null;
  adjusted: Record<Id, StepAmount>;
  /** `code`: the address that viewers are shown as a QR code, where there is one. */
  overlay: { view: OverlayView; parts: OverlayParts; code?: string };
  /** How far viewers' phones are held behind the bench, s; absent until it was asked for. */
  holdBackSeconds?: number;
  /** Time of the tap that last moved the session on, ms; a bouncing pedal is told by it. */
  lastAdvanceAt: number | null;
  /** The same for the tap that last took an act back. */
  lastUndoAt: number | null;
  bench: Bench;
};

export const allParts: OverlayParts = { depth: true, rule: true, timers: true, count: true };

const nothing: Setup = {
  name: "",
  dyes: {},
  bases: {},
  stocks: {},
  colourways: {},
  pans: {},
  skeins: {},
  steps: [],
  presetsUl: [],
};

function empty(session: Id): State {
  return {
    session,
    seq: 0,
    openedAt: 0,
    liveAt: null,
    closedAt: null,
    phase: "ready",
    setup: nothing,
    acts: [],
    chosen: null,
    adjusted: {},
    overlay: { view: "auto", parts: allParts },
    lastAdvanceAt: null,
    lastUndoAt: null,
    bench: benchOf(nothing),
  };
}

/** A record whose events cannot have followed one another: it was changed from outside. */
export class BrokenRecord extends Error {}

/**
 * State of a session from all its events. The bench is replayed once, at the end, so that the cost
 * stays in proportion to the number of events however many were undone or corrected.
 */
export function fold(session: Id, events: readonly RecordedEvent[]): State {
  const state = empty(session);
  for (const recorded of events) take(state, recorded);
  state.bench = benchAfter(state.setup, state.acts);
  return state;
}

/**
 * State after one more event; `state` itself is left as it was. An act is added to the bench as it
 * stands; only undo, correct and settle replay it.
 */
export function step(state: State, recorded: RecordedEvent): State {
  const { event } = recorded;
  const next = { ...state, acts: state.acts.slice() };
  if (event.type === "adjusted") next.adjusted = { ...state.adjusted };
  take(next, recorded);
  if (event.type === "acted" && event.act.kind !== "correct" && event.act.kind !== "settle") {
    const bench = copyBench(state.bench);
    const entry = next.acts.at(-1) as Entry;
    const problem = applyAct(bench, entry);
    if (problem) throw new BrokenRecord(`Event ${recorded.seq} cannot follow what is before it.`);
    next.bench = bench;
  } else if (event.type === "acted" || isRebuilt(event)) {
    next.bench = benchAfter(next.setup, next.acts);
  }
  return next;
}

function isRebuilt({ type }: RecordedEvent["event"]): boolean {
  return type === "undone" || type === "opened" || type === "replanned";
}

function benchAfter(setup: Setup, acts: readonly Entry[]): Bench {
  const bench = replay(setup, acts);
  if (isProblem(bench)) {
    throw new BrokenRecord(`Event ${bench.act} cannot follow what is before it.`);
  }
  return bench;
}

/** Counts one event into everything but the bench. Changes `state`, its acts and adjustments. */
function take(state: State, recorded: RecordedEvent): void {
  const { event, seq, at } = recorded;
  if (seq !== state.seq + 1) {
    throw new BrokenRecord(`Event ${state.seq + 1} is missing from the record.`);
  }
  state.seq = seq;
  switch (event.type) {
    case "opened":
      state.setup = event.setup;
      if (event.plan !== undefined) state.plan = event.plan;
      if (event.zone !== undefined) state.zone = event.zone;
      state.openedAt = at;
      return;
    case "replanned": {
      state.setup = event.setup;
      const there = new Set(event.setup.steps.map(({ id }) => id));
      if (state.chosen !== null && !there.has(state.chosen)) state.chosen = null;
      const adjusted = Object.entries(state.adjusted).filter(([id]) => there.has(id));
      state.adjusted = Object.fromEntries(adjusted);
      return;
    }
    case "wentLive":
      state.phase = "live";
      state.liveAt = at;
      return;
    case "closed":
      state.phase = "closed";
      state.closedAt = at;
      return;
    case "reopened":
      state.phase = state.liveAt === null ? "ready" : "live";
      state.closedAt = null;
      return;
    case "chosen":
      state.chosen = event.step;
      return;
    case "adjusted":
      state.adjusted[event.step] = event.amount;
      return;
    case "acted": {
      const { act } = event;
      const offAir = state.phase === "closed" ? { offAir: true as const } : {};
      state.acts.push({ seq, at, act, ...offAir });
      if (event.advances) state.lastAdvanceAt = at;
      if ("step" in act && act.step === state.chosen && !keepsStep(act)) state.chosen = null;
      return;
    }
    case "undone": {
      const undone = state.acts.pop();
      if (undone?.seq !== event.act) {
        throw new BrokenRecord(`Event ${seq} takes back an act that is not the last.`);
      }
      state.lastUndoAt = at;
      const { act } = undone;
      if ("step" in act && act.step !== undefined) state.chosen = act.step;
      return;
    }
    case "shown":
      state.overlay = { ...state.overlay, view: event.view, parts: event.parts };
      return;
    case "codeShown": {
      const { view, parts } = state.overlay;
      state.overlay = { view, parts, ...(event.address === null ? {} : { code: event.address }) };
      return;
    }
    case "heldBack":
      state.holdBackSeconds = event.seconds;
      return;
  }
}

function keepsStep(act: Entry["act"]): boolean {
  return act.kind === "timerStart" && act.wait;
}

export function isOpen(state: State, id: Id): boolean {
  const progress = state.bench.steps[id];
  return progress === undefined || progress.status === "running";
}

/** The step that is next: the one chosen, else the first that is still open. */
export function currentStep(state: State): Step | null {
  const { chosen, setup } = state;
  const open = setup.steps.filter((step) => isOpen(state, step.id));
  return open.find((step) => step.id === chosen) ?? open[0] ?? null;
}

/** What a step would put in now: as adjusted, else as planned; `null` for a heat step. */
export function stepAmount(state: State, step: Step): StepAmount | null {
  const adjusted = state.adjusted[step.id];
  if (adjusted) return adjusted;
  if (step.kind === "heat") return null;
  if (step.kind === "add") return { of: "addition", amount: step.amount };
  return step.pour.source.from === "vessel"
    ? { of: "volume", amount: step.pour.source.amount }
    : { of: "powder", amount: step.pour.source.amount };
}
