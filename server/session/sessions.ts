import { randomUUID } from "node:crypto";
import type { Refusal } from "../../shared/dye/refusal.ts";
import { replan } from "../../shared/plan/replan.ts";
import { sameValue } from "../../shared/prepare/merge.ts";
import type { Command, Envelope } from "../../shared/session/command.ts";
import { type Decision, decide } from "../../shared/session/decide.ts";
import type { RecordedEvent, SessionEvent } from "../../shared/session/event.ts";
import type { Setup } from "../../shared/session/setup.ts";
import { BrokenRecord, fold, type State, step } from "../../shared/session/state.ts";
import type { Answer, SessionLine } from "../../shared/session/wire.ts";
import { answered } from "../record/answered.ts";
import {
  preparationStream,
  RecordProblem,
  type SessionRecord,
  type StoredEvent,
} from "../record/record.ts";

const benchKey = "onBench";
/** A tap cannot lie in the future; a tablet's clock that was never corrected may say so. */
const aheadMs = 2000;

export type Happening =
  | { kind: "events"; session: string; events: readonly RecordedEvent[]; state: State }
  | { kind: "bench"; state: State };

/**
 * The single writer: checks a command against the session's state, puts its events on disk and
 * only then tells anybody. Knows nothing of sockets.
 */
export class Sessions {
  private readonly states = new Map<string, State>();
  private readonly listeners: ((happening: Happening) => void)[] = [];

  constructor(
    private readonly record: SessionRecord,
    private readonly clock: () => number = Date.now,
    private readonly zone: string = Intl.DateTimeFormat().resolvedOptions().timeZone,
  ) {}

  listen(listener: (happening: Happening) => void): void {
    this.listeners.push(listener);
  }

  /** The session on the bench: the one that overlay and follow page show. */
  onBench(): State | null {
    const id = this.record.setting(benchKey);
    return id === undefined ? null : this.state(id);
  }

  /** State of a session, or `null` when the record has none of that name. */
  state(id: string): State | null {
    const known = this.states.get(id);
    if (known) return known;
    const stored = this.record.events(id);
    if (stored.length === 0) return null;
    const state = foldStored(id, stored);
    this.states.set(id, state);
    return state;
  }

  /** The session that was opened last, whether it can be read or not. */
  latest(): string | null {
    return this.record.sessions().at(-1)?.id ?? null;
  }

  list(): SessionLine[] {
    const bench = this.record.setting(benchKey);
    return this.record.sessions().flatMap(({ id, openedAt, lastAt }) => {
      const state = this.stateOrNothing(id);
      if (!state) return [];
      const { phase, setup } = state;
      return [{ id, name: setup.name, phase, openedAt, lastAt, onBench: id === bench }];
    });
  }

  /** One session that cannot be folded must not hide the others; it stays in the record. */
  private stateOrNothing(id: string): State | null {
    try {
      return this.state(id);
    } catch (error) {
      if (!(error instanceof BrokenRecord)) throw error;
      console.error(`Session ${id} cannot be read and was left as it is. ${error.message}`);
      return null;
    }
  }

  /**
   * Opens a session from a pour sheet that has been read, or from a plan, and puts it on the bench.
   */
  open(setup: Setup, plan?: string): string {
    const id = randomUUID();
    const now = this.clock();
    const event: SessionEvent = {
      type: "opened",
      setup,
      ...(plan === undefined ? {} : { plan }),
      zone: this.zone,
    };
    const answer: Answer = { ok: true, session: id, seq: 1 };
    this.record.append(id, 0, randomUUID(), now, now, [event], answer);
    this.putOnBench(id);
    return id;
  }

  /**
   * Puts a session that was recorded elsewhere into the record, under its own id and with its own
   * times; the bench stays as it is. Events that cannot be a session are refused, and so is a session
   * that the record has with other events; one that it has as it is, is said to be there.
   */
  importSession(
    id: string,
    events: readonly RecordedEvent[],
  ): { ok: true; there: boolean } | ({ ok: false } & Refusal) {
    if (id === preparationStream) return { ok: false, ...badName };
    try {
      const stored = this.record.events(id).map(recorded);
      if (stored.length > 0) {
        return sameValue(stored, events)
          ? { ok: true, there: true }
          : { ok: false, ...otherEvents };
      }
      const bodies = events.map(({ at, serverAt, event }) => ({ at, serverAt, body: event }));
      const state = fold(id, events);
      const answer: Answer = { ok: true, session: id, seq: state.seq };
      this.record.bring(id, randomUUID(), bodies, answer);
      this.states.set(id, state);
      return { ok: true, there: false };
    } catch (error) {
      if (error instanceof RecordProblem) {
        return { ok: false, code: error.code, say: error.message };
      }
      if (error instanceof BrokenRecord || error instanceof RangeError) {
        const say = `This record is damaged: ${error.message} Nothing was changed.`;
        return { ok: false, code: "damaged", say };
      }
      throw error;
    }
  }

  /** True when there is such a session. */
  putOnBench(id: string): boolean {
    const state = this.state(id);
    if (!state) return false;
    this.record.setSetting(benchKey, id);
    this.tell({ kind: "bench", state });
    return true;
  }

  /** Events after `seq`, for a client that was away. */
  eventsAfter(session: string, seq: number): RecordedEvent[] {
    return this.record.events(session, seq).map(recorded);
  }

  /**
   * What becomes of a command. A repeated id changes nothing and gets its first answer. When this
   * returns `ok`, the events are on disk.
   */
  handle({ id, session, at, command }: Envelope): Answer {
    return this.once(id, session, at, (state, tapAt) => decide(state, command, tapAt));
  }

  /**
   * What becomes of a press of a one-button device, of which only the state that it meets says what
   * it asks for. Answered as a command is.
   */
  press(
    id: string,
    session: string,
    at: number,
    commandOf: (state: State) => Command | Refusal,
  ): Answer {
    return this.once(id, session, at, (state, tapAt) => {
      const command = commandOf(state);
      return "code" in command ? { ok: false, ...command } : decide(state, command, tapAt);
    });
  }

  /** Brings what was changed in its plan to a session; the answer is that of a command. */
  replan(session: string, setup: Setup): Answer {
    return this.once(randomUUID(), session, this.clock(), (state) => replan(state, setup));
  }

  private once(
    id: string,
    session: string,
    at: number,
    decided: (state: State, tapAt: number) => Decision,
  ): Answer {
    return answered(() => this.take(id, session, at, decided));
  }

  private take(
    id: string,
    session: string,
    at: number,
    decided: (state: State, tapAt: number) => Decision,
  ): Answer {
    const first = this.record.answer(id);
    if (first) return first;
    const state = this.state(session);
    if (!state) return { ok: false, code: "unknownSession", say: "There is no such session." };
    const serverAt = this.clock();
    const tapAt = at > serverAt + aheadMs ? serverAt : at;
    const decision = decided(state, tapAt);
    if (!decision.ok) {
      this.record.refuse(session, id, decision);
      return decision;
    }
    const events = decision.events.map((event, i) => ({
      seq: state.seq + 1 + i,
      at: tapAt,
      serverAt,
      event,
    }));
    const next = events.reduce(step, state);
    const answer: Answer = { ok: true, session, seq: next.seq };
    this.record.append(session, state.seq, id, tapAt, serverAt, decision.events, answer);
    this.states.set(session, next);
    this.tell({ kind: "events", session, events, state: next });
    return answer;
  }

  private tell(happening: Happening): void {
    for (const listener of this.listeners) {
      try {
        listener(happening);
      } catch (error) {
        // What happened is on disk by now; who could not be told of it must not undo that.
        console.error(error);
      }
    }
  }
}

const badName: Refusal = {
  code: "badName",
  say: "No session can have this short name. Nothing was changed.",
};
const otherEvents: Refusal = {
  code: "otherEvents",
  say: "The record has this session already, but not with the same events. It stays as it is, and nothing was changed.",
};

/** @throws BrokenRecord where the events are not such as `handle` writes, in whatever way */
function foldStored(id: string, stored: readonly StoredEvent[]): State {
  try {
    return fold(id, stored.map(recorded));
  } catch (error) {
    if (error instanceof BrokenRecord) throw error;
    throw new BrokenRecord(`The events of session ${id} cannot be read.`, { cause: error });
  }
}

/** The record keeps bodies as they were written by `handle`; the type is that of the writer. */
function recorded({ seq, at, serverAt, body }: StoredEvent): RecordedEvent {
  if (typeof body !== "object" || body === null || !("type" in body)) {
    throw new BrokenRecord(`Event ${seq} of the record cannot be read.`);
  }
  return { seq, at, serverAt, event: body as SessionEvent };
}
