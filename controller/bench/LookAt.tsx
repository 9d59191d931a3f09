import { useState } from "preact/hooks";
import type { Look } from "../../shared/session/act.ts";
import { sayPan } from "../../shared/session/say.ts";
import { Action } from "./Action.tsx";
import type { BathFormProps } from "./bathForm.ts";
import { Choice } from "./Choice.tsx";
import { Form } from "./Form.tsx";
import { useAct } from "./useAct.ts";

const looks: readonly { value: Look; label: string; note: string }[] = [
  { value: "clear", label: "Clear", note: "the dye is in the yarn" },
  { value: "tinted", label: "Tinted", note: "some of it is still in the bath" },
  { value: "strong", label: "Strong", note: "much of it is still in the bath" },
];

/** How far a bath is exhausted, as seen. */
export function LookAt({ state, pan, head }: BathFormProps) {
  const { said, busy, act, refusalOf, clear } = useAct();
  const [look, setLook] = useState<Look | null>(null);
  const command = look === null ? null : ({ type: "look", pan, look } as const);
  const send = async () => {
    if (command && (await act(command, `Bath of ${sayPan(state, pan)} noted: ${command.look}.`))) {
      setLook(null);
    }
  };
  return (
    <Form
      title="Bath"
      side={
        <>
          <Choice
            label="How the bath looks"
            columns={1}
            options={looks}
            chosen={look}
            onChoose={(next) => {
              clear();
              setLook(next);
            }}
          />
          <Action
            onDo={send}
            missing={
              look === null ? "Hold a spoonful against white and choose." : refusalOf(command)
            }
            busy={busy}
            said={said}
          >
            Note {look ?? "how it looks"}
          </Action>
        </>
      }
    >
      {head}
      <p class="lead">
        Depth of shade is what was offered to the yarn. What the bath still holds is for the next
        skein or the drain.
      </p>
    </Form>
  );
}
