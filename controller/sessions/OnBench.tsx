import { useState } from "preact/hooks";
import { GraduatedRule } from "../../shared/draw/GraduatedRule.tsx";
import { showCount, showVolume } from "../../shared/dye/display.ts";
import type { Command } from "../../shared/session/command.ts";
import type { Id } from "../../shared/session/setup.ts";
import { isOpen, type Phase, type State } from "../../shared/session/state.ts";
import { liquorHex } from "../../shared/session/views/publicView.ts";
import { Liquid } from "../bench/Liquid.tsx";
import { demandOn } from "../bench/planned.ts";
import { sayDemand } from "../bench/sayDemand.ts";
import { VesselTitle } from "../bench/VesselTitle.tsx";
import { useLink } from "../link/context.tsx";
import { Twice } from "./Twice.tsx";

const phases: Readonly<Record<Phase, string>> = {
  ready: "ready to go live",
  live: "live",
  closed: "closed",
};

/** What {@link OnBench} is told. */
export interface OnBenchProps {
  onBenchChosen: () => void;
  /** The publishing kit of this session is wanted. */
  onPublish: (session: Id) => void;
  /** The way to what is written once a session has been closed. */
  onAfter: () => void;
}

/** The session on the bench: what there is, whether the bottles are enough, and going live. */
export function OnBench({ onBenchChosen, onPublish, onAfter }: OnBenchProps) {
  const { state, connection, send } = useLink();
  const [said, setSaid] = useState<string | null>(null);
  if (state === null) {
    return (
      <section class="on-bench">
        <h1>The bench</h1>
        <p class="sessions-lead">
          {connection === "off"
            ? "Pourside does not answer. See whether it still runs on its computer."
            : "Fetching what is on the bench …"}
        </p>
      </section>
    );
  }
  const ask = async (command: Command, then?: () => void) => {
    setSaid(null);
    const answer = await send(command);
    if (answer.ok) then?.();
    else setSaid(answer.say);
  };
  const { setup, bench, phase } = state;
  const openSteps = setup.steps.filter((step) => isOpen(state, step.id)).length;
  const vessels = Object.keys(bench.vessels);
  const short = vessels.filter((id) => demandOn(state, id).shortUl > 0);
  return (
    <section class="on-bench" aria-labelledby="on-bench-name">
      <p class="on-bench-phase" data-phase={phase}>
        On the bench, {phases[phase]}
      </p>
      <h1 id="on-bench-name">
        <bdi>{setup.name}</bdi>
      </h1>
      <dl class="on-bench-counts">
        <Count n={Object.keys(bench.skeins).length} what="skein" />
        <Count n={Object.keys(bench.pans).length} what="pan" />
        <Count n={setup.steps.length} what="step" note={`${openSteps} still to do`} />
        <Count n={vessels.length} what="bottle" />
      </dl>
      <div class="on-bench-act">
        {phase === "ready" && (
          <>
            <button
              type="button"
              class="sessions-green"
              onClick={() => ask({ type: "goLive" }, onBenchChosen)}
            >
              Go live
            </button>
            <button type="button" class="sessions-button" onClick={onBenchChosen}>
              Look at the pour sheet
            </button>
          </>
        )}
        {phase === "live" && (
          <>
            <button type="button" class="sessions-green" onClick={onBenchChosen}>
              To the pour
            </button>
            <Twice
              ask="Close the session"
              again="Tap again to close it"
              onDo={() => ask({ type: "close" })}
            />
          </>
        )}
        {phase === "closed" && (
          <>
            {state.liveAt !== null && (
              <button type="button" class="sessions-green" onClick={onAfter}>
                After the stream
              </button>
            )}
            <button
              type="button"
              class={state.liveAt === null ? "sessions-green" : "sessions-button"}
              onClick={() => ask({ type: "reopen" }, onBenchChosen)}
            >
              Reopen
            </button>
            <button type="button" class="sessions-button" onClick={onBenchChosen}>
              Look at it
            </button>
          </>
        )}
      </div>
      {phase !== "ready" && (
        <button type="button" class="sessions-button" onClick={() => onPublish(state.session)}>
          Publishing kit: card, recipe and texts
        </button>
      )}
      <p class="sessions-said" role="alert">
        {said}
      </p>
      <h2>Bottles</h2>
      <p class="on-bench-enough">
        {vessels.length === 0
          ? "No bottle is on the bench. Make one up under Bench, Stocks."
          : short.length === 0
            ? "Every bottle is enough for what is planned."
            : `${showCount(short.length, "bottle")} not enough for what is planned: make up more, or pour less.`}
      </p>
      <ul class="on-bench-bottles">
        {vessels.map((id) => (
          <Bottle key={id} state={state} id={id} />
        ))}
      </ul>
    </section>
  );
}

function Count({ n, what, note }: { n: number; what: string; note?: string }) {
  return (
    <div>
      <dt>
        {n === 1 ? what : `${what}s`}
        {note !== undefined && <small>{note}</small>}
      </dt>
      <dd class="figures">{n}</dd>
    </div>
  );
}

function Bottle({ state, id }: { state: State; id: Id }) {
  const made = state.bench.vessels[id]?.vessel;
  if (!made) return null;
  const demand = demandOn(state, id);
  return (
    <li class="on-bench-bottle" data-short={demand.shortUl > 0}>
      <Liquid state={state} dyes={made.madeUg} width={28} height={60} seed={id} />
      <div>
        <p class="on-bench-bottle-head">
          <span>
            <VesselTitle state={state} id={id} />
          </span>
          <strong class="figures">{showVolume(demand.leftUl)}</strong>
        </p>
        <GraduatedRule
          volumeUl={Math.max(1, made.madeUl)}
          pouredUl={demand.leftUl}
          width={260}
          height={26}
          fillHex={liquorHex(state, made.madeUg)}
          tone="wool"
        />
        <p class="on-bench-demand figures">{sayDemand(demand)}</p>
      </div>
    </li>
  );
}
