import type { Option } from "./Choice.tsx";
import { UNITS, type Unit } from "./unit.ts";

/** An amount among others; the chosen one is typed on the keypad. */
export interface Field<T> extends Option<T> {
  unit: Unit;
  amount: number | null;
}

/** What {@link Fields} shows. */
export interface FieldsProps<T> {
  label: string;
  fields: readonly Field<T>[];
  chosen: T;
  onChoose: (value: T) => void;
  /** How an empty one reads; a dash when not given. */
  empty?: string | undefined;
}

/** Amounts as large buttons: a tap puts one on the keypad. */
export function Fields<T extends string>(props: FieldsProps<T>) {
  const { label, fields, chosen, onChoose } = props;
  return (
    <fieldset class="choice">
      <legend class="choice-label">{label}</legend>
      <div class="choice-options fields">
        {fields.map(({ value, label, note, mark, unit, amount }) => (
          <button
            key={value}
            type="button"
            class="choice-option"
            aria-pressed={chosen === value}
            onClick={() => onChoose(value)}
          >
            {mark !== undefined && <span class="choice-mark">{mark}</span>}
            <span class="choice-words">
              <bdi class="choice-name">{label}</bdi>
              {note !== undefined && <span class="choice-note figures">{note}</span>}
            </span>
            <span class="field-amount figures" data-empty={amount === null}>
              {amount === null ? (props.empty ?? "none") : UNITS[unit].say(amount)}
            </span>
          </button>
        ))}
      </div>
    </fieldset>
  );
}
