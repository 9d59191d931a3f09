import { useState } from "preact/hooks";
import { hazardsOf } from "../../shared/cautions/hazards.ts";
import { PowderedStrip } from "../../shared/draw/PowderedStrip.tsx";
import { showStrength, showVolume } from "../../shared/dye/display.ts";
import { strengthPct } from "../../shared/dye/strength.ts";
import { totalUg } from "../../shared/dye/vessel.ts";
import type { Command } from "../../shared/session/command.ts";
import type { Id } from "../../shared/session/setup.ts";
import { liquorHex } from "../../shared/session/views/publicView.ts";
import { Action } from "./Action.tsx";
import { Caution } from "./Caution.tsx";
import { Fields } from "./Fields.tsx";
import { Form } from "./Form.tsx";
import { freshId, freshName } from "./fresh.ts";
import { Keypad } from "./Keypad.tsx";
import { liquorOf } from "./mix.ts";
import { NameField } from "./NameField.tsx";
import { Strengths } from "./Strengths.tsx";
import { tooStrong } from "./tooStrong.ts";
import { useAct } from "./useAct.ts";

const volume = "+volume";

/** A stock made up from dry powder: grams of each dye, and the volume it is made up to. */
export function Powder({ onBack }: { onBack: () => void }) {
  const { state, said, busy, act, refusalOf, clear } = useAct();
  const [amounts, setAmounts] = useState<Readonly<Record<Id, number | null>>>({});
  const [chosen, setChosen] = useState<Id | null>(null);
  const [typedName, setTypedName] = useState("");
  if (state === null) return null;

  const dyes = Object.values(state.setup.dyes);
  const [base] = Object.values(state.setup.bases);
  const field = chosen ?? dyes[0]?.id ?? volume;
  const amountOf = (id: Id) => amounts[id] ?? null;
  const powder = dyes.flatMap(({ id }) => {
    const massUg = amountOf(id);
    return massUg === null ? [] : [{ dye: id, massUg }];
  });
  const volumeUl = amountOf(volume) ?? 0;
  const taken = Object.values(state.bench.vessels).map(({ name }) => name);
  const [first] = powder;
  const wanted = powder.length === 1 && first ? (state.setup.dyes[first.dye]?.name ?? "") : "";
  const offered = freshName(wanted === "" ? "Stock" : wanted, taken);
  const name = typedName.trim() === "" ? offered : typedName.trim();
  const command: Command = {
    type: "mix",
    into: freshId("stock"),
    made: { name, as: "stock" },
    parts: [],
    powder,
    waterUl: volumeUl,
  };
  const liquor = liquorOf(state.bench, { parts: [], powder, waterUl: volumeUl });
  const missing =
    powder.length === 0
      ? "A stock of 0 % has no dye in it: choose a dye and type its grams."
      : volumeUl === 0
        ? "Type the volume it is made up to."
        : (tooStrong(liquor) ?? refusalOf(command));
  const dyeHazards = powder.flatMap(({ dye }) => state.setup.dyes[dye]?.hazards ?? []);

  const make = async () => {
    if (liquor === null) return;
    const strength = showStrength(strengthPct(totalUg(liquor.dyes), liquor.volumeUl));
    const done = `${name} is made up: ${showVolume(liquor.volumeUl)} at ${strength}.`;
    if (await act(command, done)) {
      setAmounts({});
      setTypedName("");
    }
  };

  return (
    <Form
      title="Make up from powder"
      onBack={onBack}
      side={
        <>
          <Keypad
            key={field}
            label={
              field === volume ? "Made up to" : `${state.setup.dyes[field]?.name ?? field} powder`
            }
            unit={field === volume ? "mL" : "g"}
            value={amountOf(field)}
            onChange={(amount) => {
              clear();
              setAmounts({ ...amounts, [field]: amount });
            }}
          />
          <Action onDo={make} missing={missing} busy={busy} said={said}>
            Make up {name}
          </Action>
        </>
      }
    >
      <Caution hazards={hazardsOf({ kind: "stockMade", powder: true, dyeHazards })} />
      <Fields
        label="Powder, and the volume it is made up to"
        chosen={field}
        onChoose={setChosen}
        fields={[
          ...dyes.map(({ id, name: dyeName }) => ({
            value: id,
            label: `${dyeName} powder`,
            mark: (
              <PowderedStrip
                dyedHex={liquorHex(state, { [id]: 1 })}
                undyedHex={base?.hex ?? "#f3ecdf"}
                width={24}
                height={52}
                seed={id}
              />
            ),
            unit: "g" as const,
            amount: amountOf(id),
          })),
          { value: volume, label: "Made up to", unit: "mL" as const, amount: amountOf(volume) },
        ]}
      />
      <Strengths
        state={state}
        name={name}
        liquor={powder.length === 0 ? null : liquor}
        before="Its strength stands here before it is made: 1 g in 100 mL is 1 %."
      />
      <NameField label="Name" offered={offered} value={typedName} onChange={setTypedName} />
    </Form>
  );
}
