/** What a {@link NameField} holds. */
export interface NameFieldProps {
  label: string;
  /** The name it gets when nothing is typed. */
  offered: string;
  value: string;
  onChange: (value: string) => void;
}

/** A name that need not be typed: one is offered. */
export function NameField({ label, offered, value, onChange }: NameFieldProps) {
  return (
    <label class="name-field">
      <span>{label}</span>
      <input
        type="text"
        dir="auto"
        maxLength={80}
        autocomplete="off"
        placeholder={offered}
        value={value}
        onInput={(event) => onChange(event.currentTarget.value)}
      />
    </label>
  );
}
