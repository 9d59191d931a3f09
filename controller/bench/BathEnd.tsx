import { useState } from "preact/hooks";
import { hazardsOf } from "../../shared/cautions/hazards.ts";
import { showVolume } from "../../shared/dye/display.ts";
import { isHot } from "../../shared/session/liveHazards.ts";
import { sayPan } from "../../shared/session/say.ts";
import { Action } from "./Action.tsx";
import type { BathFormProps } from "./bathForm.ts";
import { Caution } from "./Caution.tsx";
import { Choice } from "./Choice.tsx";
import { Form } from "./Form.tsx";
import { useAct } from "./useAct.ts";

/** What becomes of a bath: kept for another skein, or tipped. */
export function BathEnd({ state, pan, head }: BathFormProps) {
  const { said, busy, act, refusalOf, clear } = useAct();
  const [fate, setFate] = useState<"kept" | "tipped" | null>(null);
  const command = fate === null ? null : ({ type: "bath", pan, fate } as const);
  const there = state.bench.pans[pan];
  const hot = isHot(state, pan);
  const send = async () => {
    if (command && (await act(command, `Bath of ${sayPan(state, pan)} is ${command.fate}.`))) {
      setFate(null);
    }
  };
  return (
    <Form
      title="Bath"
      side={
        <>
          <Choice
            label="What becomes of the bath"
            columns={1}
            options={[
              { value: "kept", label: "Kept", note: "it stays in the pan for another skein" },
              {
                value: "tipped",
                label: "Tipped",
                note: `the ${showVolume(there?.bathUl ?? 0)} go, with what is in them`,
              },
            ]}
            chosen={fate}
            onChoose={(next) => {
              clear();
              setFate(next);
            }}
          />
          <Action
            onDo={send}
            missing={fate === null ? "Choose whether it is kept or tipped." : refusalOf(command)}
            busy={busy}
            said={said}
          >
            {fate === "tipped"
              ? "Write down: tipped"
              : fate === "kept"
                ? "Write down: kept"
                : "Write it down"}
          </Action>
        </>
      }
    >
      {head}
      <Caution hazards={hazardsOf({ kind: "tip", hot })} />
    </Form>
  );
}
