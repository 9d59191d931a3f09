import { useState } from "preact/hooks";
import { hazardsOf } from "../../shared/cautions/hazards.ts";
import { showStrength, showVolume } from "../../shared/dye/display.ts";
import { strengthPct } from "../../shared/dye/strength.ts";
import { left, totalUg } from "../../shared/dye/vessel.ts";
import type { Command } from "../../shared/session/command.ts";
import type { Id } from "../../shared/session/setup.ts";
import { Action } from "./Action.tsx";
import { Caution } from "./Caution.tsx";
import { Choice } from "./Choice.tsx";
import { Fields } from "./Fields.tsx";
import { Form } from "./Form.tsx";
import { Keypad } from "./Keypad.tsx";
import { Liquid } from "./Liquid.tsx";
import { liquorOf } from "./mix.ts";
import { Strengths } from "./Strengths.tsx";
import { tooStrong } from "./tooStrong.ts";
import { useAct } from "./useAct.ts";
import { VesselTitle } from "./VesselTitle.tsx";

type With = "water" | "vessel" | "powder";
const water = "+water";

/** More into a bottle or jug that is there: water, powder, or from another bottle. */
export function TopUp({ vessel: id, onBack }: { vessel: Id; onBack: () => void }) {
  const { state, said, busy, act, refusalOf, clear } = useAct();
  const [what, setWhat] = useState<With>("water");
  const [amounts, setAmounts] = useState<Readonly<Record<string, number | null>>>({});
  const [chosen, setChosen] = useState<string>(water);
  const bottle = state?.bench.vessels[id];
  if (!state || !bottle) return null;

  const others = Object.values(state.bench.vessels).filter(
    (other) => other.id !== id && left(other.vessel).volumeUl > 0,
  );
  const dyes = Object.values(state.setup.dyes);
  const fields =
    what === "water"
      ? [{ value: water, label: "Water", unit: "mL" as const, amount: amounts[water] ?? null }]
      : what === "vessel"
        ? others.map((other) => ({
            value: `v ${other.id}`,
            label: <VesselTitle state={state} id={other.id} />,
            note: `${showVolume(left(other.vessel).volumeUl)} left`,
            mark: (
              <Liquid
                state={state}
                dyes={other.vessel.madeUg}
                width={24}
                height={52}
                seed={other.id}
              />
            ),
            unit: "mL" as const,
            amount: amounts[`v ${other.id}`] ?? null,
          }))
        : dyes.map((dye) => ({
            value: `p ${dye.id}`,
            label: `${dye.name} powder`,
            unit: "g" as const,
            amount: amounts[`p ${dye.id}`] ?? null,
          }));
  const field = fields.find(({ value }) => value === chosen) ?? fields[0];
  const parts = others.flatMap((other) => {
    const volumeUl = amounts[`v ${other.id}`] ?? null;
    return volumeUl === null ? [] : [{ vessel: other.id, volumeUl }];
  });
  const powder = dyes.flatMap((dye) => {
    const massUg = amounts[`p ${dye.id}`] ?? null;
    return massUg === null ? [] : [{ dye: dye.id, massUg }];
  });
  const waterUl = amounts[water] ?? 0;
  const command: Command = { type: "mix", into: id, parts, powder, waterUl };
  const empty = parts.length + powder.length === 0 && waterUl === 0;
  const liquor = liquorOf(state.bench, { into: id, parts, powder, waterUl });
  const missing = empty
    ? "Choose what goes in and type how much."
    : (tooStrong(liquor) ?? refusalOf(command));

  const make = async () => {
    if (liquor === null) return;
    const strength = showStrength(strengthPct(totalUg(liquor.dyes), liquor.volumeUl));
    const done = `${bottle.name} now holds ${showVolume(liquor.volumeUl)} at ${strength}.`;
    if (await act(command, done)) setAmounts({});
  };

  return (
    <Form
      title={
        <>
          Top up <VesselTitle state={state} id={id} />
        </>
      }
      onBack={onBack}
      side={
        <>
          {field && (
            <Keypad
              key={field.value}
              label={field.label}
              unit={field.unit}
              value={field.amount}
              onChange={(amount) => {
                clear();
                setAmounts({ ...amounts, [field.value]: amount });
              }}
              problem={empty ? null : refusalOf(command)}
            />
          )}
          <Action
            onDo={make}
            missing={missing}
            told={empty ? null : refusalOf(command)}
            busy={busy}
            said={said}
          >
            Top up
          </Action>
        </>
      }
    >
      <Choice
        label="With"
        columns={3}
        options={[
          { value: "water", label: "Water" },
          { value: "vessel", label: "A bottle" },
          { value: "powder", label: "Powder" },
        ]}
        chosen={what}
        onChoose={setWhat}
      />
      <Caution
        hazards={hazardsOf({
          kind: "stockMade",
          powder: what === "powder",
          dyeHazards: powder.flatMap(({ dye }) => state.setup.dyes[dye]?.hazards ?? []),
        })}
      />
      {fields.length > 0 ? (
        <Fields
          label="What goes in"
          chosen={field?.value ?? water}
          onChoose={setChosen}
          fields={fields}
        />
      ) : (
        <p class="lead">No other bottle has anything in it.</p>
      )}
      <Strengths
        state={state}
        name={bottle.name}
        liquor={liquor}
        before="What the bottle comes to stands here before it is topped up."
      />
    </Form>
  );
}
