import { useState } from "preact/hooks";
import { hazardsOf } from "../../shared/cautions/hazards.ts";
import { totalUg } from "../../shared/dye/vessel.ts";
import type { Bleed } from "../../shared/session/act.ts";
import type { Command } from "../../shared/session/command.ts";
import { sayBleed, saySkeins } from "../../shared/session/say.ts";
import type { Id } from "../../shared/session/setup.ts";
import type { State } from "../../shared/session/state.ts";
import { Action } from "../bench/Action.tsx";
import { Caution } from "../bench/Caution.tsx";
import { Choice } from "../bench/Choice.tsx";
import { Form } from "../bench/Form.tsx";
import { sentence } from "../bench/sentence.ts";
import { useAct } from "../bench/useAct.ts";
import { ColourStrip } from "./ColourStrip.tsx";
import { Remark } from "./Remark.tsx";

const waters: readonly { value: Bleed; label: string }[] = [
  { value: "clear", label: "Clear" },
  { value: "some", label: "Some dye" },
  { value: "much", label: "Much dye" },
];
const cloths: readonly { value: Bleed | "none"; label: string }[] = [
  { value: "none", label: "Not tried" },
  { value: "clear", label: "Clean" },
  { value: "some", label: "Tinted" },
  { value: "much", label: "Stained" },
];

/** How much dye comes off: the last rinse water of some skeins, and a white cloth on the wet yarn. */
export function Rinse({ state }: { state: State }) {
  const { said, busy, act, clear } = useAct();
  const [chosen, setChosen] = useState<readonly Id[]>([]);
  const [water, setWater] = useState<Bleed | null>(null);
  const [cloth, setCloth] = useState<Bleed | "none">("none");
  const [words, setWords] = useState("");
  const dyed = Object.values(state.bench.skeins).filter(({ dyes }) => totalUg(dyes) > 0);
  const ways = colourways(
    state,
    dyed.map(({ skein }) => skein.id),
  );
  if (dyed.length === 0) {
    return (
      <section class="after-plain">
        <h2>Rinse and bleed</h2>
        <p class="lead">No skein of this session was dyed, so there is nothing to rinse.</p>
      </section>
    );
  }
  const command: Command | null =
    chosen.length === 0 || water === null
      ? null
      : {
          type: "after",
          command: {
            type: "rinse",
            skeins: [...chosen],
            water,
            ...(cloth === "none" ? {} : { cloth }),
            words: words.trim(),
          },
        };
  const note = async () => {
    if (command === null) return;
    if (await act(command, `Noted for ${saySkeins(state, chosen)}.`)) {
      setChosen([]);
      setWater(null);
      setCloth("none");
      setWords("");
    }
  };
  const all = dyed.map(({ skein }) => skein.id);
  const choose = (ids: readonly Id[]) => {
    clear();
    setChosen(ids);
  };
  return (
    <Form
      title="Rinse and bleed"
      side={
        <>
          <div class="after-beside">
            <Choice
              label="The last rinse water is"
              columns={3}
              options={waters}
              chosen={water}
              onChoose={setWater}
            />
            <Choice
              label="A white cloth, pressed on the wet yarn"
              columns={2}
              options={cloths}
              chosen={cloth}
              onChoose={setCloth}
            />
            <Remark words={words} onWords={setWords} />
          </div>
          <Action
            onDo={note}
            missing={
              chosen.length === 0
                ? "Choose the skeins that were rinsed."
                : water === null
                  ? "Say how the last rinse water looks."
                  : null
            }
            busy={busy}
            said={said}
          >
            Note it
          </Action>
        </>
      }
    >
      <Caution hazards={hazardsOf({ kind: "rinse" })} />
      {(ways.length > 0 || all.length > 1) && (
        <div class="row">
          <button type="button" class="quiet-button" onClick={() => choose(all)}>
            All of them
          </button>
          {ways.map(({ id, name, skeins }) => (
            <button key={id} type="button" class="quiet-button" onClick={() => choose(skeins)}>
              All of <bdi>{name}</bdi>
            </button>
          ))}
        </div>
      )}
      <Choice
        label="Skeins"
        columns={2}
        options={dyed.map(({ skein, rinse }) => ({
          value: skein.id,
          label: (
            <>
              Skein <bdi>{skein.name}</bdi>
            </>
          ),
          note: rinse ? sentence(sayBleed(rinse)) : "not rinsed yet",
          mark: <ColourStrip state={state} id={skein.id} width={24} height={52} />,
        }))}
        chosen={chosen}
        onChoose={(id) =>
          choose(chosen.includes(id) ? chosen.filter((one) => one !== id) : [...chosen, id])
        }
      />
    </Form>
  );
}

/** Colourways of which there is more than one skein: each is chosen with one tap. */
function colourways(state: State, ids: readonly Id[]) {
  return Object.values(state.setup.colourways).flatMap(({ id, name }) => {
    const skeins = ids.filter((one) => state.bench.skeins[one]?.skein.colourway === id);
    return skeins.length > 1 && skeins.length < ids.length ? [{ id, name, skeins }] : [];
  });
}
