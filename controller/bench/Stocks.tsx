import { useState } from "preact/hooks";
import { GraduatedRule } from "../../shared/draw/GraduatedRule.tsx";
import { showCount, showStrength, showVolume, volumeParts } from "../../shared/dye/display.ts";
import { strengthPct } from "../../shared/dye/strength.ts";
import { left } from "../../shared/dye/vessel.ts";
import type { Id } from "../../shared/session/setup.ts";
import type { State } from "../../shared/session/state.ts";
import { liquorHex } from "../../shared/session/views/publicView.ts";
import { useLink } from "../link/context.tsx";
import { Dilute } from "./Dilute.tsx";
import { Discard } from "./Discard.tsx";
import { Liquid } from "./Liquid.tsx";
import { Powder } from "./Powder.tsx";
import { demandOn } from "./planned.ts";
import { Read } from "./Read.tsx";
import { sayDemand } from "./sayDemand.ts";
import { TopUp } from "./TopUp.tsx";
import { unsettled } from "./unsettled.ts";
import { VesselTitle } from "./VesselTitle.tsx";

type Work = "powder" | "dilute" | "topUp" | "tipped" | "spilled" | "level" | "weight";

const works: readonly { work: Work; name: string }[] = [
  { work: "level", name: "Read the level" },
  { work: "weight", name: "Weigh it" },
  { work: "topUp", name: "Top up" },
  { work: "dilute", name: "Dilute into a new bottle" },
  { work: "tipped", name: "Tip out" },
  { work: "spilled", name: "It was spilled" },
];

/** The bottles and jugs: what is in each, what is still asked of it, and all that is done to it. */
export function Stocks() {
  const { state } = useLink();
  const [chosen, setChosen] = useState<Id | null>(null);
  const [work, setWork] = useState<Work | null>(null);
  if (state === null) return null;
  const { vessels } = state.bench;
  const id = chosen !== null && vessels[chosen] ? chosen : Object.keys(vessels)[0];
  const back = () => setWork(null);

  if (work === "powder") return <Powder onBack={back} />;
  if (id !== undefined) {
    switch (work) {
      case "dilute":
        return <Dilute vessel={id} onBack={back} />;
      case "topUp":
        return <TopUp vessel={id} onBack={back} />;
      case "tipped":
      case "spilled":
        return <Discard vessel={id} how={work} onBack={back} />;
      case "level":
      case "weight":
        return <Read vessel={id} by={work} onBack={back} />;
    }
  }
  return (
    <section class="stocks">
      <header class="form-head">
        <h2>Stocks and jugs</h2>
      </header>
      <div class="stocks-list">
        <button type="button" class="quiet-button" onClick={() => setWork("powder")}>
          Make up from powder
        </button>
        {Object.values(vessels).map(({ id: own, vessel }) => (
          <button
            key={own}
            type="button"
            class="choice-option"
            aria-pressed={own === id}
            onClick={() => setChosen(own)}
          >
            <span class="choice-mark">
              <Liquid state={state} dyes={vessel.madeUg} width={24} height={52} seed={own} />
            </span>
            <span class="choice-words">
              <span class="choice-name">
                <VesselTitle state={state} id={own} />
              </span>
              <span class="choice-note figures">{showVolume(left(vessel).volumeUl)} left</span>
            </span>
            {demandOn(state, own).shortUl > 0 && <span class="flag">short</span>}
          </button>
        ))}
      </div>
      {id === undefined ? (
        <p class="stocks-one lead">
          No bottle is on the bench yet. Make one up from powder, or mix a jug.
        </p>
      ) : (
        <Bottle state={state} id={id} onWork={setWork} />
      )}
    </section>
  );
}

function Bottle({ state, id, onWork }: { state: State; id: Id; onWork: (work: Work) => void }) {
  const bottle = state.bench.vessels[id];
  if (!bottle) return null;
  const { vessel, as } = bottle;
  const demand = demandOn(state, id);
  const { figure, unit } = volumeParts(demand.leftUl);
  const waiting = unsettled(state, id);
  const dyes = Object.entries(vessel.madeUg);
  const madeOn = state.setup.stocks[id]?.madeOn;
  return (
    <article class="stocks-one" aria-labelledby="bottle-name">
      <h3 id="bottle-name">
        <VesselTitle state={state} id={id} />
      </h3>
      <p class="lead">
        {as === "jug" ? "Jug" : "Bottle"}
        {madeOn === undefined ? "" : `, made ${madeOn}`}
        {dyes.length > 1 &&
          `: ${dyes
            .map(
              ([dye, ug]) =>
                `${state.setup.dyes[dye]?.name ?? dye} ${showStrength(strengthPct(ug, vessel.madeUl))}`,
            )
            .join(", ")}`}
      </p>
      <p class="stocks-left">
        <span class="figures-first">{figure}</span> {unit} left
      </p>
      <GraduatedRule
        volumeUl={Math.max(vessel.madeUl, 1)}
        pouredUl={demand.leftUl}
        width={500}
        height={76}
        fillHex={liquorHex(state, vessel.madeUg)}
        tone="wool"
        labels
      />
      <p class="stocks-demand figures" data-short={demand.shortUl > 0}>
        {sayDemand(demand)}
      </p>
      <p class="lead">
        {waiting.length === 0
          ? "No pour from it waits for a reading."
          : `${showCount(waiting.length, "pour")} from it wait${waiting.length === 1 ? "s" : ""} for a reading: read the level or weigh it.`}
      </p>
      <div class="stocks-works">
        {works.map(({ work, name }) => (
          <button key={work} type="button" class="quiet-button" onClick={() => onWork(work)}>
            {name}
          </button>
        ))}
      </div>
    </article>
  );
}
