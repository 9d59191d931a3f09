import "./form.css";
import { useId } from "preact/hooks";

/** A field for words. */
export interface WordsProps {
  label: string;
  value: string;
  onValue: (value: string) => void;
  hint?: string | undefined;
  /** What is wrong with it, in a sentence. */
  wrong?: string | null | undefined;
  most?: number | undefined;
  quiet?: boolean | undefined;
}

export function Words({ label, value, onValue, hint, wrong, most, quiet }: WordsProps) {
  const id = useId();
  return (
    <div class="blank" data-wrong={Boolean(wrong)}>
      <label class={quiet === true ? "unseen" : "blank-label"} for={id}>
        {label}
      </label>
      <input
        id={id}
        class="blank-box"
        type="text"
        autocomplete="off"
        maxLength={most ?? 80}
        value={value}
        aria-invalid={Boolean(wrong)}
        aria-describedby={`${id}-says`}
        onInput={(event) => onValue(event.currentTarget.value)}
      />
      <p class="blank-says" id={`${id}-says`}>
        {wrong ?? hint}
      </p>
    </div>
  );
}
