import { Component } from "preact";
import { useLayoutEffect, useRef, useState } from "preact/hooks";
import { DippedStrip } from "../../shared/draw/DippedStrip.tsx";
import { depthPct } from "../../shared/dye/depth.ts";
import { showDepth, showVolume } from "../../shared/dye/display.ts";
import { totalUg } from "../../shared/dye/vessel.ts";
import type { PlanStep } from "../../shared/plan/plan.ts";
import { panOfStep } from "../../shared/plan/plan.ts";
import type { Walked } from "../../shared/plan/walk.ts";
import type { Id, Pour } from "../../shared/session/setup.ts";
import { newId } from "../link/id.ts";
import { minutesText } from "../prepare/minutes.ts";
import { showAmountOf } from "./amount.ts";
import { sayStepOf } from "./say.ts";
import { standingsOf } from "./stove.ts";
import type { Table } from "./table.ts";

/** The pour sheet in order. Rows are dragged by their number, or moved with Alt and the arrows. */
export function StepList({ table }: { table: Table }) {
  const { plan, shelf, prospect, place, look, edit } = table;
  const list = useRef<HTMLOListElement>(null);
  const [drag, setDrag] = useState<{ id: Id; to: number } | null>(null);
  const focus = useRef<Id | null>(null);
  useLayoutEffect(() => {
    if (focus.current === null) return;
    list.current?.querySelector<HTMLElement>(`[data-step="${focus.current}"] .step-what`)?.focus();
    focus.current = null;
  });
  if (plan.steps.length === 0) {
    return (
      <p class="plan-lead plan-empty">
        Nothing is poured yet. Type a pour below: what, how much, and Enter. It falls into its pan
        in the picture, and the bottle that runs short says so at once.
      </p>
    );
  }
  const hexOf = new Map(
    standingsOf(plan, shelf, prospect.walked, null).flatMap(({ pours }) =>
      pours.map(({ step, hex, seed }) => [step, { hex, seed }] as const),
    ),
  );
  const walked = new Map(prospect.walked.steps.map((one) => [one.step.id, one]));
  const said = new Map<Id, string>();
  for (const { place: at, say } of [...prospect.warnings, ...prospect.walked.problems]) {
    if (at.part === "steps" && at.id !== null && !said.has(at.id)) said.set(at.id, say);
  }
  const short = new Map(
    prospect.foresight.shortages.map((one) => [
      one.step,
      `${showVolume(one.shortAtPourUl)} short here`,
    ]),
  );
  const moved = (id: Id, to: number) => {
    focus.current = id;
    edit({ edit: "move", part: "steps", id, to });
  };
  const rowAt = (y: number): number => {
    const rows = list.current?.children ?? [];
    let to = 0;
    for (const row of rows) {
      const box = row.getBoundingClientRect();
      if (y > box.top + box.height / 2) to += 1;
    }
    return to;
  };
  let n = 0;
  return (
    <ol class="steps" ref={list} aria-label="Pour sheet">
      {plan.steps.map((step, at) => {
        if (step.kind === "pour") n += 1;
        const pan = panOfStep(step);
        const strip = hexOf.get(step.id);
        const from = drag === null ? -1 : plan.steps.findIndex(({ id }) => id === drag.id);
        return (
          <Row
            key={step.id}
            step={step}
            number={step.kind === "pour" ? n : null}
            pan={plan.pans.find(({ id }) => id === pan)?.name ?? ""}
            words={sayStepOf(step, plan, shelf)}
            amount={amountOf(step, walked.get(step.id), table)}
            hex={strip?.hex ?? ""}
            seed={strip?.seed ?? ""}
            wrong={short.get(step.id) ?? said.get(step.id) ?? ""}
            chosen={place?.part === "steps" && place.id === step.id}
            mark={
              drag === null || from < 0
                ? ""
                : drag.id === step.id
                  ? "moving"
                  : drag.to === at && drag.to !== from && drag.to !== from + 1
                    ? "before"
                    : ""
            }
            onLook={() =>
              look(
                place?.part === "steps" && place.id === step.id
                  ? null
                  : { part: "steps", id: step.id },
              )
            }
            onKey={(event) => {
              if (event.altKey && event.key === "ArrowUp" && at > 0) moved(step.id, at - 1);
              else if (event.altKey && event.key === "ArrowDown") moved(step.id, at + 1);
              else if (event.key === "Delete") {
                focus.current = plan.steps[at + 1]?.id ?? plan.steps[at - 1]?.id ?? null;
                edit({ edit: "remove", part: "steps", id: step.id });
              } else if (event.key === "ArrowUp" && !event.altKey) {
                focus.current = plan.steps[at - 1]?.id ?? null;
                look({ part: "steps", id: plan.steps[at - 1]?.id ?? step.id });
              } else if (event.key === "ArrowDown" && !event.altKey) {
                focus.current = plan.steps[at + 1]?.id ?? null;
                look({ part: "steps", id: plan.steps[at + 1]?.id ?? step.id });
              } else return;
              event.preventDefault();
            }}
            onUp={() => moved(step.id, Math.max(0, at - 1))}
            onDown={() => moved(step.id, at + 1)}
            onTwice={() => edit({ edit: "duplicate", part: "steps", id: step.id, as: newId() })}
            onDragTo={(y) => setDrag({ id: step.id, to: rowAt(y) })}
            onDrop={(y) => {
              const to = rowAt(y);
              setDrag(null);
              if (to !== at && to !== at + 1) moved(step.id, to > at ? to - 1 : to);
            }}
          />
        );
      })}
    </ol>
  );
}

/** What a step comes to in figures. */
function amountOf(step: PlanStep, walked: Walked | undefined, table: Table): string {
  if (step.kind === "pour") {
    const planned = showAmountOf(step.pour.amount);
    const entering = walked?.entering;
    if (step.pour.amount.by === "depth" && entering?.kind === "pour") {
      const { source } = entering.pour;
      if (source.from === "vessel") return `${showVolume(source.amount.volumeUl)} for ${planned}`;
    }
    const pct = entering?.kind === "pour" ? depthOf(entering.pour, table) : null;
    return pct === null ? planned : `${planned}, ${showDepth(pct)}`;
  }
  return walked ? minutesText(walked.seconds) : "";
}

/** The depth that a pour adds to the fibre it goes over, % owf; null where there is none. */
function depthOf({ source, shares }: Pour, { plan, shelf }: Table): number | null {
  const over = new Set(shares.map(({ skein }) => skein));
  const fibreUg = plan.skeins.reduce((sum, { id, massUg }) => sum + (over.has(id) ? massUg : 0), 0);
  if (fibreUg === 0) return null;
  if (source.from === "powder") return depthPct(source.amount.massUg, fibreUg);
  const stock = shelf.stocks.find(({ id }) => id === source.vessel);
  if (!stock || stock.volumeUl === 0) return null;
  return depthPct((totalUg(stock.dyes) * source.amount.volumeUl) / stock.volumeUl, fibreUg);
}

type RowProps = {
  step: PlanStep;
  number: number | null;
  pan: string;
  words: string;
  amount: string;
  hex: string;
  seed: string;
  wrong: string;
  chosen: boolean;
  mark: "" | "moving" | "before";
  onLook: () => void;
  onKey: (event: KeyboardEvent) => void;
  onUp: () => void;
  onDown: () => void;
  onTwice: () => void;
  onDragTo: (y: number) => void;
  onDrop: (y: number) => void;
};

const drawn = ["number", "pan", "words", "amount", "hex", "wrong", "chosen", "mark"] as const;

/** One row. It is drawn anew only when something in it changed: a plan may have hundreds. */
class Row extends Component<RowProps> {
  private dragging = false;

  override shouldComponentUpdate(next: RowProps): boolean {
    const now = this.props;
    const same = next.step === now.step && drawn.every((key) => next[key] === now[key]);
    // Handlers speak of the row's place, which the latest props know.
    if (same) this.latest = next;
    return !same;
  }

  private latest: RowProps = this.props;

  override render() {
    this.latest = this.props;
    const { step, number, pan, words, amount, hex, seed, wrong, chosen, mark } = this.props;
    return (
      <li class="step" data-step={step.id} data-chosen={chosen} data-mark={mark}>
        <span
          class="step-grip figures"
          title="Drag to another place"
          onPointerDown={(event) => {
            this.dragging = true;
            event.currentTarget.setPointerCapture(event.pointerId);
            event.preventDefault();
          }}
          onPointerMove={(event) => {
            if (this.dragging) this.latest.onDragTo(event.clientY);
          }}
          onPointerUp={(event) => {
            if (this.dragging) this.latest.onDrop(event.clientY);
            this.dragging = false;
          }}
          onPointerCancel={() => {
            this.dragging = false;
          }}
        >
          {number ?? "\u00b7"}
        </span>
        {hex === "" ? (
          <span class="step-strip" />
        ) : (
          <DippedStrip dyedHex={hex} undyedHex="#f3ecdf" width={20} height={38} seed={seed} />
        )}
        <button
          type="button"
          class="step-what"
          aria-pressed={chosen}
          onClick={() => this.latest.onLook()}
          onKeyDown={(event) => this.latest.onKey(event)}
        >
          <bdi>{words}</bdi>
          {wrong !== "" && <span class="step-wrong">{wrong}</span>}
        </button>
        <span class="step-amount figures">{amount}</span>
        <bdi class="step-pan">{pan}</bdi>
        <span class="step-ways">
          <button
            type="button"
            class="step-way"
            aria-label={`Move up: ${words}`}
            onClick={() => this.latest.onUp()}
          >
            <Pointer up />
          </button>
          <button
            type="button"
            class="step-way"
            aria-label={`Move down: ${words}`}
            onClick={() => this.latest.onDown()}
          >
            <Pointer up={false} />
          </button>
          <button type="button" class="step-way" onClick={() => this.latest.onTwice()}>
            <span>
              Twice<span class="unseen">{`: ${words}`}</span>
            </span>
          </button>
        </span>
      </li>
    );
  }
}

function Pointer({ up }: { up: boolean }) {
  return (
    <svg width="16" height="16" viewBox="0 0 16 16" aria-hidden="true">
      <path
        d={up ? "M3 10 8 5l5 5" : "M3 6l5 5 5-5"}
        fill="none"
        stroke="currentColor"
        stroke-width="2.5"
      />
    </svg>
  );
}
