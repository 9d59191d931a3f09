import { io, type Socket } from "socket.io-client";
import { showCount } from "../../shared/dye/display.ts";
import type { Command, Envelope } from "../../shared/session/command.ts";
import { decide } from "../../shared/session/decide.ts";
import type { SessionEvent } from "../../shared/session/event.ts";
import { BrokenRecord, type State, step } from "../../shared/session/state.ts";
import {
  type Answer,
  type BenchAuth,
  type BenchToServer,
  benchSpace,
  type Presence,
  type ServerToBench,
} from "../../shared/session/wire.ts";
import { offsetOf, type RoundTrip } from "./clock.ts";
import { newId } from "./id.ts";
import { aimedAt, madeId, namedIds, namedSeq, Queue, type Store, type Waiting } from "./queue.ts";
import { nameTap, tell } from "./tell.ts";

/** `refused`: the token no longer holds, and the tablet has to be paired again. */
export type Connection = "connecting" | "on" | "off" | "refused";

/** The last thing worth saying. `quiet` is for what needs no action, such as a bounced press. */
export type Word = { tone: "done" | "refused" | "quiet"; say: string; at: number };

/** What the link knows at one moment; a new one for every change. */
export type LinkValue = {
  /** The server's state with all that is queued already in it. */
  state: State | null;
  /** What the server has said. */
  confirmed: State | null;
  presence: Presence | null;
  connection: Connection;
  /** Since when the server has been out of reach, server's ms; `null` while it is there. */
  offSince: number | null;
  /** Commands that have no answer yet. */
  queued: number;
  /** Whether what is queued would outlive this page; false when the tablet's store is full. */
  kept: boolean;
  /** Whether the server is there but cannot write; what is queued waits until it can. */
  unwritten: boolean;
  word: Word | null;
  /** The server's clock, ms. */
  now(): number;
  /** Settles with the server's answer; away from the server, once it is back. Never rejects. */
  send(command: Command): Promise<Answer>;
  /** Takes the word away, unless it names taps that are lost. */
  hush(): void;
};

export type Link = {
  value(): LinkValue;
  /** @returns what ends the subscription */
  subscribe(listener: () => void): () => void;
  /** Connects at once, or makes sure that a connection that seems to stand does stand. */
  wake(): void;
  close(): void;
};

export type LinkSettings = {
  token: string;
  /** Where commands wait; `null` when the browser has no store. */
  storage: Store | null;
  /** Address of the server; the page's own when not given. */
  socketUrl?: string;
};

const answerMs = 10_000;
const proofMs = 1_500;
const clockTrips = 5;
const clockAgainMs = 300_000;
/** Answers that say nothing against the command: the server could not write it down. */
/** How often a tap at which the server failed is sent again. */
const mostFailures = 5;
const unwrittenCodes: ReadonlySet<string> = new Set(["unwritable", "locked", "failed"]);
/** A refused tap older than this is no longer in the dyer's mind, and is named to her, ms. */
const inMindMs = 2_000;
/** How many lost taps are named before the rest is only counted. */
const namedTaps = 5;

/** How long to wait before a command that could not be written is sent again, ms. */
export function againMs(tries: number): number {
  return Math.min(15_000, 1_000 * 2 ** (tries - 1));
}

export function createLink(settings: LinkSettings): Link {
  return new BenchLink(settings);
}

/** A tap that was not counted: its name, its moment, and the sentence that says why. */
type Lost = { name: string; at: number; why: string };

class BenchLink implements Link {
  private readonly queue: Queue;
  private readonly socket: Socket<ServerToBench, BenchToServer>;
  private readonly answers = new Map<string, (answer: Answer) => void>();
  private readonly listeners = new Set<() => void>();
  private readonly clockTimer: ReturnType<typeof setInterval>;
  private confirmed: State | null = null;
  private state: State | null = null;
  /** Which queued command an act that the server has not numbered yet comes from. */
  private makers = new Map<number, string>();
  private presence: Presence | null = null;
  private connection: Connection = "connecting";
  private offSince: number | null = null;
  private word: Word | null = null;
  private offset: number | null = null;
  private sending = false;
  private proving = false;
  private closed = false;
  /** Taps that were not counted since the queue was last empty. */
  private lost: Lost[] = [];
  /** Whether the word that stands names taps that are lost. */
  private naming = false;
  /** The first command that waits, while it may be with the server already. */
  private underWay: string | null;
  /** The same, once a whole state came that may hold it already. */
  private heldBack: string | null = null;
  /** How often in a row the server could not write, and the wait until it is asked again. */
  private unwrittenTries = 0;
  private unwrittenWhy = "";
  private pause: ReturnType<typeof setTimeout> | null = null;
  /** Commands that were taken but whose events are still on their way, with the number promised. */
  private landing: { envelope: Envelope; seq: number; follows?: undefined }[] = [];
  /** Taps whose events came already, by their moments: the answer to one may come later. */
  private landed = new Set<number>();
  private current: LinkValue;

  constructor({ token, storage, socketUrl }: LinkSettings) {
    this.queue = new Queue(storage);
    // An earlier page may have sent it and gone before the answer.
    this.underWay = this.queue.first?.envelope.id ?? null;
    if (storage === null) this.speak("refused", notKept);
    this.current = this.look();
    this.socket = io(`${socketUrl ?? ""}${benchSpace}`, {
      auth: (give) => give(this.auth(token)),
      transports: ["websocket", "polling"],
      tryAllTransports: true,
      reconnectionDelay: 250,
      reconnectionDelayMax: 2_000,
      timeout: 4_000,
      forceNew: true,
    });
    this.socket.on("connect", () => this.came());
    this.socket.on("disconnect", (reason) => {
      this.went();
      // After a goodbye from the server the client library waits to be asked.
      if (reason === "io server disconnect") setTimeout(() => this.reconnect(), 300);
    });
    this.socket.on("connect_error", (error) => {
      if (codeOf(error) === "token") {
        this.socket.disconnect();
        this.connection = "refused";
        this.changed();
      } else this.went();
    });
    this.socket.on("state", ({ state, now }) => {
      this.offset ??= now - Date.now();
      this.heldBack = this.underWay;
      this.confirm(state);
    });
    this.socket.on("events", ({ session, events }) => {
      let state = this.confirmed;
      // A tap from an earlier bench may still reach its own session; it is not the one shown here.
      if (state === null || state.session !== session) return;
      const { seq: held } = state;
      const next = events.find(({ seq }) => seq > held);
      if (next && next.seq !== held + 1) {
        this.catchUp();
        return;
      }
      try {
        for (const event of events) {
          if (event.seq <= state.seq) continue;
          state = step(state, event);
          if (this.queue.length > 0) this.landed.add(event.at);
        }
      } catch (error) {
        if (!(error instanceof BrokenRecord)) throw error;
        this.startOver();
        return;
      }
      this.confirm(state);
    });
    this.socket.on("presence", (presence) => {
      this.presence = presence;
      this.changed();
    });
    this.clockTimer = setInterval(() => void this.setClock(), clockAgainMs);
  }

  value(): LinkValue {
    return this.current;
  }

  subscribe(listener: () => void): () => void {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  }

  wake(): void {
    if (this.closed || this.connection === "refused") return;
    if (!this.socket.connected) {
      this.reconnect();
      return;
    }
    if (this.proving) return;
    this.proving = true;
    this.socket.timeout(proofMs).emit("clock", (error: Error | null) => {
      this.proving = false;
      // A connection may have died in the tablet's sleep without a sign.
      if (error) this.reconnect();
      else {
        this.catchUp();
        void this.setClock();
      }
    });
  }

  close(): void {
    this.closed = true;
    clearInterval(this.clockTimer);
    this.endPause();
    this.socket.disconnect();
    this.listeners.clear();
  }

  private auth(token: string): BenchAuth {
    const has = this.has();
    return has === null ? { token } : { token, has };
  }

  private has(): { session: string; seq: number } | null {
    return this.confirmed && { session: this.confirmed.session, seq: this.confirmed.seq };
  }

  private catchUp(): void {
    const has = this.has();
    if (has) this.socket.emit("catchUp", has);
  }

  /** Asks for a whole state, for what is held here cannot be continued. */
  private startOver(): void {
    this.confirmed = null;
    this.reconnect();
  }

  private reconnect(): void {
    if (this.closed || this.connection === "refused") return;
    this.socket.disconnect();
    this.socket.connect();
  }

  private came(): void {
    this.connection = "on";
    this.offSince = null;
    this.sending = false;
    this.endPause();
    this.changed();
    this.flush();
    void this.setClock();
  }

  private went(): void {
    if (this.connection === "refused" || this.closed) return;
    this.connection = "off";
    this.offSince ??= this.now();
    this.sending = false;
    this.changed();
  }

  private async setClock(): Promise<void> {
    const trips: RoundTrip[] = [];
    for (let i = 0; i < clockTrips && this.socket.connected; i++) {
      const leftAt = Date.now();
      try {
        const serverNow: number = await this.socket.timeout(proofMs).emitWithAck("clock");
        trips.push({ leftAt, backAt: Date.now(), serverNow });
      } catch {
        break;
      }
    }
    this.offset = offsetOf(trips) ?? this.offset;
  }

  private now(): number {
    return Math.round(Date.now() + (this.offset ?? 0));
  }

  private confirm(state: State): void {
    this.confirmed = state;
    this.landing = this.landing.filter(({ seq }) => seq > state.seq);
    this.changed();
    this.flush();
  }

  private send(command: Command): Promise<Answer> {
    const { state } = this;
    if (state === null) {
      const say = "The bench is not here yet. Wait a moment, then tap again.";
      this.speak("refused", say);
      return Promise.resolve({ ok: false, code: "noBench", say });
    }
    const at = this.now();
    const decision = decide(state, command, at);
    if (!decision.ok) {
      const { code, say } = decision;
      this.speak(code === "bounce" ? "quiet" : "refused", say);
      return Promise.resolve({ ok: false, code, say });
    }
    const named = namedSeq(command);
    const maker = named === null ? undefined : this.makers.get(named);
    const landing = this.landing.find(({ envelope }) => envelope.id === maker);
    const aimed = landing ? aimedAt(command, landing.seq) : command;
    const envelope: Envelope = { id: newId(), session: state.session, at, command: aimed };
    const wasKept = this.queue.kept;
    const after = decision.events.reduce((now, event) => stepped(now, event, at), state);
    const [event] = decision.events;
    const name = event ? nameTap(state, after, event) : "a tap";
    this.queue.add(envelope, name, Date.now(), landing ? undefined : maker);
    const answer = new Promise<Answer>((resolve) => this.answers.set(envelope.id, resolve));
    // What is stored may go; drawing what it comes to would only hold it up.
    this.flush();
    const told = event ? tell(state, after, event) : null;
    if (wasKept && !this.queue.kept) this.speak("refused", notKept);
    else if (this.unwrittenTries > 0) this.speak("refused", this.sayUnwritten());
    else if (told !== null) this.speak("done", told);
    else this.hush();
    return answer;
  }

  /** Sends the first command that waits, and the next one after its answer. */
  private flush(): void {
    const waiting = this.queue.first;
    if (!waiting || this.sending || this.pause || !this.socket.connected) return;
    if (this.confirmed === null) return;
    this.sending = true;
    const { envelope } = waiting;
    this.underWay = envelope.id;
    const { socket } = this;
    const { id: connection } = socket;
    socket.timeout(answerMs).emit("command", envelope, (error, answer) => {
      if (socket.id !== connection) return;
      this.sending = false;
      // Without an answer it is sent once more; the server knows it by its id.
      if (!error) this.answered(waiting, answer);
      this.flush();
    });
  }

  private answered(waiting: Waiting, answer: Answer): void {
    const { envelope } = waiting;
    const { id } = envelope;
    this.underWay = null;
    this.heldBack = null;
    // A failure that does not pass must not hold back for ever what stands behind it.
    const hopeless = !answer.ok && answer.code === "failed" && this.unwrittenTries >= mostFailures;
    if (!answer.ok && unwrittenCodes.has(answer.code) && !hopeless) {
      this.waitToWrite(answer.say);
      return;
    }
    if (this.unwrittenTries > 0) {
      this.unwrittenTries = 0;
      if (!this.naming) this.speak("done", "The record can be written again.");
    }
    if (answer.ok) this.queue.settle(id, answer.seq);
    this.queue.remove(id);
    if (!answer.ok) {
      if (answer.code === "bounce") {
        if (this.lost.length === 0) this.speak("quiet", answer.say);
      } else this.lost.push({ name: waiting.say, at: envelope.at, why: answer.say });
      this.dropFollowers(envelope);
      if (this.lost.length > 0) this.sayLost();
    }
    this.resolve(id, answer);
    if (answer.ok && this.confirmed?.session === answer.session) {
      if (this.confirmed.seq < answer.seq) {
        this.landing.push({ envelope, seq: answer.seq });
        this.catchUpSoon(answer.seq);
      }
    }
    if (this.queue.length === 0) {
      this.lost = [];
      this.landed.clear();
    }
    this.changed();
  }

  /** What the server could not write stays where it is in the queue, and is sent again later. */
  private waitToWrite(why: string): void {
    this.unwrittenTries += 1;
    this.unwrittenWhy = why;
    this.pause = setTimeout(() => {
      this.pause = null;
      this.flush();
    }, againMs(this.unwrittenTries));
    // Named taps that are lost are worth more than a sentence that the health line says as well.
    if (this.naming) this.changed();
    else this.speak("refused", this.sayUnwritten());
  }

  private endPause(): void {
    if (this.pause) clearTimeout(this.pause);
    this.pause = null;
  }

  private sayUnwritten(): string {
    const { length } = this.queue;
    const wait = `${showCount(length, "tap")} ${length === 1 ? "waits" : "wait"}`;
    return `The record cannot be written: ${wait}. ${this.unwrittenWhy}`;
  }

  private sayLost(): void {
    const [first] = this.lost;
    if (!first) return;
    const alone = this.lost.length === 1;
    if (alone && this.queue.length === 0 && this.now() - first.at < inMindMs) {
      this.speak("refused", first.why);
      return;
    }
    const names = this.lost.slice(0, namedTaps).map(({ name }) => name);
    if (this.lost.length > namedTaps) names.push(`and ${this.lost.length - namedTaps} more`);
    const list = names.join("; ");
    const say = alone
      ? `1 tap was not counted: ${list}. ${first.why}`
      : `${this.lost.length} taps were not counted, for the bench had changed: ${list}. The first: ${first.why}`;
    this.speak("refused", say, true);
  }

  private catchUpSoon(seq: number): void {
    setTimeout(() => {
      if (this.confirmed && this.confirmed.seq < seq && this.socket.connected) this.catchUp();
    }, 1_000);
  }

  /** What names an act or a thing that never came to be has nothing to be about. */
  private dropFollowers(refused: Envelope): void {
    const made = madeId(refused.command);
    for (const { envelope, say: name, follows } of [...this.queue.all()]) {
      const { id, session, command } = envelope;
      const needs =
        made !== null && session === refused.session && namedIds(command).includes(made);
      if (follows !== refused.id && !needs) continue;
      const why = "What this was about was not counted, so neither is this.";
      this.lost.push({ name, at: envelope.at, why });
      this.queue.remove(id);
      this.dropFollowers(envelope);
      this.resolve(id, { ok: false, code: "stale", say: why });
    }
  }

  private resolve(id: string, answer: Answer): void {
    this.answers.get(id)?.(answer);
    this.answers.delete(id);
  }

  private speak(tone: Word["tone"], say: string, naming = false): void {
    this.word = { tone, say, at: this.now() };
    this.naming = naming;
    this.changed();
  }

  private hush(): void {
    // Taps that are lost have to be on screen while they are entered again.
    if (!this.naming) this.word = null;
    this.changed();
  }

  /** Works out what the server will say of what is queued. */
  private foresee(): void {
    this.makers = new Map();
    let { confirmed: state } = this;
    if (state === null) {
      this.state = null;
      return;
    }
    const seqs = new Map<string, number>();
    const first = this.queue.first?.envelope;
    for (const { envelope, follows } of [...this.landing, ...this.queue.all()]) {
      if (envelope.session !== state.session) continue;
      // Only the first can be with the server already.
      if (envelope === first && this.landed.has(envelope.at)) continue;
      if (envelope.id === this.heldBack) continue;
      const seq = follows === undefined ? undefined : seqs.get(follows);
      const command = seq === undefined ? envelope.command : aimedAt(envelope.command, seq);
      const decision = decide(state, command, envelope.at);
      if (!decision.ok) continue;
      for (const event of decision.events) {
        state = stepped(state, event, envelope.at);
        seqs.set(envelope.id, state.seq);
        this.makers.set(state.seq, envelope.id);
      }
    }
    this.state = state;
  }

  private changed(): void {
    this.foresee();
    this.current = this.look();
    for (const listener of [...this.listeners]) listener();
  }

  private look(): LinkValue {
    return {
      state: this.state,
      confirmed: this.confirmed,
      presence: this.presence,
      connection: this.connection,
      offSince: this.offSince,
      queued: this.queue.length,
      kept: this.queue.kept,
      unwritten: this.unwrittenTries > 0,
      word: this.word,
      now: this.clock,
      send: this.sender,
      hush: this.husher,
    };
  }

  private readonly clock = (): number => this.now();
  private readonly sender = (command: Command): Promise<Answer> => this.send(command);
  private readonly husher = (): void => this.hush();
}

const notKept =
  "This tablet cannot store taps that wait for the server. Keep this page open until the record is safe.";

/** The state after an event that the server has not numbered yet. */
function stepped(state: State, event: SessionEvent, at: number): State {
  return step(state, { seq: state.seq + 1, at, serverAt: at, event });
}

function codeOf(error: Error): string | null {
  if (!("data" in error)) return null;
  const { data } = error;
  if (typeof data !== "object" || data === null || !("code" in data)) return null;
  return typeof data.code === "string" ? data.code : null;
}
