import { randomUUID } from "node:crypto";
import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { io, type Socket } from "socket.io-client";
import { type Running, start } from "../../server/start.ts";
import type { BroadcastReport, BroadcastWord } from "../../shared/broadcast/report.ts";
import type { Command } from "../../shared/session/command.ts";
import { currentStep, type State, step } from "../../shared/session/state.ts";
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

export const password = "wool, ink & “weld” 7";

/** A running server with a paired tablet, for trying the link to the broadcasting software. */
export class Bench {
  state!: State;
  presence!: Presence;
  /** All that the server has sent to a page, as text. */
  heard = "";
  private overlays: Socket<ServerToWatch, WatchToServer>[] = [];

  private constructor(
    private running: Running,
    readonly folder: string,
    readonly token: string,
    private readonly desk: Socket<ServerToBench, BenchToServer>,
  ) {}

  static async open(port = 0): Promise<Bench> {
    const folder = await mkdtemp(join(tmpdir(), "pourside-broadcast-"));
    const running = await start({ port, host: "127.0.0.1", data: folder });
    const paired = await fetch(`${running.address}/api/pair`, {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: JSON.stringify({ code: running.pairingCode() }),
    });
    const { token } = (await paired.json()) as { token: string };
    const desk: Socket<ServerToBench, BenchToServer> = io(`${running.address}${benchSpace}`, {
      auth: { token },
      transports: ["websocket"],
      forceNew: true,
    });
    const bench = new Bench(running, folder, token, desk);
    desk.onAny((...heard) => {
      bench.heard += JSON.stringify(heard);
    });
    const greeted = new Promise<void>((ready) => desk.once("presence", () => ready()));
    desk.on("state", ({ state }) => {
      bench.state = state;
    });
    desk.on("events", ({ session, events }) => {
      if (bench.state.session !== session) return;
      for (const event of events)
        if (event.seq > bench.state.seq) bench.state = step(bench.state, event);
    });
    desk.on("presence", (presence) => {
      bench.presence = presence;
    });
    await greeted;
    return bench;
  }

  get port(): number {
    return this.running.port;
  }

  get address(): string {
    return this.running.address;
  }

  get record() {
    return this.running.record;
  }

  get word(): BroadcastWord | undefined {
    return this.presence.broadcast;
  }

  async ask(
    method: string,
    path: string,
    body?: unknown,
  ): Promise<{ status: number; text: string }> {
    const response = await fetch(`${this.address}${path}`, {
      method,
      headers: {
        Authorization: `Bearer ${this.token}`,
        ...(body === undefined ? {} : { "Content-Type": "application/json" }),
      },
      ...(body === undefined ? {} : { body: JSON.stringify(body) }),
    });
    const text = await response.text();
    this.heard += text;
    return { status: response.status, text };
  }

  async link(address: string, secret: string | undefined = password): Promise<void> {
    const { status, text } = await this.ask("PUT", "/api/broadcast/access", {
      address,
      password: secret,
    });
    if (status !== 200) throw new Error(text);
  }

  async report(): Promise<BroadcastReport> {
    return JSON.parse((await this.ask("GET", "/api/broadcast")).text) as BroadcastReport;
  }

  command(command: Command): Promise<Answer> {
    const envelope = {
      id: randomUUID(),
      session: this.state.session,
      at: Date.now(),
      command,
    };
    return new Promise((answered) => this.desk.emit("command", envelope, answered));
  }

  /** Does the step that is next; a bounce is waited out. */
  async advance(): Promise<void> {
    const next = currentStep(this.state);
    if (!next) throw new Error("All steps are done.");
    const seq = this.state.seq;
    const answer = await this.command({ type: "advance", expect: next.id });
    if (!answer.ok) throw new Error(answer.say);
    await until(() => this.state.seq > seq);
  }

  async goLive(): Promise<void> {
    const answer = await this.command({ type: "goLive" });
    if (!answer.ok) throw new Error(answer.say);
    await until(() => this.state.phase === "live");
  }

  /** Opens an overlay, as the browser inside the broadcasting software does. */
  async overlay(): Promise<void> {
    const overlay: Socket<ServerToWatch, WatchToServer> = io(`${this.address}${watchSpace}`, {
      auth: { page: "overlay" },
      transports: ["websocket"],
      forceNew: true,
      extraHeaders: { "User-Agent": "Chrome/103.0.0.0 OBS/29.0.2" },
    });
    this.overlays.push(overlay);
    await new Promise<void>((ready) => overlay.once("snapshot", () => ready()));
  }

  /** Stops the server and starts it again with the same record. */
  async restart(): Promise<void> {
    const { port } = this.running;
    await this.running.close();
    this.running = await start({ port, host: "127.0.0.1", data: this.folder });
    await until(() => this.desk.connected);
  }

  closeOverlays(): void {
    for (const overlay of this.overlays.splice(0)) overlay.disconnect();
  }

  async end(): Promise<void> {
    this.closeOverlays();
    this.desk.disconnect();
    await this.running.close();
    await rm(this.folder, { recursive: true, force: true });
  }
}

/** Waits until something holds. @throws when it does not within the time, ms */
export async function until(
  holds: () => boolean | Promise<boolean>,
  withinMs = 20_000,
): Promise<void> {
  const end = performance.now() + withinMs;
  while (!(await holds())) {
    if (performance.now() > end) throw new Error(`Not within ${withinMs} ms: ${holds}`);
    await pause(25);
  }
}

export const pause = (ms: number) => new Promise<void>((done) => setTimeout(done, ms));
