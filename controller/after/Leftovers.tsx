import { useState } from "preact/hooks";
import { hazardsOfAll } from "../../shared/cautions/hazards.ts";
import { DippedStrip } from "../../shared/draw/DippedStrip.tsx";
import { depthPct } from "../../shared/dye/depth.ts";
import { showDepth, showVolume } from "../../shared/dye/display.ts";
import { leftover } from "../../shared/dye/leftover.ts";
import { type Liquor, left, totalUg } from "../../shared/dye/vessel.ts";
import type { Command } from "../../shared/session/command.ts";
import { isHot } from "../../shared/session/liveHazards.ts";
import { predictedSkein } from "../../shared/session/predicted.ts";
import { sayPan, saySkeins } from "../../shared/session/say.ts";
import type { Id } from "../../shared/session/setup.ts";
import type { State } from "../../shared/session/state.ts";
import { Action } from "../bench/Action.tsx";
import { Caution } from "../bench/Caution.tsx";
import { Choice } from "../bench/Choice.tsx";
import { Form } from "../bench/Form.tsx";
import { countedName, freshId } from "../bench/fresh.ts";
import { skeinsIn } from "../bench/hank.ts";
import { Keypad } from "../bench/Keypad.tsx";
import { Liquid } from "../bench/Liquid.tsx";
import { sentence } from "../bench/sentence.ts";
import { useAct } from "../bench/useAct.ts";
import { sayStrength } from "../live/dose.ts";
import { OpenedSince } from "./OpenedSince.tsx";

/** All that is left in some bottles, on one last skein. */
export function Leftovers({ state, token }: { state: State; token: string }) {
  const { said, busy, act, refusalOf, clear } = useAct();
  const [out, setOut] = useState<ReadonlySet<Id>>(new Set());
  const [chosenBase, setBase] = useState<Id | null>(null);
  const [chosenPan, setPan] = useState<Id | null>(null);
  const [massUg, setMassUg] = useState<number | null>(null);
  const { vessels, pans, skeins } = state.bench;
  const full = Object.values(vessels).filter(({ vessel }) => left(vessel).volumeUl > 0);
  if (full.length === 0) {
    return (
      <section class="after-plain">
        <h2>Leftovers</h2>
        <SaidOrLead said={said?.say} />
      </section>
    );
  }
  const used = full.filter(({ id }) => !out.has(id));
  const base = chosenBase ?? Object.keys(state.setup.bases)[0] ?? null;
  // An empty pan first: nothing has to be taken out of it.
  const free = Object.keys(pans).find((id) => skeinsIn(state, id).length === 0);
  const pan = chosenPan ?? free ?? Object.keys(pans)[0] ?? null;
  const name = countedName(
    "Leftover",
    Object.values(skeins).map(({ skein }) => skein.name),
  );
  const liquor = leftover(used.map(({ vessel }) => vessel));
  const command: Command | null =
    massUg === null || base === null || pan === null || used.length === 0
      ? null
      : {
          type: "after",
          command: {
            type: "empty",
            vessels: used.map(({ id }) => id),
            skein: { id: freshId("leftover"), name, base, massUg, pan },
          },
        };
  const empty = async () => {
    if (command !== null && (await act(command, `All of it is on skein ${name}.`))) setMassUg(null);
  };
  const lying = pan === null ? [] : skeinsIn(state, pan);
  const bath = pan === null ? undefined : pans[pan];
  const afterUl = (bath?.bathUl ?? 0) + liquor.volumeUl;
  const dyeHazards = Object.keys(liquor.dyes).flatMap((id) => state.setup.dyes[id]?.hazards ?? []);
  return (
    <Form
      title="Leftovers"
      side={
        <>
          <Keypad
            label="Dry fibre of the last skein"
            unit="g"
            value={massUg}
            onChange={(next) => {
              clear();
              setMassUg(next);
            }}
          />
          <Action
            onDo={empty}
            missing={
              used.length === 0
                ? "Choose at least one bottle."
                : base === null
                  ? "This session has no yarn."
                  : pan === null
                    ? "No pan is on the bench. Put one on under Next day."
                    : massUg === null
                      ? "Type the grams of dry fibre."
                      : refusalOf(command)
            }
            busy={busy}
            said={said}
          >
            Empty them on one skein
          </Action>
        </>
      }
    >
      <Caution
        hazards={hazardsOfAll([
          { kind: "pour", powder: false, dyeHazards, hot: pan !== null && isHot(state, pan) },
          { kind: "tip" },
        ])}
      />
      <OpenedSince state={state} token={token} />
      <Choice
        label="Bottles and jugs to empty"
        columns={3}
        options={full.map(({ id, name: own, vessel }) => ({
          value: id,
          label: own,
          note: `${sayStrength(state, id)}, ${showVolume(left(vessel).volumeUl)}`,
          mark: <Liquid state={state} dyes={vessel.madeUg} width={24} height={52} seed={id} />,
        }))}
        chosen={used.map(({ id }) => id)}
        onChoose={(id) => {
          clear();
          const next = new Set(out);
          if (next.has(id)) next.delete(id);
          else next.add(id);
          setOut(next);
        }}
      />
      <Coming state={state} liquor={liquor} base={base} massUg={massUg} />
      <Choice
        label="Yarn"
        columns={2}
        options={Object.values(state.setup.bases).map(({ id, name: own }) => ({
          value: id,
          label: own,
        }))}
        chosen={base}
        onChoose={setBase}
      />
      <Choice
        label="Into"
        options={Object.keys(pans).map((id) => ({ value: id, label: sentence(sayPan(state, id)) }))}
        chosen={pan}
        onChoose={setPan}
      />
      <p class="lead figures">
        {lying.length > 0 &&
          `${sentence(saySkeins(state, lying))} ${lying.length === 1 ? "is" : "are"} taken out of it first. `}
        {bath &&
          (afterUl > bath.pan.capacityUl
            ? `With what is in it, that makes ${showVolume(afterUl)}, more than the ${showVolume(bath.pan.capacityUl)} it holds.`
            : `With what is in it, that makes ${showVolume(afterUl)} of the ${showVolume(bath.pan.capacityUl)} it holds.`)}
      </p>
    </Form>
  );
}

function SaidOrLead({ said }: { said: string | undefined }) {
  return <p class="lead">{said ?? "Every bottle and jug is empty: there is nothing left over."}</p>;
}

/** What all of it makes of the skein. */
function Coming(props: { state: State; liquor: Liquor; base: Id | null; massUg: number | null }) {
  const { state, liquor, base, massUg } = props;
  if (massUg === null || base === null || liquor.volumeUl === 0) {
    return (
      <p class="outcome-before figures">
        {`${showVolume(liquor.volumeUl)} in all. Type the grams, and its colour is predicted.`}
      </p>
    );
  }
  const { bases, dyes } = state.setup;
  const { ground } = predictedSkein(bases[base], massUg, dyes, liquor.dyes, []);
  return (
    <div class="outcome">
      <DippedStrip
        dyedHex={ground.hex}
        undyedHex={bases[base]?.hex ?? "#f3ecdf"}
        width={44}
        height={104}
        seed="leftover"
      />
      <div class="outcome-words">
        <h3>The last skein, predicted</h3>
        <p class="outcome-figure figures">{showDepth(depthPct(totalUg(liquor.dyes), massUg))}</p>
        <p class="figures">{`${showVolume(liquor.volumeUl)} in all, known to about ${ground.uncertainty.toFixed(1)} CIEDE2000.`}</p>
      </div>
    </div>
  );
}
