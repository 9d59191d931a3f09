import { useState } from "preact/hooks";
import { hazardsOf } from "../../shared/cautions/hazards.ts";
import { showAmount, showPowder, showVolume } from "../../shared/dye/display.ts";
import { left } from "../../shared/dye/vessel.ts";
import type { Command } from "../../shared/session/command.ts";
import { isHot } from "../../shared/session/liveHazards.ts";
import { sayPan } from "../../shared/session/say.ts";
import type { Id, Source, Technique } from "../../shared/session/setup.ts";
import type { State } from "../../shared/session/state.ts";
import { Action } from "../bench/Action.tsx";
import { Caution } from "../bench/Caution.tsx";
import { Choice } from "../bench/Choice.tsx";
import { Form } from "../bench/Form.tsx";
import { skeinsIn } from "../bench/hank.ts";
import { Keypad } from "../bench/Keypad.tsx";
import { Liquid } from "../bench/Liquid.tsx";
import { sentence } from "../bench/sentence.ts";
import { useAct } from "../bench/useAct.ts";
import { sayStrength, sayTechnique } from "../live/dose.ts";
import { doubtFor } from "../live/size.ts";

const wet: readonly Technique[] = ["immersion", "lowWater", "painted", "dripped"];
const dry: readonly Technique[] = ["speckled", "immersion"];
const coverages = [1, 0.5, 0.25, 0.05];
/** A dye has a letter before it where it is used dry, so that it is never taken for a bottle. */
const powderMark = "+";

/** One pour that the stream did not see: what, how much, into which pan and on which skeins. */
export function OffAirPour({ state }: { state: State }) {
  const { said, busy, act, refusalOf, clear } = useAct();
  const { vessels, pans, skeins } = state.bench;
  const full = Object.values(vessels).filter(({ vessel }) => left(vessel).volumeUl > 0);
  const [chosenFrom, setFrom] = useState<string | null>(null);
  // The pan with the newest skein in it is most likely the one in hand.
  const newest =
    Object.values(skeins)
      .filter(({ pan }) => pan !== null)
      .at(-1)?.pan ?? null;
  const [chosenPan, setPan] = useState<Id | null>(null);
  const [leftOut, setLeftOut] = useState<ReadonlySet<Id>>(new Set());
  const [technique, setTechnique] = useState<Technique>("immersion");
  const [coverage, setCoverage] = useState(1);
  const [how, setHow] = useState<"measured" | "estimated">("measured");
  const [value, setValue] = useState<number | null>(null);
  const from = chosenFrom ?? full[0]?.id ?? null;
  const pan = chosenPan ?? newest ?? Object.keys(pans)[0] ?? null;
  if (pan === null || from === null) {
    return (
      <p class="lead">
        {pan === null
          ? "No pan is on the bench. Put one on under Skeins, pans."
          : "No bottle holds anything. Mix a jug, or take powder on air."}
      </p>
    );
  }
  const powder = from.startsWith(powderMark);
  const source = sourceOf(from, value, how);
  const there = skeinsIn(state, pan);
  const on = there.filter((id) => !leftOut.has(id));
  const command: Command | null =
    source === null
      ? null
      : {
          type: "pour",
          pour: {
            source,
            pan,
            ...(there.length === 0 || on.length === there.length ? {} : { skeins: on }),
            technique,
            coverage,
          },
        };
  const problem = there.length > 0 && on.length === 0 ? null : refusalOf(command);
  const dyes = powder
    ? [from.slice(powderMark.length)]
    : Object.keys(vessels[from]?.vessel.madeUg ?? {});
  const dyeHazards = dyes.flatMap((id) => state.setup.dyes[id]?.hazards ?? []);
  const pour = async () => {
    if (command === null || source === null) return;
    const much = source.from === "vessel" ? showAmount(source.amount) : showPowder(source.amount);
    if (await act(command, `${much} is in ${sayPan(state, pan)}, off air.`)) setValue(null);
  };
  return (
    <Form
      title="Pour off air"
      side={
        <>
          <Keypad
            key={powder ? "g" : "mL"}
            label="How much?"
            unit={powder ? "g" : "mL"}
            value={value}
            onChange={(next) => {
              clear();
              setValue(next);
            }}
            problem={problem}
          />
          <Action
            onDo={pour}
            missing={
              value === null
                ? "Type how much goes in."
                : there.length > 0 && on.length === 0
                  ? "Choose at least one skein."
                  : problem
            }
            told={problem}
            busy={busy}
            said={said}
          >
            Pour it
          </Action>
        </>
      }
    >
      <Caution hazards={hazardsOf({ kind: "pour", powder, dyeHazards, hot: isHot(state, pan) })} />
      <Choice
        label="From"
        columns={3}
        options={[
          ...full.map(({ id, name, vessel }) => ({
            value: id,
            label: name,
            note: `${sayStrength(state, id)}, ${showVolume(left(vessel).volumeUl)} left`,
            mark: <Liquid state={state} dyes={vessel.madeUg} width={24} height={52} seed={id} />,
          })),
          ...Object.values(state.setup.dyes).map(({ id, name }) => ({
            value: `${powderMark}${id}`,
            label: name,
            note: "dry powder",
          })),
        ]}
        chosen={from}
        onChoose={(next) => {
          clear();
          setFrom(next);
          const dryNow = next.startsWith(powderMark);
          if (dryNow !== powder) {
            setValue(null);
            setTechnique(dryNow ? "speckled" : "immersion");
          }
        }}
      />
      <Choice
        label="Into"
        options={Object.keys(pans).map((id) => ({ value: id, label: sentence(sayPan(state, id)) }))}
        chosen={pan}
        onChoose={(next) => {
          clear();
          setPan(next);
        }}
      />
      {there.length === 0 ? (
        <p class="lead">No skein is in it: it goes into the bath, for the skein that comes next.</p>
      ) : (
        <Choice
          label="On skeins"
          options={there.map((id) => ({
            value: id,
            label: (
              <>
                <span class="unseen">Skein </span>
                {skeins[id]?.skein.name ?? id}
              </>
            ),
          }))}
          chosen={on}
          onChoose={(id) => {
            const next = new Set(leftOut);
            if (next.has(id)) next.delete(id);
            else next.add(id);
            setLeftOut(next);
          }}
        />
      )}
      <Choice
        label="How"
        columns={4}
        options={(powder ? dry : wet).map((one) => ({ value: one, label: sayTechnique(one) }))}
        chosen={technique}
        onChoose={setTechnique}
      />
      <Choice
        label="Touching"
        columns={4}
        options={coverages.map((one) => ({
          value: one,
          label: one === 1 ? "all of it" : `${one * 100}\u202f%`,
        }))}
        chosen={coverage}
        onChoose={setCoverage}
      />
      <Choice
        label="The amount is"
        columns={2}
        options={[
          { value: "measured" as const, label: "measured" },
          { value: "estimated" as const, label: "judged by eye" },
        ]}
        chosen={how}
        onChoose={setHow}
      />
    </Form>
  );
}

function sourceOf(
  from: string,
  value: number | null,
  how: "measured" | "estimated",
): Source | null {
  if (value === null || value <= 0) return null;
  const doubt = how === "measured" ? 0 : doubtFor(value);
  if (from.startsWith(powderMark)) {
    const dye = from.slice(powderMark.length);
    return { from: "powder", dye, amount: { how, massUg: value, plusMinusUg: doubt } };
  }
  return { from: "vessel", vessel: from, amount: { how, volumeUl: value, plusMinusUl: doubt } };
}
