import { useState } from "preact/hooks";
import { showCelsius } from "../../shared/dye/display.ts";
import { fahrenheitFrom } from "../../shared/dye/units.ts";
import type { Command } from "../../shared/session/command.ts";
import { sayPan } from "../../shared/session/say.ts";
import { Action } from "./Action.tsx";
import type { BathFormProps } from "./bathForm.ts";
import { Choice } from "./Choice.tsx";
import { Form } from "./Form.tsx";
import { Keypad } from "./Keypad.tsx";
import { sentence } from "./sentence.ts";
import { useAct } from "./useAct.ts";

const quick = [20, 40, 60, 85, 98];

/** How hot a bath is, as read. */
export function Temperature({ state, pan, head }: BathFormProps) {
  const { said, busy, act, refusalOf, clear } = useAct();
  const [celsius, setCelsius] = useState<number | null>(null);
  const tooHot =
    celsius !== null && celsius > 130
      ? "A dye bath is not that hot. Give the temperature in °C, 130 or less."
      : null;
  const command: Command | null = celsius === null ? null : { type: "temperature", pan, celsius };
  const choose = (next: number | null) => {
    clear();
    setCelsius(next);
  };
  const send = async () => {
    if (command === null || celsius === null) return;
    if (
      await act(command, `${sentence(sayPan(state, pan))} is noted at ${showCelsius(celsius)}.`)
    ) {
      setCelsius(null);
    }
  };
  return (
    <Form
      title="Bath"
      side={
        <>
          <Keypad
            label={`Temperature of ${sayPan(state, pan)}`}
            unit="°C"
            value={celsius}
            zero
            onChange={choose}
            problem={tooHot}
          />
          <Action
            onDo={send}
            missing={celsius === null ? "Type the temperature." : (tooHot ?? refusalOf(command))}
            told={tooHot}
            busy={busy}
            said={said}
          >
            Note {celsius === null ? "the temperature" : showCelsius(celsius)}
          </Action>
        </>
      }
    >
      {head}
      <Choice
        label="Often"
        columns={5}
        options={quick.map((value) => ({ value, label: showCelsius(value) }))}
        chosen={celsius}
        onChoose={choose}
      />
      {celsius !== null && tooHot === null && (
        <p class="lead figures">
          {showCelsius(celsius)} is {Math.round(fahrenheitFrom(celsius))}
          {"\u202f"}°F.
        </p>
      )}
    </Form>
  );
}
