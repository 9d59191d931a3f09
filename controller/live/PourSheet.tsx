import "./pourSheet.css";
import { useLayoutEffect, useRef } from "preact/hooks";
import { AdditionMark } from "../../shared/draw/AdditionMark.tsx";
import { CautionMark } from "../../shared/draw/CautionMark.tsx";
import { Pan } from "../../shared/draw/Pan.tsx";
import type { PowderAmount } from "../../shared/dye/amount.ts";
import { showAmount, showPowder } from "../../shared/dye/display.ts";
import type { Replacement } from "../../shared/session/act.ts";
import { replacements } from "../../shared/session/bench.ts";
import { sayAddition, sayMinutes, saySkeins } from "../../shared/session/say.ts";
import type { Id, Pour, Step } from "../../shared/session/setup.ts";
import { currentStep, isOpen, type State, stepAmount } from "../../shared/session/state.ts";
import { sayStrength } from "./dose.ts";
import { SourceStrip } from "./SourceStrip.tsx";

/** What a {@link PourSheet} is told. */
export interface PourSheetProps {
  state: State;
  onChoose: (step: Id) => void;
}

/** The pour sheet: what was done, what is in hand, and what comes, which a tap brings forward. */
export function PourSheet({ state, onChoose }: PourSheetProps) {
  const current = state.phase === "closed" ? null : currentStep(state);
  const list = useRef<HTMLOListElement>(null);
  const hand = useRef<HTMLLIElement>(null);
  const key = current?.id ?? "";
  useLayoutEffect(() => {
    const box = list.current;
    if (!box) return;
    const row = hand.current;
    const place = () => {
      box.style.paddingBottom = "";
      const end = box.scrollHeight - box.clientHeight;
      // The step before stays in sight above the one in hand.
      const wanted = row ? topOf(row.previousElementSibling) : end;
      // A whole row stands at the top; at the end of the sheet, room below it makes that so.
      const tops = Array.from(box.children, topOf);
      const top = tops.find((each) => each >= Math.min(wanted, end)) ?? end;
      if (top > end) box.style.paddingBottom = `calc(var(--space-3) + ${top - end}px)`;
      box.scrollTop = top;
    };
    place();
    const observer = new ResizeObserver(place);
    observer.observe(box);
    return () => observer.disconnect();
  }, [key]);
  const planned = state.setup.steps.find((step) => isOpen(state, step.id));
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls has to be reachable by keyboard.
    <ol class="live-sheet" ref={list} aria-label="Pour sheet" tabIndex={0}>
      {state.setup.steps.map((step) => {
        const status = state.bench.steps[step.id]?.status;
        const inHand = step.id === current?.id;
        const open = isOpen(state, step.id);
        return (
          <li
            key={step.id}
            data-kind={step.kind}
            ref={inHand ? hand : null}
            aria-current={inHand ? "step" : undefined}
            data-status={inHand ? "hand" : (status ?? "coming")}
          >
            {open && !inHand && state.phase !== "closed" ? (
              <button type="button" class="live-row" onClick={() => onChoose(step.id)}>
                <Row state={state} step={step} />
                {step.id === planned?.id && <span class="live-row-note">back to this</span>}
              </button>
            ) : (
              <div class="live-row">
                <Row state={state} step={step} />
              </div>
            )}
          </li>
        );
      })}
    </ol>
  );
}

/** Where a row begins, px below the top of the list. */
function topOf(row: Element | null): number {
  return row instanceof HTMLElement ? row.offsetTop : 0;
}

function Row({ state, step }: { state: State; step: Step }) {
  const progress = state.bench.steps[step.id];
  const was = progress?.status === "done" ? really(state, progress.act) : undefined;
  const pour = was?.kind === "pour" ? was.pour : step.kind === "pour" ? step.pour : null;
  const struck = progress?.status === "done" || progress?.status === "skipped";
  const amount = plannedText(state, step, struck);
  const truth = was === null ? "taken out" : was ? trueText(was) : null;
  return (
    <>
      <span class="live-row-mark" aria-hidden="true">
        <Mark state={state} step={step} pour={pour} />
      </span>
      <span class="live-row-name">
        {struck ? (
          <del>
            <Name state={state} step={step} pour={pour} />
          </del>
        ) : (
          <Name state={state} step={step} pour={pour} />
        )}
        <small>
          <bdi>{where(state, step, pour)}</bdi>
        </small>
      </span>
      <span class="live-row-amount figures">
        {progress?.status === "skipped" ? (
          <>
            <del>{amount}</del>
            <span>skipped</span>
          </>
        ) : truth !== null && truth !== amount ? (
          <>
            <del>{amount}</del>
            <b>{truth}</b>
          </>
        ) : (
          <span>{amount}</span>
        )}
      </span>
    </>
  );
}

/** What the act of a step really was: as corrected since, `null` when it never happened. */
function really(state: State, seq: number): Replacement | undefined {
  const known = replacements(state.acts).get(seq);
  if (known) return known.to;
  const act = state.acts.find((entry) => entry.seq === seq)?.act;
  return act?.kind === "pour" || act?.kind === "add" ? act : undefined;
}

function trueText(act: NonNullable<Replacement>): string {
  return act.kind === "pour" ? amountText(act.pour.source) : sayAddition(act.amount);
}

function amountText(source: Pour["source"]): string {
  return source.from === "vessel" ? showAmount(source.amount) : powderText(source.amount);
}

/** How far off it may be is told where it is in hand; the sheet has no room for it. */
function powderText(amount: PowderAmount): string {
  return showPowder({ ...amount, plusMinusUg: 0 });
}

function plannedText(state: State, step: Step, struck: boolean): string {
  if (step.kind === "heat") return sayMinutes(step.seconds);
  if (struck) return step.kind === "add" ? sayAddition(step.amount) : amountText(step.pour.source);
  const amount = stepAmount(state, step);
  switch (amount?.of) {
    case "volume":
      return showAmount(amount.amount);
    case "powder":
      return powderText(amount.amount);
    case "addition":
      return sayAddition(amount.amount);
    default:
      return "";
  }
}

function Name({ state, step, pour }: { state: State; step: Step; pour: Pour | null }) {
  if (pour) {
    const { source } = pour;
    if (source.from === "powder") {
      return (
        <>
          <bdi>{state.setup.dyes[source.dye]?.name ?? source.dye}</bdi> <i>powder</i>
        </>
      );
    }
    return (
      <>
        <bdi>{state.bench.vessels[source.vessel]?.name ?? source.vessel}</bdi>{" "}
        <i class="figures">{sayStrength(state, source.vessel)}</i>
      </>
    );
  }
  if (step.kind === "add") return <bdi>{step.label.replace(/ %/g, "\u202f%")}</bdi>;
  return <>{step.kind === "heat" ? heatNames[step.how] : ""}</>;
}

const heatNames = { stove: "Heat", oven: "Oven", steam: "Steam", rest: "Rest" } as const;

function where(state: State, step: Step, pour: Pour | null): string {
  const pan = pour?.pan ?? (step.kind === "pour" ? step.pour.pan : step.pan);
  const name = `pan ${state.bench.pans[pan]?.pan.name ?? pan}`;
  if (!pour) return name;
  const inPan = Object.values(state.bench.skeins).filter((skein) => skein.pan === pour.pan).length;
  if (pour.shares.length === 0 || pour.shares.length === inPan) return name;
  const ids = pour.shares.map((share) => share.skein);
  return `${name}, ${saySkeins(state, ids)}`;
}

function Mark({ state, step, pour }: { state: State; step: Step; pour: Pour | null }) {
  if (pour) {
    const { source } = pour;
    const of = source.from === "vessel" ? { vessel: source.vessel } : { powder: source.dye };
    return <SourceStrip state={state} of={of} width={22} height={46} />;
  }
  if (step.kind === "heat") {
    if (step.how !== "rest") {
      return <CautionMark hazard={step.how === "steam" ? "steam" : "hotBath"} size={30} />;
    }
    return <Pan name="" hanks={[]} bath={0.6} width={34} height={34} tone="wool" labelSize={0} />;
  }
  return step.kind === "add" ? <AdditionMark what={step.what} size={30} /> : null;
}
