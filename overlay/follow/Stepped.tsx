import { useEffect, useId, useRef, useState } from "preact/hooks";
import { MINUS } from "../../shared/dye/display.ts";
import { type Field, readQuantity, type Understood } from "../../shared/dye/quantity.ts";
import { type Refusal, refused } from "../../shared/dye/refusal.ts";

type SteppedProps = {
  label: string;
  unit: string;
  /** What the field takes; `value` is in the kind's own unit. */
  field: Field;
  /** What is in force; `null` before there is anything. */
  value: number | null;
  /** A value as it stands in the field. */
  show: (value: number) => string;
  /** What is wrong with a value that the field itself takes. */
  check?: (value: number) => Refusal | null;
  /** A value in a sentence. */
  say: (value: number) => string;
  step: (value: number, way: 1 | -1) => number;
  /** Where the buttons begin when there is no value. */
  first?: number;
  onValue: (value: number) => void;
};

/**
 * A figure that can be typed, in any unit of its kind, or stepped. It says what it understood, asks
 * where there are two readings, and answers what cannot be understood with a sentence; the last good
 * value stays in force.
 */
export function Stepped(props: SteppedProps) {
  const { label, unit, field, value, show, check, say, step, onValue } = props;
  const id = useId();
  const [text, setText] = useState(value === null ? "" : show(value));
  const [typed, setTyped] = useState(false);
  const mine = useRef(value);

  useEffect(() => {
    // Changed from outside: what stands in the field is no longer what is in force.
    if (Object.is(mine.current, value)) return;
    mine.current = value;
    setText(value === null ? "" : show(value));
    setTyped(false);
  }, [value, show]);

  const read = (typed: string) => {
    const reading = readQuantity(typed, field);
    if (refused(reading) || "ask" in reading) return reading;
    return check?.(reading.value) ?? reading;
  };
  const reading = typed ? read(text) : null;
  const asked = reading !== null && "ask" in reading ? reading : null;
  const wrong = reading !== null && refused(reading) ? reading.say : (asked?.ask ?? null);
  const understood = reading !== null && "ok" in reading ? reading.understood : null;
  const take = (next: number) => {
    mine.current = next;
    if (!Object.is(next, value)) onValue(next);
  };
  const type = (typed: string) => {
    setText(typed);
    setTyped(true);
    const answer = read(typed);
    if ("ok" in answer) take(answer.value);
  };
  const put = (next: number) => {
    setText(show(next));
    setTyped(false);
    take(next);
  };
  const press = (way: 1 | -1) => put(value === null ? (props.first ?? 1) : step(value, way));
  return (
    <div class="stepped">
      <label for={id}>{label}</label>
      <button type="button" class="press" aria-label={`${label}: less`} onClick={() => press(-1)}>
        {MINUS}
      </button>
      <input
        id={id}
        type="text"
        autoComplete="off"
        autocapitalize="off"
        spellcheck={false}
        class="figures"
        value={text}
        aria-invalid={wrong !== null}
        aria-describedby={`${id}-say`}
        onInput={(event) => type(event.currentTarget.value)}
      />
      <span class="unit" aria-hidden="true">
        {unit}
      </span>
      <button type="button" class="press" aria-label={`${label}: more`} onClick={() => press(1)}>
        +
      </button>
      <p class={wrong === null ? "understood" : "complaint"} id={`${id}-say`} aria-live="polite">
        {wrong !== null && (
          <>
            {wrong}
            {value !== null && <> Still counting with {say(value)}.</>}
          </>
        )}
        {understood !== null && `Understood: ${understood}`}
      </p>
      {asked !== null && (
        <p class="readings">
          {asked.readings.map((one: Understood) => (
            <button key={one.understood} type="button" class="quiet" onClick={() => put(one.value)}>
              {one.understood}
            </button>
          ))}
        </p>
      )}
    </div>
  );
}
