import { useState } from "preact/hooks";
import { Hank } from "../../shared/draw/Hank.tsx";
import { showMass } from "../../shared/dye/display.ts";
import type { Command } from "../../shared/session/command.ts";
import { sayPan } from "../../shared/session/say.ts";
import type { Id } from "../../shared/session/setup.ts";
import { Action } from "./Action.tsx";
import { Choice } from "./Choice.tsx";
import { Form } from "./Form.tsx";
import { countedName, freshId } from "./fresh.ts";
import { Keypad } from "./Keypad.tsx";
import { NameField } from "./NameField.tsx";
import { sentence } from "./sentence.ts";
import { useAct } from "./useAct.ts";

const nowhere = "+none";

/** Another skein on the bench. */
export function NewSkein({ onBack }: { onBack: () => void }) {
  const { state, said, busy, act, refusalOf, clear } = useAct();
  const [chosenBase, setBase] = useState<Id | null>(null);
  const [massUg, setMassUg] = useState<number | null>(null);
  const [pan, setPan] = useState<Id>(nowhere);
  const [typedName, setTypedName] = useState("");
  if (state === null) return null;

  const bases = Object.values(state.setup.bases);
  const base = chosenBase ?? bases[0]?.id ?? null;
  const look = bases.find(({ id }) => id === base);
  const names = Object.values(state.bench.skeins).map(({ skein }) => skein.name);
  const offered = countedName("", names);
  const name = typedName.trim() === "" ? offered : typedName.trim();
  const command: Command | null =
    base === null || massUg === null
      ? null
      : {
          type: "skeinNew",
          skein: {
            id: freshId("skein"),
            name,
            base,
            massUg,
            ...(pan === nowhere ? {} : { pan }),
          },
        };

  const send = async () => {
    if (command === null || massUg === null) return;
    const where = pan === nowhere ? "on the bench, in no pan" : `in ${sayPan(state, pan)}`;
    if (await act(command, `Skein ${name}, ${showMass(massUg)}, is ${where}.`)) {
      setMassUg(null);
      setTypedName("");
    }
  };

  return (
    <Form
      title="New skein"
      onBack={onBack}
      side={
        <>
          <Keypad
            label="Dry fibre"
            unit="g"
            value={massUg}
            onChange={(amount) => {
              clear();
              setMassUg(amount);
            }}
          />
          <Action
            onDo={send}
            missing={
              base === null
                ? "This session has no yarn: open a pour sheet that names one."
                : massUg === null
                  ? "Type the grams of dry fibre: a skein of 0 g cannot be dyed."
                  : refusalOf(command)
            }
            busy={busy}
            said={said}
          >
            Put skein {name} on the bench
          </Action>
        </>
      }
    >
      <Choice
        label="Yarn"
        columns={2}
        options={bases.map(({ id, name: baseName, fibres, superwash }) => ({
          value: id,
          label: baseName,
          note: `${fibres.map(({ fibre, pct }) => `${pct}\u202f% ${fibre}`).join(", ")}${superwash ? ", superwash" : ""}`,
        }))}
        chosen={base}
        onChoose={setBase}
      />
      <Choice
        label="Where it lies"
        options={[
          ...Object.keys(state.bench.pans).map((id) => ({
            value: id,
            label: sentence(sayPan(state, id)),
          })),
          { value: nowhere, label: "In no pan" },
        ]}
        chosen={pan}
        onChoose={setPan}
      />
      <NameField label="Name" offered={offered} value={typedName} onChange={setTypedName} />
      {look && (
        <Hank
          label={name}
          fill={0}
          dyedHex={look.hex}
          undyedHex={look.hex}
          flecks={look.flecks.map(({ hex }) => hex)}
          width={96}
          height={180}
          tone="wool"
        />
      )}
    </Form>
  );
}
