import type { Command } from "../../shared/session/command.ts";
import { decide } from "../../shared/session/decide.ts";
import type { RecordedEvent, SessionEvent } from "../../shared/session/event.ts";
import { openSheet } from "../../shared/session/sheet.ts";
import { currentStep, fold, type State, step } from "../../shared/session/state.ts";
import demonstration from "../session/harbour-at-dusk.json" with { type: "json" };

/** How long the demonstration's dyer talks about a pour, ms. */
const pourMs = 95_000;
/** And how long a tap takes, ms. */
const tapMs = 5_000;

/**
 * The demonstration session poured to its end from `startAt` (ms since 1970), by the commands that
 * a tablet sends and at the pace of a bench: as planned, but for one amount, one pour that nobody
 * planned and one pour left out.
 */
export function pouredDemonstration(startAt: number): { state: State; events: RecordedEvent[] } {
  const opened = openSheet(demonstration);
  if (!opened.ok) throw new Error("The demonstration session cannot be read.");
  const bench = new Evening(startAt, { type: "opened", setup: opened.setup });
  bench.does({ type: "goLive" });
  bench.does({ type: "note", text: "Wet the yarn out for half an hour first.", seen: "public" });
  let pours = 0;
  for (let next = currentStep(bench.state); next !== null; next = currentStep(bench.state)) {
    if (next.kind === "pour") {
      pours += 1;
      bench.waits(pourMs);
      if (pours === 3) adjust(bench, next.id);
      if (pours === 13) {
        bench.does({ type: "skip", expect: next.id });
        continue;
      }
    }
    bench.does({ type: "advance", expect: next.id });
    if (next.kind === "heat" && next.wait) bench.waits(next.seconds * 1000);
    if (pours === 10 && next.kind === "pour") bench.does(improvised);
  }
  bench.waits(20 * 60_000);
  for (const pan of Object.keys(bench.state.bench.pans)) {
    bench.does({ type: "look", pan, look: "clear" });
  }
  bench.does({ type: "close" });
  return { state: bench.state, events: bench.events };
}

const improvised: Command = {
  type: "pour",
  pour: {
    source: {
      from: "vessel",
      vessel: "gullwing",
      amount: { how: "measured", volumeUl: 15_000, plusMinusUl: 0 },
    },
    pan: "B",
    skeins: ["3"],
    technique: "dripped",
    coverage: 0.2,
    placement: "over the weed line",
  },
};

/** One amount other than planned, as happens. */
function adjust(bench: Evening, id: string): void {
  const planned = bench.state.setup.steps.find((step) => step.id === id);
  if (planned?.kind !== "pour" || planned.pour.source.from !== "vessel") return;
  const { amount } = planned.pour.source;
  const volumeUl = amount.volumeUl + 2_000;
  bench.does({
    type: "adjust",
    expect: id,
    amount: { of: "volume", amount: { ...amount, volumeUl } },
  });
}

/** A bench without a server: a command is decided and folded at once. */
class Evening {
  state: State;
  readonly events: RecordedEvent[];

  constructor(
    private at: number,
    opened: SessionEvent,
  ) {
    this.events = [{ seq: 1, at, serverAt: at, event: opened }];
    this.state = fold("demonstration", this.events);
  }

  /** Ends every timer that is up in the meantime. */
  waits(ms: number): void {
    const until = this.at + ms;
    const due = Object.values(this.state.bench.timers)
      .filter(({ stoppedAt }) => stoppedAt === null)
      .map(({ id, startedAt, seconds }) => ({ id, at: startedAt + seconds * 1000 }))
      .filter(({ at }) => at <= until)
      .sort((a, b) => a.at - b.at);
    for (const { id, at } of due) {
      this.at = Math.max(this.at, at - tapMs);
      this.does({ type: "timerStop", timer: id });
    }
    this.at = Math.max(this.at, until);
  }

  does(command: Command): void {
    this.at += tapMs;
    const decision = decide(this.state, command, this.at);
    if (!decision.ok) throw new Error(`The demonstration stopped: ${decision.say}`);
    for (const event of decision.events) {
      const recorded = { seq: this.state.seq + 1, at: this.at, serverAt: this.at, event };
      this.events.push(recorded);
      this.state = step(this.state, recorded);
    }
  }
}
