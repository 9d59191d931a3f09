import { readFileSync } from "node:fs";
import type { Command, PourWish } from "../../shared/session/command.ts";
import { type Decision, decide } from "../../shared/session/decide.ts";
import type { RecordedEvent, SessionEvent } from "../../shared/session/event.ts";
import type { Setup } from "../../shared/session/setup.ts";
import { openSheet, type Sheet } from "../../shared/session/sheet.ts";
import { currentStep, fold, type State, step } from "../../shared/session/state.ts";

const sheetFile = new URL("../../server/session/harbour-at-dusk.json", import.meta.url);

/** The demonstration pour sheet as it stands in its file. */
export function harbourSheet(): Sheet {
  return JSON.parse(readFileSync(sheetFile, "utf8"));
}

export function setupOf(sheet: unknown): Setup {
  const opened = openSheet(sheet);
  if (!opened.ok) throw new Error(opened.problems.map(({ at, say }) => `${at}: ${say}`).join("\n"));
  return opened.setup;
}

/** A bench without a server: commands are decided and folded at once, a second apart. */
export class Desk {
  state: State;
  readonly events: RecordedEvent[] = [];
  private at = Date.UTC(2031, 4, 17, 18);

  constructor(setup: Setup = setupOf(harbourSheet())) {
    this.events.push(this.recorded({ type: "opened", setup }, 1));
    this.state = fold("session", this.events);
  }

  static live(setup?: Setup): Desk {
    const desk = new Desk(setup);
    desk.must({ type: "goLive" });
    return desk;
  }

  private recorded(event: SessionEvent, seq: number): RecordedEvent {
    return { seq, at: this.at, serverAt: this.at, event };
  }

  /** What becomes of a command, `afterMs` after the last one. */
  try(command: Command, afterMs = 1000): Decision {
    this.at += afterMs;
    return this.take(decide(this.state, command, this.at));
  }

  /** Folds what was decided elsewhere. */
  take(decision: Decision): Decision {
    if (!decision.ok) return decision;
    for (const event of decision.events) {
      const recorded = this.recorded(event, this.state.seq + 1);
      this.events.push(recorded);
      this.state = step(this.state, recorded);
    }
    return decision;
  }

  /** A command that has to be accepted; the sequence number of its last event. */
  must(command: Command): number {
    const decision = this.try(command);
    if (!decision.ok) throw new Error(`${command.type}: ${decision.say}`);
    return this.state.seq;
  }

  /** The sentence of a refusal; accepted commands are an error. */
  refusal(command: Command, afterMs?: number): { code: string; say: string } {
    const decision = this.try(command, afterMs);
    if (decision.ok) throw new Error(`${command.type} was accepted`);
    return { code: decision.code, say: decision.say };
  }

  advance(): number {
    const current = currentStep(this.state);
    if (!current) throw new Error("all steps are done");
    return this.must({ type: "advance", expect: current.id });
  }

  /** Moves on until `step` is current. */
  until(step: string): void {
    while (currentStep(this.state)?.id !== step) this.advance();
  }

  undo(): number {
    return this.must({ type: "undo", expect: this.state.acts.at(-1)?.seq ?? 0 });
  }
}

/** A pour of so much from a bottle over the whole pan, measured. */
export function pourOf(vessel: string, volumeUl: number, more: Partial<PourWish> = {}): PourWish {
  return {
    source: { from: "vessel", vessel, amount: { how: "measured", volumeUl, plusMinusUl: 0 } },
    pan: "A",
    technique: "immersion",
    coverage: 1,
    ...more,
  };
}

/** What ends every timer that runs, so that the session can be closed. */
export function endTimers(state: State): Command[] {
  return Object.values(state.bench.timers)
    .filter((timer) => timer.stoppedAt === null)
    .map((timer) => ({ type: "timerStop", timer: timer.id }));
}
