import { useState } from "preact/hooks";
import { hazardsOf } from "../../shared/cautions/hazards.ts";
import { GraduatedRule } from "../../shared/draw/GraduatedRule.tsx";
import { showVolume } from "../../shared/dye/display.ts";
import { left } from "../../shared/dye/vessel.ts";
import type { Command } from "../../shared/session/command.ts";
import type { Id } from "../../shared/session/setup.ts";
import { liquorHex } from "../../shared/session/views/publicView.ts";
import { Action } from "./Action.tsx";
import { Caution } from "./Caution.tsx";
import { Form } from "./Form.tsx";
import { Keypad } from "./Keypad.tsx";
import { useAct } from "./useAct.ts";
import { VesselTitle } from "./VesselTitle.tsx";

/** Liquor that is gone from a bottle without dyeing anything. */
export function Discard(props: { vessel: Id; how: "tipped" | "spilled"; onBack: () => void }) {
  const { vessel: id, how, onBack } = props;
  const { state, said, busy, act, refusalOf, clear } = useAct();
  const [volumeUl, setVolumeUl] = useState<number | null>(null);
  const bottle = state?.bench.vessels[id];
  if (!state || !bottle) return null;
  const leftUl = left(bottle.vessel).volumeUl;
  const command: Command | null =
    volumeUl === null ? null : { type: "discard", vessel: id, volumeUl, how };
  const problem = refusalOf(command);
  const verb = how === "tipped" ? "Tip out" : "Spilled";
  const afterUl = Math.max(0, leftUl - (volumeUl ?? 0));

  const send = async () => {
    if (command === null || volumeUl === null) return;
    const done = `${showVolume(volumeUl)} ${how}. ${bottle.name} holds ${showVolume(afterUl)} now.`;
    if (await act(command, done)) setVolumeUl(null);
  };

  return (
    <Form
      title={
        <>
          {how === "tipped" ? "Tip out" : "Spilled from"} <VesselTitle state={state} id={id} />
        </>
      }
      onBack={onBack}
      side={
        <>
          <Keypad
            label={how === "tipped" ? "How much is tipped out" : "How much was spilled"}
            unit="mL"
            value={volumeUl}
            onChange={(amount) => {
              clear();
              setVolumeUl(amount);
            }}
            problem={problem}
          />
          <Action
            onDo={send}
            missing={volumeUl === null ? "Type how much." : problem}
            told={problem}
            busy={busy}
            said={said}
          >
            {verb}
            {volumeUl === null ? "" : ` ${showVolume(volumeUl)}`}
          </Action>
        </>
      }
    >
      <Caution hazards={hazardsOf({ kind: "tip" })} />
      <p class="lead figures">
        It holds {showVolume(leftUl)} now, and {showVolume(afterUl)} after that.
      </p>
      <GraduatedRule
        volumeUl={Math.max(1, bottle.vessel.madeUl)}
        pouredUl={afterUl}
        width={460}
        height={72}
        fillHex={liquorHex(state, bottle.vessel.madeUg)}
        tone="wool"
        labels
      />
      {leftUl > 0 && (
        <button
          type="button"
          class="quiet-button"
          onClick={() => {
            clear();
            setVolumeUl(leftUl);
          }}
        >
          All of it, {showVolume(leftUl)}
        </button>
      )}
    </Form>
  );
}
