import { useState } from "preact/hooks";
import { hazardsOf } from "../../shared/cautions/hazards.ts";
import { showStrength, showVolume } from "../../shared/dye/display.ts";
import { refused } from "../../shared/dye/refusal.ts";
import { dilution, strengthPct } from "../../shared/dye/strength.ts";
import { left, totalUg } from "../../shared/dye/vessel.ts";
import type { Command } from "../../shared/session/command.ts";
import type { Id } from "../../shared/session/setup.ts";
import { Action } from "./Action.tsx";
import { Caution } from "./Caution.tsx";
import { Fields } from "./Fields.tsx";
import { Form } from "./Form.tsx";
import { freshId, freshName } from "./fresh.ts";
import { Keypad } from "./Keypad.tsx";
import { liquorOf } from "./mix.ts";
import { NameField } from "./NameField.tsx";
import { Strengths } from "./Strengths.tsx";
import { useAct } from "./useAct.ts";
import { VesselTitle } from "./VesselTitle.tsx";

/** A weaker stock made from one that is there, in a new bottle. */
export function Dilute({ vessel: id, onBack }: { vessel: Id; onBack: () => void }) {
  const { state, said, busy, act, refusalOf, clear } = useAct();
  const [field, setField] = useState<"strength" | "volume">("strength");
  const [toPct, setToPct] = useState<number | null>(null);
  const [finalUl, setFinalUl] = useState<number | null>(null);
  const [typedName, setTypedName] = useState("");
  const bottle = state?.bench.vessels[id];
  if (!state || !bottle) return null;

  const { vessel, name: ownName } = bottle;
  const fromPct = strengthPct(totalUg(vessel.madeUg), vessel.madeUl);
  const taken = Object.values(state.bench.vessels).map(({ name }) => name);
  const offered = freshName(ownName, taken).slice(0, 80);
  const name = typedName.trim() === "" ? offered : typedName.trim();
  const amounts = toPct === null || finalUl === null ? null : dilution(fromPct, toPct, finalUl);
  const command: Command | null =
    amounts === null || refused(amounts) || amounts.stockUl === 0
      ? null
      : {
          type: "mix",
          into: freshId("stock"),
          made: { name, as: "stock" },
          parts: [{ vessel: id, volumeUl: amounts.stockUl }],
          powder: [],
          waterUl: amounts.waterUl,
        };
  const stronger = toPct !== null ? dilution(fromPct, toPct, 1_000) : null;
  const strengthProblem = refused(stronger) ? stronger.say : null;
  const missing =
    toPct === null
      ? "Type the strength it is to have."
      : (strengthProblem ??
        (finalUl === null
          ? "Type how much of it to make."
          : refused(amounts)
            ? amounts.say
            : command === null
              ? "That takes too little stock to measure: make more, or make it stronger."
              : refusalOf(command)));
  const liquor = command?.type === "mix" ? liquorOf(state.bench, command) : null;

  const make = async () => {
    if (command === null || liquor === null) return;
    const done = `${name} is made: ${showVolume(liquor.volumeUl)} at ${showStrength(toPct ?? 0)}.`;
    if (await act(command, done)) {
      setFinalUl(null);
      setToPct(null);
      setTypedName("");
    }
  };

  return (
    <Form
      title={
        <>
          Dilute <VesselTitle state={state} id={id} />
        </>
      }
      onBack={onBack}
      side={
        <>
          {field === "strength" ? (
            <Keypad
              key="strength"
              label="Strength of the new bottle"
              unit="%"
              value={toPct}
              onChange={(pct) => {
                clear();
                setToPct(pct);
              }}
              problem={strengthProblem}
            />
          ) : (
            <Keypad
              key="volume"
              label="How much to make"
              unit="mL"
              value={finalUl}
              onChange={(volumeUl) => {
                clear();
                setFinalUl(volumeUl);
              }}
              problem={command === null ? null : refusalOf(command)}
            />
          )}
          <Action
            onDo={make}
            missing={missing}
            told={
              field === "strength" ? strengthProblem : command === null ? null : refusalOf(command)
            }
            busy={busy}
            said={said}
          >
            Make {name}
          </Action>
        </>
      }
    >
      <Caution
        hazards={hazardsOf({
          kind: "stockMade",
          powder: false,
          dyeHazards: Object.keys(vessel.madeUg).flatMap(
            (dye) => state.setup.dyes[dye]?.hazards ?? [],
          ),
        })}
      />
      <Fields
        label={`It holds ${showVolume(left(vessel).volumeUl)}`}
        chosen={field}
        onChoose={setField}
        fields={[
          { value: "strength", label: "Strength wanted", unit: "%", amount: toPct },
          { value: "volume", label: "How much to make", unit: "mL", amount: finalUl },
        ]}
      />
      {amounts !== null && !refused(amounts) && (
        <p class="measure figures">
          Measure <strong>{showVolume(amounts.stockUl)}</strong> of{" "}
          <VesselTitle state={state} id={id} /> and <strong>{showVolume(amounts.waterUl)}</strong>{" "}
          of water.
        </p>
      )}
      <Strengths
        state={state}
        name={name}
        liquor={liquor}
        before="What to measure stands here before it is made."
      />
      <NameField label="Name" offered={offered} value={typedName} onChange={setTypedName} />
    </Form>
  );
}
