import "./pair.css";
import { useEffect, useRef, useState } from "preact/hooks";
import { askToPair, codeIn, codeLength } from "./ask.ts";

/** What a {@link Pair} tells. */
export interface PairProps {
  onToken: (token: string) => void;
}

const digits = ["1", "2", "3", "4", "5", "6", "7", "8", "9"];
const places = Array.from({ length: codeLength }, (_, place) => place);

/** Lets this tablet in with the six digits that Pourside shows on its computer. */
export function Pair({ onToken }: PairProps) {
  const [code, setCode] = useState("");
  const [asking, setAsking] = useState(false);
  const [refusal, setRefusal] = useState<string | null>(null);

  const ask = async (whole: string) => {
    setAsking(true);
    setRefusal(null);
    const paired = await askToPair(whole);
    setAsking(false);
    if (paired.ok) {
      if (location.hash !== "") {
        history.replaceState(null, "", location.pathname + location.search);
      }
      onToken(paired.token);
      return;
    }
    setCode("");
    setRefusal(paired.say);
  };
  const fill = (next: string) => {
    const whole = next.slice(0, codeLength);
    setCode(whole);
    if (whole.length === codeLength) void ask(whole);
    else if (whole !== "") setRefusal(null);
  };
  const press = (key: string) => {
    if (asking) return;
    fill(key === "rub" ? code.slice(0, -1) : code + key);
  };

  const latest = useRef({ press, fill });
  latest.current = { press, fill };
  useEffect(() => {
    const fromAddress = () => {
      const given = codeIn(location.hash);
      if (given !== null) latest.current.fill(given);
    };
    const onKey = (event: KeyboardEvent) => {
      if (event.ctrlKey || event.metaKey || event.altKey) return;
      if (/^\d$/.test(event.key)) latest.current.press(event.key);
      else if (event.key === "Backspace") latest.current.press("rub");
    };
    const onPaste = (event: ClipboardEvent) => {
      const pasted = (event.clipboardData?.getData("text") ?? "").replaceAll(/\D/g, "");
      if (pasted.length === codeLength) latest.current.fill(pasted);
    };
    fromAddress();
    addEventListener("hashchange", fromAddress);
    document.addEventListener("keydown", onKey);
    document.addEventListener("paste", onPaste);
    return () => {
      removeEventListener("hashchange", fromAddress);
      document.removeEventListener("keydown", onKey);
      document.removeEventListener("paste", onPaste);
    };
  }, []);

  return (
    <main class="pair">
      <div class="pair-words">
        <h1>Pair this tablet</h1>
        <p class="pair-lead">
          Type the six digits that Pourside shows on the computer where it was started. A tablet
          that is paired already can show a new code, too.
        </p>
        <p
          class="pair-code figures"
          role="img"
          aria-label={code === "" ? "No digit typed yet" : `Typed so far: ${[...code].join(" ")}`}
        >
          {places.map((place) => (
            <span key={place} class="pair-place" data-next={place === code.length}>
              {code[place] ?? ""}
            </span>
          ))}
        </p>
        <p class="pair-said" role="status">
          {asking ? "Asking Pourside …" : refusal}
        </p>
      </div>
      <div class="pair-keys">
        {digits.map((digit) => (
          <button key={digit} type="button" onClick={() => press(digit)}>
            {digit}
          </button>
        ))}
        <span />
        <button type="button" onClick={() => press("0")}>
          0
        </button>
        <button type="button" class="pair-rub" onClick={() => press("rub")}>
          Rub out
        </button>
      </div>
    </main>
  );
}
