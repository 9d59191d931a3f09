import type { ComponentChildren } from "preact";

/** One thing that can be chosen. */
export interface Option<T> {
  value: T;
  label: ComponentChildren;
  /** A second line, smaller. */
  note?: ComponentChildren | undefined;
  /** A drawing before the words. */
  mark?: ComponentChildren | undefined;
}

/** What a {@link Choice} offers. */
export interface ChoiceProps<T> {
  label: string;
  options: readonly Option<T>[];
  chosen: T | readonly T[] | null;
  onChoose: (value: T) => void;
  /** Columns side by side; as many as fit when not given. */
  columns?: number | undefined;
  /** Whether the label is only for readers of the screen. */
  quiet?: boolean | undefined;
}

/** A few large buttons of which one, or several, are chosen. */
export function Choice<T extends string | number>(props: ChoiceProps<T>) {
  const { label, options, chosen, onChoose, columns, quiet } = props;
  const isChosen = (value: T) =>
    Array.isArray(chosen) ? chosen.includes(value) : chosen === value;
  return (
    <fieldset class="choice">
      <legend class={quiet === true ? "unseen" : "choice-label"}>{label}</legend>
      <div
        class={columns === undefined ? "choice-options" : "choice-options choice-columns"}
        style={columns === undefined ? {} : { "--columns": String(columns) }}
      >
        {options.map(({ value, label, note, mark }) => (
          <button
            key={value}
            type="button"
            class="choice-option"
            aria-pressed={isChosen(value)}
            onClick={() => onChoose(value)}
          >
            {mark !== undefined && <span class="choice-mark">{mark}</span>}
            <span class="choice-words">
              <bdi class="choice-name">{label}</bdi>
              {note !== undefined && <span class="choice-note figures">{note}</span>}
            </span>
          </button>
        ))}
      </div>
    </fieldset>
  );
}
