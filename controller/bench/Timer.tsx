import { useEffect, useState } from "preact/hooks";
import { hazardsOf } from "../../shared/cautions/hazards.ts";
import { TimeRule } from "../../shared/draw/TimeRule.tsx";
import type { BenchTimer } from "../../shared/session/bench.ts";
import type { Command } from "../../shared/session/command.ts";
import { sayHeating, sayMinutes, sayPan } from "../../shared/session/say.ts";
import type { Heating } from "../../shared/session/setup.ts";
import { Action } from "./Action.tsx";
import type { BathFormProps } from "./bathForm.ts";
import { Caution } from "./Caution.tsx";
import { Choice } from "./Choice.tsx";
import { Form } from "./Form.tsx";
import { freshId } from "./fresh.ts";
import { Keypad } from "./Keypad.tsx";
import { sentence } from "./sentence.ts";
import { useAct } from "./useAct.ts";

const heatings: readonly { value: Heating; label: string }[] = [
  { value: "stove", label: "Heat" },
  { value: "steam", label: "Steam" },
  { value: "oven", label: "Oven" },
  { value: "rest", label: "Rest" },
];
const waits: Readonly<Record<Heating, readonly string[]>> = {
  stove: ["the bath to clear", "the dye to strike", "the bath to warm up"],
  steam: ["the dye to set", "the bath to clear"],
  oven: ["the dye to set", "the bath to clear"],
  rest: ["the yarn to cool in its bath", "the yarn to soak"],
};
const moreSeconds = 5 * 60;

/** A timer for heat, steam or rest; those that run, with five minutes more and an end. */
export function Timer({ state, pan, head }: BathFormProps) {
  const { link, said, busy, act, refusalOf, clear } = useAct();
  const [how, setHow] = useState<Heating>("stove");
  const [seconds, setSeconds] = useState<number | null>(25 * 60);
  const [chosenWait, setWait] = useState<string | null>(null);
  const [, tick] = useState(0);
  useEffect(() => {
    const beat = setInterval(() => tick((count) => count + 1), 1_000);
    return () => clearInterval(beat);
  }, []);
  const offered = waits[how];
  const waitingFor = chosenWait !== null && offered.includes(chosenWait) ? chosenWait : offered[0];
  const tooLong =
    seconds !== null && seconds > 48 * 3600
      ? "That is longer than two days. Check the minutes."
      : null;
  const command: Command | null =
    seconds === null
      ? null
      : {
          type: "timerStart",
          timer: freshId("timer"),
          how,
          pan,
          seconds,
          waitingFor: waitingFor ?? "",
        };
  const running = Object.values(state.bench.timers).filter(
    (timer) => timer.stoppedAt === null && timer.pan === pan,
  );
  const send = async () => {
    if (command === null || seconds === null) return;
    await act(
      command,
      `${sentence(sayHeating(how))} of ${sayPan(state, pan)} runs: ${sayMinutes(seconds)}.`,
    );
  };
  return (
    <Form
      title="Bath"
      side={
        <>
          <Keypad
            label={`How long ${sayPan(state, pan)} waits`}
            unit="min"
            value={seconds}
            onChange={(next) => {
              clear();
              setSeconds(next);
            }}
            problem={tooLong}
          />
          <Action
            onDo={send}
            missing={seconds === null ? "Type the minutes." : (tooLong ?? refusalOf(command))}
            told={tooLong}
            busy={busy}
            said={said}
          >
            Start {sayHeating(how)}
            {seconds === null ? "" : `, ${sayMinutes(seconds)}`}
          </Action>
        </>
      }
    >
      {head}
      {how !== "rest" && <Caution hazards={hazardsOf({ kind: "heat", how })} />}
      {running.map((timer) => (
        <Running
          key={timer.id}
          timer={timer}
          now={link.now()}
          onMore={() =>
            act(
              { type: "timerExtend", timer: timer.id, seconds: moreSeconds },
              `${sayMinutes(moreSeconds)} more.`,
            )
          }
          onEnd={() => act({ type: "timerStop", timer: timer.id }, "The timer is ended.")}
        />
      ))}
      <Choice label="How" columns={4} options={heatings} chosen={how} onChoose={setHow} />
      <Choice
        label="Waiting for"
        options={offered.map((value) => ({ value, label: value }))}
        chosen={waitingFor ?? null}
        onChoose={setWait}
      />
    </Form>
  );
}

function Running(props: { timer: BenchTimer; now: number; onMore: () => void; onEnd: () => void }) {
  const { timer, now, onMore, onEnd } = props;
  const leftS = timer.seconds - (now - timer.startedAt) / 1_000;
  const minutes = Math.ceil(Math.abs(leftS) / 60);
  return (
    <div class="running">
      <p class="figures">
        {sentence(sayHeating(timer.how))},{" "}
        {leftS >= 0 ? `${minutes} min left` : `over since ${minutes} min`}
      </p>
      <TimeRule leftS={leftS} totalS={timer.seconds} width={200} height={44} tone="wool" />
      <button type="button" class="quiet-button" onClick={onMore}>
        {sayMinutes(moreSeconds)} more
      </button>
      <button type="button" class="quiet-button" onClick={onEnd}>
        End it
      </button>
    </div>
  );
}
