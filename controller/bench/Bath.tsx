import { useState } from "preact/hooks";
import { showCelsius, showVolume } from "../../shared/dye/display.ts";
import { sayAddition, sayPan } from "../../shared/session/say.ts";
import type { Id } from "../../shared/session/setup.ts";
import type { State } from "../../shared/session/state.ts";
import { useLink } from "../link/context.tsx";
import { Addition } from "./Addition.tsx";
import { BathEnd } from "./BathEnd.tsx";
import { Choice } from "./Choice.tsx";
import { skeinsIn } from "./hank.ts";
import { LookAt } from "./LookAt.tsx";
import { sayRatio } from "./sayRatio.ts";
import { sentence } from "./sentence.ts";
import { Temperature } from "./Temperature.tsx";
import { Timer } from "./Timer.tsx";

type Work = "acid" | "water" | "salt" | "temperature" | "look" | "end" | "timer";

const works: readonly { value: Work; label: string }[] = [
  { value: "acid", label: "Acid in" },
  { value: "water", label: "Water in" },
  { value: "salt", label: "Salt in" },
  { value: "temperature", label: "How hot" },
  { value: "look", label: "Exhaustion" },
  { value: "timer", label: "Timer" },
  { value: "end", label: "Keep or tip" },
];

/** The bath of one pan: what goes in, how it stands, and its timers. */
export function Bath() {
  const { state } = useLink();
  const [chosen, setChosen] = useState<Id | null>(null);
  const [work, setWork] = useState<Work>("acid");
  if (state === null) return null;
  const pans = Object.keys(state.bench.pans);
  const pan = chosen !== null && state.bench.pans[chosen] ? chosen : pans[0];
  if (pan === undefined) {
    return (
      <section class="form">
        <header class="form-head">
          <h2>Bath</h2>
        </header>
        <p class="lead">No pan is on the bench yet. Put one on under "Skeins and pans".</p>
      </section>
    );
  }
  const head = (
    <>
      <Choice
        label="Pan"
        options={pans.map((id) => ({ value: id, label: sentence(sayPan(state, id)) }))}
        chosen={pan}
        onChoose={setChosen}
      />
      <p class="bath-facts figures">{factsOf(state, pan)}</p>
      <Choice label="What" columns={4} options={works} chosen={work} onChoose={setWork} />
    </>
  );
  const form = { state, pan, head };
  switch (work) {
    case "acid":
    case "water":
    case "salt":
      return <Addition key={work} what={work} {...form} />;
    case "temperature":
      return <Temperature {...form} />;
    case "look":
      return <LookAt {...form} />;
    case "end":
      return <BathEnd {...form} />;
    case "timer":
      return <Timer {...form} />;
  }
}

/** How a bath stands, in words. */
function factsOf(state: State, id: Id): string {
  const there = state.bench.pans[id];
  if (!there) return "";
  const { bathUl, celsius, look, fate, additions } = there;
  const fibreUg = skeinsIn(state, id).reduce(
    (sum, own) => sum + (state.bench.skeins[own]?.skein.massUg ?? 0),
    0,
  );
  const facts = [`${showVolume(bathUl)} of bath`];
  if (fibreUg > 0) facts.push(sayRatio(bathUl, fibreUg));
  for (const { amount, label } of additions) facts.push(`${sayAddition(amount)} ${label}`);
  if (celsius !== null) facts.push(showCelsius(celsius));
  if (look !== null) facts.push(look);
  if (fate !== null) facts.push(fate);
  return `${facts.join(", ")}.`;
}
