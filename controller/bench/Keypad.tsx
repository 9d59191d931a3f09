import "./keypad.css";
import type { ComponentChildren } from "preact";
import { useId, useLayoutEffect, useReducer, useRef } from "preact/hooks";
import { type Refusal, refused } from "../../shared/dye/refusal.ts";
import { keyOf, typed } from "./typing.ts";
import { UNITS, type Unit } from "./unit.ts";

/** What a {@link Keypad} asks for. */
export interface KeypadProps {
  /** What the amount is for, such as "Saltmarsh, how much?". */
  label: ComponentChildren;
  unit: Unit;
  /**
   * The amount so far: uL for mL, ug for g, drops, % w/v, °C, seconds for min. Null for nothing,
   * or for a text that is no amount.
   */
  value: number | null;
  /** Gets the amount after every key, or null while the text is none. */
  onChange: (value: number | null) => void;
  /** Whether nothing at all is an answer: an empty bottle holds 0 mL. */
  zero?: boolean | undefined;
  /** A sentence on what is wrong with the amount that the keypad cannot know. */
  problem?: string | null | undefined;
}

/** Places that fit at full size. */
const roomy = 7;

/** Keypads on screen, the last one on top: only that one listens to a real keyboard. */
const listening: symbol[] = [];

/**
 * Large number keys for an amount, with what was understood said back. A real keyboard works too.
 * Give it a `key` where one keypad serves several amounts in turn.
 */
export function Keypad(props: KeypadProps) {
  const { label, unit, value, onChange, problem } = props;
  const words = UNITS[unit];
  const id = useId();
  const draft = useRef({ text: "", fresh: true });
  const [, redraw] = useReducer((count: number) => count + 1, 0);

  const read = (text: string): number | Refusal | null => {
    if (text === "") return null;
    const answer = words.read(text);
    const nothing = refused(answer) && answer.code.endsWith(".zero");
    return nothing && props.zero === true ? 0 : answer;
  };
  const meant = (text: string): number | null => {
    const answer = read(text);
    return refused(answer) ? null : answer;
  };

  // An amount set from outside, by a preset or after the action, replaces what was typed.
  if (meant(draft.current.text) !== value) {
    draft.current = { text: value === null ? "" : words.write(value), fresh: true };
  }
  const { text, fresh } = draft.current;
  const answer = read(text);

  const press = (key: string) => {
    const next = typed(draft.current.text, key, draft.current.fresh);
    draft.current = { text: next, fresh: false };
    onChange(meant(next));
    redraw(0);
  };

  const latest = useRef(press);
  latest.current = press;
  // Before the next paint, so that a key pressed right after a tap finds its keypad.
  useLayoutEffect(() => {
    const me = Symbol("keypad");
    listening.push(me);
    const onKey = (event: KeyboardEvent) => {
      if (listening.at(-1) !== me || event.ctrlKey || event.metaKey || event.altKey) return;
      if (event.target instanceof Element && event.target.closest("input, textarea, select")) {
        return;
      }
      const key = keyOf(event.key, event.code);
      if (key === null) return;
      event.preventDefault();
      latest.current(key);
    };
    document.addEventListener("keydown", onKey);
    return () => {
      document.removeEventListener("keydown", onKey);
      listening.splice(listening.indexOf(me), 1);
    };
  }, []);

  const saying = refused(answer)
    ? answer.say
    : (problem ?? (answer === null ? "" : words.say(answer)));
  const wrong = refused(answer) || (problem !== null && problem !== undefined);

  return (
    <section class="keypad" aria-labelledby={id}>
      <div class="keypad-read">
        <h3 class="keypad-label" id={id} dir="auto">
          {label}
        </h3>
        <p
          class="keypad-figure figures-first"
          data-fresh={fresh && text !== ""}
          data-empty={text === ""}
          data-long={text.length > roomy}
          aria-hidden="true"
        >
          <span class="keypad-text">{text === "" ? "0" : text.replace("-", "\u2212")}</span>
          <span class="keypad-unit">{unit}</span>
        </p>
        <p class="keypad-said figures" data-wrong={wrong} aria-live="polite">
          {saying}
        </p>
      </div>
      <div class="keypad-keys">
        {["1", "2", "3"].map((digit) => (
          <DigitKey key={digit} digit={digit} press={press} />
        ))}
        <button type="button" class="keypad-tall" onClick={() => press("rub")}>
          Rub out
        </button>
        {["4", "5", "6", "7", "8", "9"].map((digit) => (
          <DigitKey key={digit} digit={digit} press={press} />
        ))}
        <button
          type="button"
          class="keypad-tall keypad-half"
          disabled={!words.divisible}
          onClick={() => press("½")}
          aria-label="and a half"
        >
          ½
        </button>
        <button type="button" class="keypad-wide" onClick={() => press("0")}>
          0
        </button>
        <button
          type="button"
          disabled={!words.divisible}
          onClick={() => press(".")}
          aria-label="decimal point"
        >
          .
        </button>
      </div>
    </section>
  );
}

function DigitKey({ digit, press }: { digit: string; press: (key: string) => void }) {
  return (
    <button type="button" onClick={() => press(digit)}>
      {digit}
    </button>
  );
}
