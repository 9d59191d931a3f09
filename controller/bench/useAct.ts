import { useContext, useEffect, useRef, useState } from "preact/hooks";
import type { Command } from "../../shared/session/command.ts";
import { decide } from "../../shared/session/decide.ts";
import { useLink } from "../link/context.tsx";
import { afterwards, OffAirContext } from "../link/offAir.ts";

/** What came of the last thing asked for, to be shown where it was asked. */
export type Said = { tone: "done" | "refused" | "waiting"; say: string };

/** How long an answer may take before it is said that it is still on its way, ms. */
const patienceMs = 1_200;

/** Sends commands and keeps what came of the last one. */
export function useAct() {
  const link = useLink();
  const offAir = useContext(OffAirContext);
  const asked = (command: Command) => (offAir ? afterwards(command) : command);
  const [said, setSaid] = useState<Said | null>(null);
  const [busy, setBusy] = useState(false);
  const turn = useRef(0);
  useEffect(() => {
    return () => {
      turn.current = -1;
    };
  }, []);

  /** Sends a command; `done` is said once it is in the record. True when it is. */
  const act = async (command: Command, done: string): Promise<boolean> => {
    turn.current += 1;
    const mine = turn.current;
    const still = () => turn.current === mine;
    setBusy(true);
    const late = setTimeout(() => {
      if (!still()) return;
      setBusy(false);
      setSaid({
        tone: "waiting",
        say: "Kept on this tablet. It goes into the record once the server can write it.",
      });
    }, patienceMs);
    const answer = await link.send(asked(command));
    clearTimeout(late);
    if (still()) {
      setBusy(false);
      if (answer.ok) setSaid({ tone: "done", say: done });
      // A press that bounced leaves what the first one came to on screen.
      else if (answer.code !== "bounce") setSaid({ tone: "refused", say: answer.say });
    }
    return answer.ok;
  };

  /** What the server would answer, without asking it: a sentence, or null when it would do it. */
  const refusalOf = (command: Command | null): string | null => {
    if (command === null || link.state === null) return null;
    const decision = decide(link.state, asked(command), link.now());
    return decision.ok ? null : decision.say;
  };

  return { link, state: link.state, said, busy, act, refusalOf, clear: () => setSaid(null) };
}
