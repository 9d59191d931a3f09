import { io, type Socket } from "socket.io-client";
import type { Command, Envelope } from "../../shared/session/command.ts";
import { decide } from "../../shared/session/decide.ts";
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
import { aimedAt, namedSeq, Queue, type Store } from "./queue.ts";
import { tell } from "./tell.ts";

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
  word: Word | null;
  /** The server's clock, ms. */
  now(): number;
  /** Settles with the server's answer; away from the server, once it is back. Never rejects. */
  send(command: Command): Promise<Answer>;
  /** Takes the word away. */
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

export function createLink(settings: LinkSettings): Link {
  return new BenchLink(settings);
}

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
  private refused: string[] = [];
  /** Commands that were taken but whose events are still on their way, with the number promised. */
  private landing: { envelope: Envelope; seq: number; follows?: undefined }[] = [];
  /** Taps whose events came already, by their moments: the answer to one may come later. */
  private landed = new Set<number>();
  private current: LinkValue;

  constructor({ token, storage, socketUrl }: LinkSettings) {
    this.queue = new Queue(storage);
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
    this.queue.add(envelope, Date.now(), landing ? undefined : maker);
    const answer = new Promise<Answer>((resolve) => this.answers.set(envelope.id, resolve));
    // What is stored may go; drawing what it comes to would only hold it up.
    this.flush();
    const [event] = decision.events;
    this.foresee();
    const told = event && this.state ? tell(state, this.state, event) : null;
    if (wasKept && !this.queue.kept) this.speak("refused", notKept);
    else if (told !== null) this.speak("done", told);
    else this.hush();
    return answer;
  }

  /** Sends the first command that waits, and the next one after its answer. */
  private flush(): void {
    const waiting = this.queue.first;
    if (!waiting || this.sending || !this.socket.connected || this.confirmed === null) return;
    this.sending = true;
    const { envelope } = waiting;
    const { socket } = this;
    const { id: connection } = socket;
    socket.timeout(answerMs).emit("command", envelope, (error, answer) => {
      if (socket.id !== connection) return;
      this.sending = false;
      // Without an answer it is sent once more; the server knows it by its id.
      if (!error) this.answered(envelope, answer);
      this.flush();
    });
  }

  private answered(envelope: Envelope, answer: Answer): void {
    const { id } = envelope;
    if (answer.ok) this.queue.settle(id, answer.seq);
    else {
      this.refused.push(answer.say);
      this.dropFollowers(id);
    }
    this.queue.remove(id);
    this.resolve(id, answer);
    if (answer.ok && this.confirmed?.session === answer.session) {
      if (this.confirmed.seq < answer.seq) {
        this.landing.push({ envelope, seq: answer.seq });
        this.catchUpSoon(answer.seq);
      }
    }
    if (!answer.ok && answer.code === "bounce" && this.refused.length === 1) {
      this.speak("quiet", answer.say);
    } else if (this.refused.length > 0) {
      this.speak("refused", summary(this.refused));
    }
    if (this.queue.length === 0) {
      this.refused = [];
      this.landed.clear();
    }
    this.changed();
  }

  private catchUpSoon(seq: number): void {
    setTimeout(() => {
      if (this.confirmed && this.confirmed.seq < seq && this.socket.connected) this.catchUp();
    }, 1_000);
  }

  /** What names an act that never came to be has nothing to be about. */
  private dropFollowers(id: string): void {
    for (const { envelope, follows } of [...this.queue.all()]) {
      if (follows !== id) continue;
      const say = "What this was about was not counted, so neither is this.";
      this.refused.push(say);
      this.dropFollowers(envelope.id);
      this.queue.remove(envelope.id);
      this.resolve(envelope.id, { ok: false, code: "stale", say });
    }
  }

  private resolve(id: string, answer: Answer): void {
    this.answers.get(id)?.(answer);
    this.answers.delete(id);
  }

  private speak(tone: Word["tone"], say: string): void {
    this.word = { tone, say, at: this.now() };
    this.changed();
  }

  private hush(): void {
    this.word = null;
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
      const seq = follows === undefined ? undefined : seqs.get(follows);
      const command = seq === undefined ? envelope.command : aimedAt(envelope.command, seq);
      const decision = decide(state, command, envelope.at);
      if (!decision.ok) continue;
      for (const event of decision.events) {
        const next: number = state.seq + 1;
        state = step(state, { seq: next, at: envelope.at, serverAt: envelope.at, event });
        seqs.set(envelope.id, next);
        this.makers.set(next, envelope.id);
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

function summary(sentences: readonly string[]): string {
  const [first = ""] = sentences;
  return sentences.length === 1
    ? first
    : `${sentences.length} taps were not counted, for the bench had changed. The first: ${first}`;
}

function codeOf(error: Error): string | null {
  if (!("data" in error)) return null;
  const { data } = error;
  if (typeof data !== "object" || data === null || !("code" in data)) return null;
  return typeof data.code === "string" ? data.code : null;
}

/** Eighteen random bytes; `randomUUID` is missing where a page comes over plain http. */
function newId(): string {
  const bytes = crypto.getRandomValues(new Uint8Array(18));
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
}
