import "./form.css";
import { useId } from "preact/hooks";

/** A list of which one is chosen. */
export interface SelectProps<T extends string> {
  label: string;
  options: readonly { value: T; label: string }[];
  value: T;
  onValue: (value: T) => void;
  hint?: string | undefined;
  quiet?: boolean | undefined;
}

export function Select<T extends string>(props: SelectProps<T>) {
  const { label, options, value, onValue, hint, quiet } = props;
  const id = useId();
  return (
    <div class="blank">
      <label class={quiet === true ? "unseen" : "blank-label"} for={id}>
        {label}
      </label>
      <select
        id={id}
        class="blank-box"
        value={value}
        onChange={(event) => {
          const chosen = options.find((option) => option.value === event.currentTarget.value);
          if (chosen) onValue(chosen.value);
        }}
      >
        {options.map((option) => (
          <option key={option.value} value={option.value} selected={option.value === value}>
            {option.label}
          </option>
        ))}
      </select>
      {hint !== undefined && <p class="blank-says">{hint}</p>}
    </div>
  );
}
