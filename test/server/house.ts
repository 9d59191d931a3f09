import { randomUUID } from "node:crypto";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { io, type Socket } from "socket.io-client";
import { type Running, start } from "../../server/start.ts";
import type { Command } from "../../shared/session/command.ts";
import type { RecordedEvent } from "../../shared/session/event.ts";
import { type Json, merge } from "../../shared/session/mergePatch.ts";
import type { Id } from "../../shared/session/setup.ts";
import { fold, type State, step } from "../../shared/session/state.ts";
import type { PublicView } from "../../shared/session/views/publicView.ts";
import {
  type Answer,
  type BenchToServer,
  benchSpace,
  type Presence,
  type ServerToBench,
  type ServerToWatch,
  type WatchToServer,
  watchSpace,
} from "../../shared/session/wire.ts";

export type Place = { session: Id; seq: number };

/** Waits until it holds, looking often; fails with what was waited for. */
export async function until(holds: () => boolean, what: string, ms = 20_000): Promise<void> {
  const end = performance.now() + ms;
  while (!holds()) {
    if (performance.now() > end) throw new Error(`waited ${ms} ms for ${what}`);
    await pause(5);
  }
}

export function pause(ms: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, ms));
}

/** A folder that goes when the house is closed. */
export function dataFolder(): string {
  return mkdtempSync(join(tmpdir(), "pourside-house-"));
}

/** A real server on a free port of this machine with a record of its own, and all who visit it. */
export class House {
  private readonly visitors: { close(): void }[] = [];

  private constructor(
    readonly data: string,
    public running: Running,
  ) {}

  static async start(data = dataFolder()): Promise<House> {
    return new House(data, await open(data));
  }

  get address(): string {
    return this.running.address;
  }

  /** Ends the server and starts another one on the same record; the port is a new one. */
  async restart(between: () => void = () => {}): Promise<void> {
    this.leave();
    await this.running.close();
    between();
    this.running = await open(this.data);
  }

  /** The session on the bench, as the open page says it. */
  async place(): Promise<Place> {
    const health = await fetch(`${this.address}/api/health`);
    if (!health.ok) throw new Error(`health answered ${health.status}`);
    const { session, seq } = (await health.json()) as Place;
    return { session, seq };
  }

  /** A request as a paired tablet sends it, or as a stranger does. */
  async ask(method: string, path: string, { token, body, headers = {} }: Asking = {}) {
    const response = await fetch(this.address + path, {
      method,
      headers: {
        ...(body === undefined ? {} : { "Content-Type": "application/json" }),
        ...(token === undefined ? {} : { Authorization: `Bearer ${token}` }),
        ...headers,
      },
      ...(body === undefined
        ? {}
        : { body: typeof body === "string" ? body : JSON.stringify(body) }),
    });
    const text = await response.text();
    const json = response.headers.get("content-type")?.includes("json");
    return {
      status: response.status,
      headers: response.headers,
      text,
      body: json ? JSON.parse(text) : null,
    };
  }

  async pair(): Promise<string> {
    const { status, body } = await this.ask("POST", "/api/pair", {
      body: { code: this.running.pairingCode() },
    });
    if (status !== 200) throw new Error(`pairing answered ${status}`);
    return body.token;
  }

  async benchClient(token: string, has?: Place): Promise<BenchClient> {
    const client = new BenchClient(this.address, token, has);
    this.visitors.push(client);
    await client.arrived();
    return client;
  }

  async watchClient(has?: Held): Promise<WatchClient> {
    const client = new WatchClient(this.address, has);
    this.visitors.push(client);
    await client.arrived();
    return client;
  }

  private leave(): void {
    for (const visitor of this.visitors.splice(0)) visitor.close();
  }

  async close(): Promise<void> {
    this.leave();
    await this.running.close();
    rmSync(this.data, { recursive: true, force: true });
  }
}

type Asking = { token?: string; body?: unknown; headers?: Record<string, string> };

/** A house whose session is live, with one paired tablet. */
export async function liveHouse(): Promise<{ house: House; token: string; bench: BenchClient }> {
  const house = await House.start();
  const token = await house.pair();
  const bench = await house.benchClient(token);
  await bench.must({ type: "goLive" });
  return { house, token, bench };
}

function open(data: string): Promise<Running> {
  return start({ port: 0, host: "127.0.0.1", data });
}

/** What was received, as the event's name and its contents. */
export type Message = { name: string; body: unknown };

/** A tablet without a screen: folds what it receives, as the controller does. */
export class BenchClient {
  readonly socket: Socket<ServerToBench, BenchToServer>;
  readonly messages: Message[] = [];
  /** Every event received one by one; those within a whole state are not among them. */
  readonly events: RecordedEvent[] = [];
  state: State | null = null;
  presence: Presence | null = null;

  constructor(address: string, token: string, has?: Place | State) {
    if (has && "bench" in has) this.state = has;
    this.socket = io(address + benchSpace, {
      transports: ["websocket"],
      forceNew: true,
      reconnection: false,
      auth: { token, ...(has ? { has: { session: has.session, seq: has.seq } } : {}) },
    });
    this.socket.onAny((name: string, body: unknown) => this.messages.push({ name, body }));
    this.socket.on("state", ({ state }) => {
      this.state = state;
    });
    this.socket.on("events", ({ session, events }) => {
      this.events.push(...events);
      for (const event of events) {
        if (this.state?.session === session && event.seq === this.state.seq + 1) {
          this.state = step(this.state, event);
        }
      }
    });
    this.socket.on("presence", (presence) => {
      this.presence = presence;
    });
  }

  /** Until the server has told this tablet where the session is. */
  async arrived(): Promise<void> {
    let refused: Error | null = null;
    this.socket.once("connect_error", (error) => {
      refused = error;
    });
    const told = () => this.messages.some(({ name }) => name === "state" || name === "events");
    await until(() => refused !== null || told(), "the bench to be told");
    if (refused) throw refused;
  }

  known(): State {
    if (!this.state) throw new Error("this tablet holds no state");
    return this.state;
  }

  /** Sends a command; `at` is the moment of the tap, `id` its own unless it is sent again. */
  async send(command: Command, { at = Date.now(), id = randomUUID() as string } = {}) {
    const { session } = this.known();
    return await this.sendRaw({ id, session, at, command });
  }

  /** Sends whatever it is as a command. */
  async sendRaw(message: unknown): Promise<Answer> {
    return await this.socket.timeout(5000).emitWithAck("command", message as never);
  }

  /** A command that has to be taken; the sequence number of its last event. */
  async must(command: Command, at?: number): Promise<number> {
    const answer = await this.send(command, at === undefined ? {} : { at });
    if (!answer.ok) throw new Error(`${command.type}: ${answer.say}`);
    return answer.seq;
  }

  close(): void {
    this.socket.disconnect();
  }
}

/** What an overlay held when it went away. */
export type Held = Place & { view: PublicView };

/** An overlay without a screen: holds the view as snapshots and patches make it. */
export class WatchClient {
  readonly socket: Socket<ServerToWatch, WatchToServer>;
  readonly messages: Message[] = [];
  held: Held | null;

  constructor(address: string, has?: Held) {
    this.held = has ?? null;
    this.socket = io(address + watchSpace, {
      transports: ["websocket"],
      forceNew: true,
      reconnection: false,
      auth: { page: "overlay", ...(has ? { has: { session: has.session, seq: has.seq } } : {}) },
    });
    this.socket.onAny((name: string, body: unknown) => this.messages.push({ name, body }));
    this.socket.on("snapshot", ({ session, seq, view }) => {
      this.held = { session, seq, view };
    });
    this.socket.on("patch", ({ session, from, seq, patch }) => {
      if (this.held?.session !== session || this.held.seq !== from) return;
      const view = merge(this.held.view as unknown as Json, patch);
      this.held = { session, seq, view: view as unknown as PublicView };
    });
  }

  async arrived(): Promise<void> {
    await until(() => this.socket.connected && this.held !== null, "the viewer to see something");
  }

  known(): Held {
    if (!this.held) throw new Error("this page holds no view");
    return this.held;
  }

  /** Until the view after this event, or a later one, is held. */
  async sees(seq: number): Promise<PublicView> {
    await until(() => (this.held?.seq ?? 0) >= seq, `the view after event ${seq}`);
    return this.known().view;
  }

  close(): void {
    this.socket.disconnect();
  }
}

/** The session as the record has it, up to an event. */
export function foldOf(running: Running, session: Id, upTo = Number.POSITIVE_INFINITY): State {
  const events = running.record
    .events(session)
    .filter(({ seq }) => seq <= upTo)
    .map(({ seq, at, serverAt, body }) => ({ seq, at, serverAt, event: body }) as RecordedEvent);
  return fold(session, events);
}
