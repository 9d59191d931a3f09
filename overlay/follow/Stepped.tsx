import { useEffect, useId, useRef, useState } from "preact/hooks";
import { MINUS } from "../../shared/dye/display.ts";
import { type Refusal, refused } from "../../shared/dye/refusal.ts";

type SteppedProps = {
  label: string;
  unit: string;
  /** What is in force; `null` before there is anything. */
  value: number | null;
  /** A value as it stands in the field. */
  show: (value: number) => string;
  read: (text: string) => number | Refusal;
  /** A value in a sentence. */
  say: (value: number) => string;
  step: (value: number, way: 1 | -1) => number;
  /** Where the buttons begin when there is no value. */
  first?: number;
  onValue: (value: number) => void;
};

/**
 * A figure that can be typed or stepped. What cannot be understood is answered with a sentence, and
 * the last good value stays in force.
 */
export function Stepped(props: SteppedProps) {
  const { label, unit, value, show, read, say, step, onValue } = props;
  const id = useId();
  const [text, setText] = useState(value === null ? "" : show(value));
  const [complaint, setComplaint] = useState<string | null>(null);
  const mine = useRef(value);

  useEffect(() => {
    // Changed from outside: what stands in the field is no longer what is in force.
    if (Object.is(mine.current, value)) return;
    mine.current = value;
    setText(value === null ? "" : show(value));
    setComplaint(null);
  }, [value, show]);

  const type = (typed: string) => {
    setText(typed);
    const answer = read(typed);
    if (refused(answer)) {
      setComplaint(answer.say);
      return;
    }
    setComplaint(null);
    take(answer);
  };
  const take = (next: number) => {
    mine.current = next;
    if (!Object.is(next, value)) onValue(next);
  };
  const press = (way: 1 | -1) => {
    const next = value === null ? (props.first ?? 1) : step(value, way);
    setText(show(next));
    setComplaint(null);
    take(next);
  };
  return (
    <div class="stepped">
      <label for={id}>{label}</label>
      <button type="button" class="press" aria-label={`${label}: less`} onClick={() => press(-1)}>
        {MINUS}
      </button>
      <input
        id={id}
        type="text"
        inputMode="decimal"
        autoComplete="off"
        class="figures"
        value={text}
        aria-invalid={complaint !== null}
        aria-describedby={`${id}-say`}
        onInput={(event) => type(event.currentTarget.value)}
      />
      <span class="unit" aria-hidden="true">
        {unit}
      </span>
      <button type="button" class="press" aria-label={`${label}: more`} onClick={() => press(1)}>
        +
      </button>
      <p class="complaint" id={`${id}-say`} aria-live="polite">
        {complaint !== null && (
          <>
            {complaint}
            {value !== null && <> Still counting with {say(value)}.</>}
          </>
        )}
      </p>
    </div>
  );
}
