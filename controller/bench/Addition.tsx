import { useState } from "preact/hooks";
import { hazardsOf } from "../../shared/cautions/hazards.ts";
import { showVolume } from "../../shared/dye/display.ts";
import type { Command } from "../../shared/session/command.ts";
import { sayAddition, sayPan } from "../../shared/session/say.ts";
import type { AdditionAmount, Addition as What } from "../../shared/session/setup.ts";
import type { State } from "../../shared/session/state.ts";
import { Action } from "./Action.tsx";
import type { BathFormProps } from "./bathForm.ts";
import { Caution } from "./Caution.tsx";
import { Choice } from "./Choice.tsx";
import { Form } from "./Form.tsx";
import { Keypad } from "./Keypad.tsx";
import { useAct } from "./useAct.ts";

/** Names offered when the session has none of its own yet; ordinary trade names. */
const usual: Readonly<Record<What, readonly string[]>> = {
  acid: ["white vinegar 5\u202f%", "citric acid"],
  water: ["water"],
  salt: ["salt"],
};

/** Acid, water or salt into a bath. */
export function Addition({ state, pan, head, what }: BathFormProps & { what: What }) {
  const { said, busy, act, refusalOf, clear } = useAct();
  const labels = labelsOf(state, what);
  const [chosen, setLabel] = useState<string | null>(null);
  const [unit, setUnit] = useState<"mL" | "g">(what === "salt" ? "g" : "mL");
  const [value, setValue] = useState<number | null>(null);
  const label = chosen ?? labels[0] ?? what;
  const amount: AdditionAmount | null =
    value === null ? null : unit === "mL" ? { volumeUl: value } : { massUg: value };
  const command: Command | null =
    amount === null ? null : { type: "add", pan, what, label, amount };
  const there = state.bench.pans[pan];
  const afterUl = (there?.bathUl ?? 0) + (unit === "mL" ? (value ?? 0) : 0);
  const overfull = there !== undefined && afterUl > there.pan.capacityUl;

  const send = async () => {
    if (command === null || amount === null) return;
    if (await act(command, `${sayAddition(amount)} ${label} is in ${sayPan(state, pan)}.`)) {
      setValue(null);
    }
  };

  return (
    <Form
      title="Bath"
      side={
        <>
          <Keypad
            key={unit}
            label={label}
            unit={unit}
            value={value}
            onChange={(next) => {
              clear();
              setValue(next);
            }}
          />
          <Action
            onDo={send}
            missing={amount === null ? "Type how much goes in." : refusalOf(command)}
            busy={busy}
            said={said}
          >
            {amount === null ? "In" : `${sayAddition(amount)} in`}
          </Action>
        </>
      }
    >
      {head}
      <Caution hazards={hazardsOf({ kind: "add", what })} />
      {labels.length > 1 && (
        <Choice
          label="Which"
          options={labels.map((own) => ({ value: own, label: own }))}
          chosen={label}
          onChoose={setLabel}
        />
      )}
      {what !== "water" && (
        <Choice
          label="Measured in"
          columns={2}
          options={[
            { value: "mL", label: "mL" },
            { value: "g", label: "g" },
          ]}
          chosen={unit}
          onChoose={(next) => {
            setUnit(next);
            setValue(null);
          }}
        />
      )}
      {overfull && there && (
        <p class="measure figures">
          That makes {showVolume(afterUl)} by the record, in a pan of{" "}
          {showVolume(there.pan.capacityUl)}.
        </p>
      )}
    </Form>
  );
}

/** What the sheet and the record call it, then what it is usually called. */
function labelsOf(state: State, what: What): string[] {
  const labels = new Set<string>();
  for (const step of state.setup.steps) {
    if (step.kind === "add" && step.what === what) labels.add(step.label);
  }
  for (const { additions } of Object.values(state.bench.pans)) {
    for (const added of additions) if (added.what === what) labels.add(added.label);
  }
  const own = [...labels].map((label) => label.replaceAll(/\s/g, " ").toLowerCase());
  for (const label of usual[what]) {
    if (!own.includes(label.replaceAll(/\s/g, " ").toLowerCase())) labels.add(label);
  }
  return [...labels];
}
