import "./form.css";

/** Something that is so, or not. */
export interface TickProps {
  label: string;
  value: boolean;
  onValue: (value: boolean) => void;
}

export function Tick({ label, value, onValue }: TickProps) {
  return (
    <label class="blank-tick">
      <input
        type="checkbox"
        checked={value}
        onChange={(event) => onValue(event.currentTarget.checked)}
      />
      <span>{label}</span>
    </label>
  );
}
