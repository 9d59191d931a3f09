import "./live.css";
import { useEffect, useRef, useState } from "preact/hooks";
import type { StepAmount } from "../../shared/session/act.ts";
import { bounceMs } from "../../shared/session/decide.ts";
import { liveHazards } from "../../shared/session/liveHazards.ts";
import { pourNow } from "../../shared/session/pourNow.ts";
import type { Id, Step } from "../../shared/session/setup.ts";
import { currentStep, isOpen, type State } from "../../shared/session/state.ts";
import { Bench } from "../bench/Bench.tsx";
import { useLink } from "../link/context.tsx";
import type { LinkValue, Word } from "../link/link.ts";
import { Actions } from "./Actions.tsx";
import { Amount, Wait } from "./Amount.tsx";
import { AmountPanel } from "./AmountPanel.tsx";
import type { Awake } from "./awake.ts";
import { CautionNotes, CautionStrip } from "./CautionStrip.tsx";
import { isOurs, type Press, wishOf } from "./keys.ts";
import { Panel } from "./Panel.tsx";
import { PanInHand } from "./PanInHand.tsx";
import { PourSheet } from "./PourSheet.tsx";
import { StepHead, stepWords } from "./StepHead.tsx";
import { TimerPanel } from "./TimerPanel.tsx";
import { runningTimers, Topline, useTitle } from "./Topline.tsx";
import { Unplanned } from "./Unplanned.tsx";

type Open =
  | { panel: "unplanned" | "cautions" | "amount" }
  | { panel: "timer"; timer: Id | "all" }
  | null;

/** What a {@link Live} is told. */
export interface LiveProps {
  state: State;
  awake: Awake;
  /** Leads to the sessions, before and after a stream. */
  onSessions: () => void;
}

/** The screen at arm's length: the sheet, the step in hand, and one action. */
export function Live({ state, awake, onSessions }: LiveProps) {
  const link = useLink();
  const [open, setOpen] = useState<Open>(null);
  const [bench, setBench] = useState(false);
  const closedAt = useRef(Number.NEGATIVE_INFINITY);
  useTitle(`${state.setup.name} on the bench`);
  const step = state.phase === "closed" ? null : currentStep(state);
  const hazards = liveHazards(state, step);

  const close = () => {
    closedAt.current = performance.now();
    setOpen(null);
  };
  const show = (next: NonNullable<Open>) => {
    link.hush();
    setOpen(next);
  };

  // Another step in hand, by a pedal or from another tablet, is no longer the one typed for.
  const stepId = step?.id;
  useEffect(() => {
    setOpen((was) => (was?.panel === "amount" ? null : was));
  }, [stepId]);
  const deaf = open !== null || bench;
  useKeys(link, deaf);

  const onAmount = (amount: StepAmount) => {
    if (step) void link.send({ type: "adjust", expect: step.id, amount });
  };

  return (
    <div
      class="live"
      onClickCapture={(event) => {
        if (event.detail === 0 || bench) return;
        // A second tap of two meant for a panel that closed under the finger is for nothing else.
        if (performance.now() - closedAt.current < bounceMs) {
          event.stopPropagation();
          event.preventDefault();
          return;
        }
        // A touched button must not keep the focus, or a pedal's space would press it again.
        const { activeElement } = document;
        if (activeElement instanceof HTMLElement) activeElement.blur();
      }}
    >
      <Topline
        state={state}
        awake={awake}
        onTimer={(timer) => show({ panel: "timer", timer })}
        onBench={() => setBench(true)}
        onSessions={onSessions}
      />
      <aside class="live-side">
        <PourSheet state={state} onChoose={(id) => void link.send({ type: "choose", step: id })} />
        <CautionStrip
          hazards={hazards}
          onOpen={() => (open?.panel === "cautions" ? close() : show({ panel: "cautions" }))}
        />
      </aside>
      <main class="live-main">
        {open?.panel === "unplanned" ? (
          <Unplanned state={state} stepPan={step ? panOf(step) : null} onClose={close} />
        ) : open?.panel === "cautions" && hazards.length > 0 ? (
          <Panel title="Take care" close="Back to the pour" onClose={close}>
            <CautionNotes hazards={hazards} />
          </Panel>
        ) : open?.panel === "timer" ? (
          <TimerPanel state={state} timers={timersOf(state, open.timer)} onClose={close} />
        ) : open?.panel === "amount" && step && step.kind !== "heat" ? (
          <AmountPanel state={state} step={step} onAmount={onAmount} onClose={close} />
        ) : (
          <InHand
            state={state}
            step={step}
            link={link}
            onAmount={onAmount}
            onType={() => show({ panel: "amount" })}
          />
        )}
        <Said word={link.word} />
        {open === null && (
          <Actions
            state={state}
            step={step}
            running={step !== null && timerOf(state, step) !== null}
            onGo={() => go(link, state, step)}
            onUnplanned={() => show({ panel: "unplanned" })}
            onSkip={() =>
              void link.send(step ? { type: "skip", expect: step.id } : { type: "close" })
            }
            onUndo={() => undo(link)}
          />
        )}
      </main>
      <Bench open={bench ? "jug" : null} onClose={() => setBench(false)} />
    </div>
  );
}

/** The middle of the screen: what is in hand, or what is the case when nothing is. */
function InHand(props: {
  state: State;
  step: Step | null;
  link: LinkValue;
  onAmount: (amount: StepAmount) => void;
  onType: () => void;
}) {
  const { state, step, link, onAmount, onType } = props;
  if (step === null) {
    return (
      <div class="live-rest">
        {state.phase === "closed" ? (
          <>
            <h2>The session is closed</h2>
            <p>Its record is complete. Reopened, it goes on where it stopped.</p>
          </>
        ) : (
          <>
            <h2>All that was planned is done</h2>
            <p>
              {state.setup.steps.length === 0
                ? "The sheet has no steps. Everything goes in as an unplanned pour."
                : "Pour more as an unplanned pour, or show the viewers the recap card."}
            </p>
          </>
        )}
        <ul class="live-pans">
          {Object.keys(state.bench.pans).map((pan) => (
            <li key={pan}>
              <PanInHand state={state} pan={pan} ringed={none} />
            </li>
          ))}
        </ul>
      </div>
    );
  }
  const planned = state.setup.steps.find((step) => isOpen(state, step.id));
  const back =
    planned && planned.id !== step.id
      ? {
          say: <bdi>{stepWords(state, planned)}</bdi>,
          onBack: () => void link.send({ type: "choose", step: planned.id }),
        }
      : null;
  const ringed =
    step.kind === "pour" ? new Set(pourNow(state, step).shares.map((share) => share.skein)) : none;
  return (
    <div class="live-hand">
      <StepHead state={state} step={step} back={back} />
      <div class="live-middle">
        {step.kind === "heat" ? (
          <Wait
            step={step}
            timer={timerOf(state, step)}
            onExtend={(timer, seconds) =>
              void link.send({ type: "timerExtend", timer: timer.id, seconds })
            }
          />
        ) : (
          <Amount state={state} step={step} onAmount={onAmount} onType={onType} />
        )}
        <PanInHand state={state} pan={panOf(step)} ringed={ringed} />
      </div>
    </div>
  );
}

const none: ReadonlySet<Id> = new Set();

/** The last thing worth saying; the next tap takes it away. */
function Said({ word }: { word: Word | null }) {
  return (
    <div class="live-said" role="status" data-empty={word === null} data-tone={word?.tone}>
      {word && (
        <p key={word.at}>
          <bdi>{word.say}</bdi>
        </p>
      )}
    </div>
  );
}

function panOf(step: Step): Id {
  return step.kind === "pour" ? step.pour.pan : step.pan;
}

function timerOf(state: State, step: Step) {
  return runningTimers(state).find((timer) => timer.step === step.id) ?? null;
}

function timersOf(state: State, id: Id | "all") {
  const timers = runningTimers(state);
  return id === "all" ? timers : timers.filter((timer) => timer.id === id);
}

function go(link: LinkValue, state: State, step: Step | null): void {
  if (state.phase === "ready") void link.send({ type: "goLive" });
  else if (state.phase === "closed") void link.send({ type: "reopen" });
  else if (step) void link.send({ type: "advance", expect: step.id });
  else {
    const view = state.overlay.view === "recap" ? "auto" : "recap";
    void link.send({ type: "show", view, parts: state.overlay.parts });
  }
}

function undo(link: LinkValue): void {
  const last = link.state?.acts.at(-1);
  if (last) void link.send({ type: "undo", expect: last.seq });
}

/** Pedals, clickers and macro pads speak through keys. */
function useKeys(link: LinkValue, deaf: boolean): void {
  const latest = useRef({ link, deaf });
  latest.current = { link, deaf };
  useEffect(() => {
    const onKey = (event: KeyboardEvent) => {
      if (event.defaultPrevented || document.querySelector("dialog[open]")) return;
      const press = pressOf(event);
      if (!isOurs(press) || latest.current.deaf) return;
      event.preventDefault();
      const wish = wishOf(press);
      const { link } = latest.current;
      if (wish === "undo") undo(link);
      else if (wish === "advance" && link.state) {
        const step = currentStep(link.state);
        if (step) void link.send({ type: "advance", expect: step.id });
      }
    };
    document.addEventListener("keydown", onKey);
    return () => document.removeEventListener("keydown", onKey);
  }, []);
}

function pressOf(event: KeyboardEvent): Press {
  const { key, repeat, target } = event;
  const altered = event.ctrlKey || event.metaKey || event.altKey;
  const element = target instanceof Element ? target : null;
  const focus = element?.closest("input, textarea, select, [contenteditable]")
    ? "field"
    : element?.closest("button, a, summary")
      ? "button"
      : "none";
  return { key, repeat, altered, focus };
}
