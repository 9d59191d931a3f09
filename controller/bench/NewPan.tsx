import { useState } from "preact/hooks";
import { Pan } from "../../shared/draw/Pan.tsx";
import { showVolume } from "../../shared/dye/display.ts";
import type { Command } from "../../shared/session/command.ts";
import type { Method } from "../../shared/session/setup.ts";
import { Action } from "./Action.tsx";
import { Choice } from "./Choice.tsx";
import { Fields } from "./Fields.tsx";
import { Form } from "./Form.tsx";
import { freshId, freshLetter } from "./fresh.ts";
import { Keypad } from "./Keypad.tsx";
import { NameField } from "./NameField.tsx";
import { useAct } from "./useAct.ts";

const methods: readonly { value: Method; label: string }[] = [
  { value: "immersion", label: "Immersion" },
  { value: "lowWater", label: "Low water" },
  { value: "painted", label: "Painted" },
  { value: "dipped", label: "Dipped" },
];

/** Another pan on the bench. */
export function NewPan({ onBack }: { onBack: () => void }) {
  const { state, said, busy, act, refusalOf, clear } = useAct();
  const [field, setField] = useState<"capacity" | "water">("capacity");
  const [capacityUl, setCapacityUl] = useState<number | null>(null);
  const [waterUl, setWaterUl] = useState<number | null>(null);
  const [method, setMethod] = useState<Method>("immersion");
  const [typedName, setTypedName] = useState("");
  if (state === null) return null;

  const names = Object.values(state.bench.pans).map(({ pan }) => pan.name);
  const offered = freshLetter(names);
  const name = typedName.trim() === "" ? offered : typedName.trim();
  const over =
    capacityUl !== null && waterUl !== null && waterUl > capacityUl
      ? `A pan of ${showVolume(capacityUl)} does not hold ${showVolume(waterUl)} of water.`
      : null;
  const command: Command | null =
    capacityUl === null
      ? null
      : {
          type: "panNew",
          pan: {
            id: freshId("pan"),
            name,
            capacityUl,
            waterUl: waterUl ?? 0,
            method,
          },
        };

  const send = async () => {
    if (command === null) return;
    if (await act(command, `Pan ${name} is on the bench.`)) {
      setCapacityUl(null);
      setWaterUl(null);
      setTypedName("");
    }
  };

  return (
    <Form
      title="New pan"
      onBack={onBack}
      side={
        <>
          <Keypad
            key={field}
            label={field === "capacity" ? "How much it holds" : "Water in it"}
            unit="mL"
            value={field === "capacity" ? capacityUl : waterUl}
            zero={field === "water"}
            onChange={(amount) => {
              clear();
              if (field === "capacity") setCapacityUl(amount);
              else setWaterUl(amount);
            }}
            problem={over}
          />
          <Action
            onDo={send}
            missing={capacityUl === null ? "Type how much it holds." : (over ?? refusalOf(command))}
            told={over}
            busy={busy}
            said={said}
          >
            Put pan {name} on the bench
          </Action>
        </>
      }
    >
      <Fields
        label="Size"
        chosen={field}
        onChoose={setField}
        fields={[
          { value: "capacity", label: "It holds", unit: "mL", amount: capacityUl },
          { value: "water", label: "Water in it", unit: "mL", amount: waterUl },
        ]}
      />
      <Choice
        label="How it is dyed in"
        columns={2}
        options={methods}
        chosen={method}
        onChoose={setMethod}
      />
      <NameField label="Name" offered={offered} value={typedName} onChange={setTypedName} />
      <Pan
        name=""
        hanks={[]}
        bath={capacityUl === null ? 0 : Math.min(1, (waterUl ?? 0) / capacityUl)}
        width={272}
        height={150}
        tone="wool"
        title={`Pan ${name}`}
      />
    </Form>
  );
}
