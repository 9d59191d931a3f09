import type { ComponentChildren } from "preact";
import { AdditionMark } from "../../shared/draw/AdditionMark.tsx";
import { Arrow } from "../../shared/draw/Arrow.tsx";
import { showCelsius, showDepth, showVolume } from "../../shared/dye/display.ts";
import { pourNow } from "../../shared/session/pourNow.ts";
import { sayLeft, sayPan, saySkeins } from "../../shared/session/say.ts";
import type { Id, Pour, Step } from "../../shared/session/setup.ts";
import type { State } from "../../shared/session/state.ts";
import { demandOn } from "../bench/planned.ts";
import { changesOf, sayPlacing, sayStrength, toldTogether } from "./dose.ts";
import { SourceStrip } from "./SourceStrip.tsx";

/** What a {@link StepHead} is told. */
export interface StepHeadProps {
  state: State;
  step: Step;
  /** Leads back to the sheet's own order; given when another step was chosen. */
  back: { say: ComponentChildren; onBack: () => void } | null;
}

/** What is in hand: what goes in, where, how deep it gets and whether there is enough. */
export function StepHead({ state, step, back }: StepHeadProps) {
  return (
    <div class="live-head">
      {step.kind === "pour" ? (
        <PourHead state={state} pour={pourNow(state, step)} />
      ) : step.kind === "add" ? (
        <div class="live-title">
          <AdditionMark what={step.what} size={52} />
          <div>
            <h2 class="live-added">
              <bdi>{step.label.replace(/ %/g, "\u202f%")}</bdi>
            </h2>
            <p>
              into <bdi>{sayPan(state, step.pan)}</bdi>
              {skeinsIn(state, step.pan)}
            </p>
          </div>
        </div>
      ) : (
        <HeatHead state={state} step={step} />
      )}
      {back && (
        <button type="button" class="live-quiet live-back" onClick={back.onBack}>
          <small>Back to</small>
          <span>{back.say}</span>
        </button>
      )}
    </div>
  );
}

function PourHead({ state, pour }: { state: State; pour: Pour }) {
  const { source } = pour;
  const name =
    source.from === "vessel"
      ? (state.bench.vessels[source.vessel]?.name ?? source.vessel)
      : (state.setup.dyes[source.dye]?.name ?? source.dye);
  const of = source.from === "vessel" ? { vessel: source.vessel } : { powder: source.dye };
  const placing = sayPlacing(pour);
  const ids = pour.shares.map((share) => share.skein);
  return (
    <>
      <div class="live-title">
        <SourceStrip state={state} of={of} width={40} height={76} />
        <div>
          <h2 data-long={name.length > 18}>
            <bdi>{name}</bdi>{" "}
            <span class="figures">
              {source.from === "vessel" ? sayStrength(state, source.vessel) : "dry powder"}
            </span>
          </h2>
          <p>
            <bdi>{sayPan(state, pour.pan)}</bdi>
            {ids.length > 0 && (
              <>
                , <bdi>{saySkeins(state, ids)}</bdi>
              </>
            )}
            {placing !== "" && (
              <>
                , <bdi>{placing}</bdi>
              </>
            )}
          </p>
        </div>
      </div>
      <Depths state={state} pour={pour} />
      {source.from === "vessel" && (
        <Bottle state={state} vessel={source.vessel} volumeUl={source.amount.volumeUl} />
      )}
    </>
  );
}

const mostTold = 3;

function Depths({ state, pour }: { state: State; pour: Pour }) {
  const changes = changesOf(state, pour);
  if (changes.length === 0) return <p>into the bath, for the skein that comes next</p>;
  const told = toldTogether(changes);
  const local = changes[0]?.localPct ?? 0;
  return (
    <p class="live-depths figures">
      depth{" "}
      {told.slice(0, mostTold).map(({ skeins, before, after }, index) => (
        <span key={after}>
          {index > 0 && "; "}
          {told.length > 1 && (
            <>
              <bdi>{saySkeins(state, skeins)}</bdi>:{" "}
            </>
          )}
          {before} <Arrow size={20} /> <b>{after}</b>
        </span>
      ))}
      {told.length > mostTold && " and others"}
      {pour.coverage < 1 && <> on average; where it touches, this pour is {showDepth(local)}</>}
    </p>
  );
}

function Bottle(props: { state: State; vessel: Id; volumeUl: number }) {
  const { state, vessel, volumeUl } = props;
  const { leftUl, pours, shortUl } = demandOn(state, vessel);
  const what = state.bench.vessels[vessel]?.as === "jug" ? "Jug" : "Bottle";
  const holds = `${what} holds ${sayLeft(state, vessel)}`;
  if (volumeUl > leftUl) {
    return (
      <p class="figures">
        <mark>
          {holds}, not {showVolume(volumeUl)}: pour less, or make up more first.
        </mark>
      </p>
    );
  }
  if (shortUl > 0) {
    return (
      <p class="figures">
        <mark>
          {holds}: {showVolume(shortUl)} too little for all that is planned.
        </mark>
      </p>
    );
  }
  return (
    <p class="figures">
      {holds}, enough for {pours > 1 ? "all that is planned" : "this"}.
    </p>
  );
}

const heatTitles = { stove: "Heat", oven: "Into the oven", steam: "Steam", rest: "Rest" } as const;

function HeatHead({ state, step }: { state: State; step: Extract<Step, { kind: "heat" }> }) {
  const pan = sayPan(state, step.pan);
  return (
    <>
      <h2>
        {heatTitles[step.how]}
        {step.how === "oven" ? ", " : " "}
        <bdi>{pan}</bdi>
      </h2>
      <p class="figures">
        {step.celsius !== undefined && `${showCelsius(step.celsius)}, `}
        {step.waitingFor === "" ? "for the time" : `waiting for ${step.waitingFor}`}
        {skeinsIn(state, step.pan)}
      </p>
      <p>
        {step.wait
          ? "The sheet waits for it."
          : "The sheet goes on meanwhile; its timer runs at the top."}
      </p>
    </>
  );
}

function skeinsIn(state: State, pan: Id) {
  const ids = Object.values(state.bench.skeins)
    .filter((skein) => skein.pan === pan)
    .map((skein) => skein.skein.id);
  if (ids.length === 0) return ", no skein in it";
  return (
    <>
      , <bdi>{saySkeins(state, ids)}</bdi>
    </>
  );
}

/** "Tidewrack 1 %" or "Heat pan B": a step in a few words. */
export function stepWords(state: State, step: Step): string {
  if (step.kind === "heat") return `${heatTitles[step.how]} ${sayPan(state, step.pan)}`;
  if (step.kind === "add") return step.label.replace(/ %/g, "\u202f%");
  const { source } = step.pour;
  if (source.from === "powder") return `${state.setup.dyes[source.dye]?.name ?? ""} powder`;
  const name = state.bench.vessels[source.vessel]?.name ?? source.vessel;
  return `${name} ${sayStrength(state, source.vessel)}`;
}
