import "./form.css";
import { useId, useState } from "preact/hooks";
import { type Field, readQuantity, type Understood } from "../../shared/dye/quantity.ts";
import { refused } from "../../shared/dye/refusal.ts";

/** A number field: what it is for, and what it takes. */
export interface QuantityProps {
  label: string;
  field: Field;
  /** In the kind's own unit (whole uL, ug, s …); null while it is empty. */
  value: number | null;
  /** Only ever called with what was understood, or with null for an emptied field. */
  onValue: (value: number | null) => void;
  /** How a value reads when nobody has typed, such as "12.5 mL". */
  show: (value: number) => string;
  /** What stands under it while nothing is wrong. */
  hint?: string | undefined;
  /** Whether the field may be emptied. */
  optional?: boolean | undefined;
  /** Whether the label is only for readers of the screen. */
  quiet?: boolean | undefined;
}

/**
 * A field for an amount in any unit of its kind: it says what it understood, asks where there are two
 * readings, and says what is wrong. What cannot be read changes nothing.
 */
export function Quantity(props: QuantityProps) {
  const { label, field, value, onValue, show, hint, optional, quiet } = props;
  const [text, setText] = useState<string | null>(null);
  const id = useId();
  const trimmed = text?.trim() ?? null;
  const reading = trimmed === null || trimmed === "" ? null : readQuantity(trimmed, field);
  const asked = reading !== null && "ask" in reading ? reading : null;
  const wrong =
    reading !== null && refused(reading)
      ? reading.say
      : trimmed === "" && optional !== true
        ? "Something has to stand here."
        : null;
  const understood = reading !== null && "ok" in reading ? (reading as Understood) : null;
  const take = (typed: string) => {
    setText(typed);
    const clean = typed.trim();
    if (clean === "") {
      if (optional === true) onValue(null);
      return;
    }
    const read = readQuantity(clean, field);
    if ("ok" in read && read.ok) onValue(read.value);
  };
  const choose = (chosen: Understood) => {
    setText(null);
    onValue(chosen.value);
  };
  return (
    <div class="blank" data-wrong={wrong !== null}>
      <label class={quiet === true ? "unseen" : "blank-label"} for={id}>
        {label}
      </label>
      <input
        id={id}
        class="blank-box figures"
        type="text"
        inputMode="text"
        autocomplete="off"
        autocapitalize="off"
        spellcheck={false}
        value={text ?? (value === null ? "" : show(value))}
        aria-invalid={wrong !== null}
        aria-describedby={`${id}-says`}
        onFocus={(event) => event.currentTarget.select()}
        onInput={(event) => take(event.currentTarget.value)}
        onBlur={() => {
          // What was understood now reads as it is kept; what was not stays to be mended.
          if (wrong === null && asked === null) setText(null);
        }}
      />
      <p class="blank-says" id={`${id}-says`} aria-live="polite">
        {wrong ??
          asked?.ask ??
          (understood !== null && trimmed !== understood.understood ? understood.understood : hint)}
      </p>
      {asked !== null && (
        <div class="blank-readings">
          {asked.readings.map((one) => (
            <button
              key={one.understood}
              type="button"
              class="quiet-button"
              onClick={() => choose(one)}
            >
              {one.understood}
            </button>
          ))}
        </div>
      )}
    </div>
  );
}
