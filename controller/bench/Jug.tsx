import { useState } from "preact/hooks";
import { showStrength, showVolume } from "../../shared/dye/display.ts";
import { strengthPct } from "../../shared/dye/strength.ts";
import { left, totalUg } from "../../shared/dye/vessel.ts";
import type { Command } from "../../shared/session/command.ts";
import type { Id } from "../../shared/session/setup.ts";
import { Action } from "./Action.tsx";
import { Fields } from "./Fields.tsx";
import { Form } from "./Form.tsx";
import { countedName, freshId } from "./fresh.ts";
import { Keypad } from "./Keypad.tsx";
import { Liquid } from "./Liquid.tsx";
import { liquorOf } from "./mix.ts";
import { NameField } from "./NameField.tsx";
import { Strengths } from "./Strengths.tsx";
import { useAct } from "./useAct.ts";
import { VesselTitle } from "./VesselTitle.tsx";

/** Bottles have short names of letters and digits, so this one is never a bottle's. */
const water = "+water";

/** A jug mixed on the spot from bottles, other jugs and water. */
export function Jug() {
  const { state, said, busy, act, refusalOf, clear } = useAct();
  const [amounts, setAmounts] = useState<Readonly<Record<Id, number | null>>>({});
  const [chosen, setChosen] = useState<Id | null>(null);
  const [typedName, setTypedName] = useState("");
  if (state === null) return null;

  const { vessels } = state.bench;
  const full = Object.values(vessels).filter(({ vessel }) => left(vessel).volumeUl > 0);
  const field = chosen ?? full[0]?.id ?? water;
  const amountOf = (id: Id) => amounts[id] ?? null;
  const parts = full.flatMap(({ id }) => {
    const volumeUl = amountOf(id);
    return volumeUl === null ? [] : [{ vessel: id, volumeUl }];
  });
  const waterUl = amountOf(water) ?? 0;
  const names = Object.values(vessels).map(({ name }) => name);
  const offered = countedName("Jug", names);
  const name = typedName.trim() === "" ? offered : typedName.trim();
  const into = freshId("jug");
  const command: Command = {
    type: "mix",
    into,
    made: { name, as: "jug" },
    parts,
    powder: [],
    waterUl,
  };
  const liquor = liquorOf(state.bench, { parts, powder: [], waterUl });
  const missing =
    parts.length === 0 ? "Choose a bottle and type how much of it goes in." : refusalOf(command);
  const overdrawn = parts.find(
    ({ vessel, volumeUl }) =>
      vessel === field && vessels[vessel] && volumeUl > left(vessels[vessel].vessel).volumeUl,
  );

  const make = async () => {
    if (liquor === null) return;
    const strength = showStrength(strengthPct(totalUg(liquor.dyes), liquor.volumeUl));
    const done = `${name} is made: ${showVolume(liquor.volumeUl)} at ${strength}.`;
    if (await act(command, done)) {
      setAmounts({});
      setTypedName("");
    }
  };

  return (
    <Form
      title="Mix a jug"
      side={
        <>
          <Keypad
            key={field}
            label={field === water ? "Water" : <VesselTitle state={state} id={field} />}
            unit="mL"
            value={amountOf(field)}
            onChange={(volumeUl) => {
              clear();
              setAmounts({ ...amounts, [field]: volumeUl });
            }}
            problem={overdrawn ? refusalOf(command) : null}
          />
          <Action
            onDo={make}
            missing={missing}
            told={overdrawn ? missing : null}
            busy={busy}
            said={said}
          >
            Make {name}
          </Action>
        </>
      }
    >
      <Fields
        label="What goes in"
        chosen={field}
        onChoose={setChosen}
        fields={[
          ...full.map(({ id, vessel }) => ({
            value: id,
            label: <VesselTitle state={state} id={id} />,
            note: `${showVolume(left(vessel).volumeUl)} left`,
            mark: <Liquid state={state} dyes={vessel.madeUg} width={24} height={52} seed={id} />,
            unit: "mL" as const,
            amount: amountOf(id),
          })),
          { value: water, label: "Water", unit: "mL" as const, amount: amountOf(water) },
        ]}
      />
      <Strengths
        state={state}
        name={name}
        liquor={parts.length === 0 ? null : liquor}
        before={`What ${name} comes to stands here before it is made.`}
      />
      <NameField label="Name" offered={offered} value={typedName} onChange={setTypedName} />
    </Form>
  );
}
