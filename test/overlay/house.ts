import { mkdtemp, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { io, type Socket } from "socket.io-client";
import { type Running, start } from "../../server/start.ts";
import type { Command } from "../../shared/session/command.ts";
import { currentStep, type State, step } from "../../shared/session/state.ts";
import type { Answer, BenchToServer, Presence, ServerToBench } from "../../shared/session/wire.ts";
import { benchSpace } from "../../shared/session/wire.ts";

type Desk = Socket<ServerToBench, BenchToServer>;

const bounces: ReadonlySet<Command["type"]> = new Set(["advance", "skip", "timerStop", "undo"]);

/** A running server with a paired tablet at it, which does what a dyer does. */
export class House {
  state!: State;
  presence!: Presence;
  private number = 0;
  private advancedAt = 0;

  private constructor(
    private running: Running,
    private readonly folder: string,
    private readonly token: string,
    private readonly desk: Desk,
  ) {}

  /** Opens a new record with this pour sheet on the bench, or the demonstration session. */
  static async open(sheet?: unknown): Promise<House> {
    const folder = await mkdtemp(join(tmpdir(), "pourside-overlay-"));
    const running = await start({ port: 0, host: "127.0.0.1", data: folder });
    const { token } = await post<{ token: string }>(running, "/api/pair", {
      code: running.pairingCode(),
    });
    const desk: Desk = io(`${running.address}${benchSpace}`, {
      auth: { token },
      transports: ["websocket"],
      forceNew: true,
    });
    const house = new House(running, folder, token, desk);
    const greeted = Promise.all([
      new Promise<void>((ready) => desk.once("state", () => ready())),
      new Promise<void>((ready) => desk.once("presence", () => ready())),
    ]);
    desk.on("state", ({ state }) => {
      house.state = state;
    });
    desk.on("events", ({ session, events }) => {
      if (house.state.session !== session) return;
      for (const event of events) {
        if (event.seq > house.state.seq) house.state = step(house.state, event);
      }
    });
    desk.on("presence", (presence) => {
      house.presence = presence;
    });
    await greeted;
    if (sheet !== undefined) await house.put(sheet);
    return house;
  }

  get address(): string {
    return this.running.address;
  }

  get overlay(): string {
    return `${this.running.address}/overlay`;
  }

  /** The controller's address with a code that pairs whoever opens it first. */
  get controller(): string {
    return `${this.running.address}/controller#pair=${this.running.pairingCode()}`;
  }

  /** Puts a new session from a pour sheet on the bench. */
  async put(sheet: unknown): Promise<void> {
    const there = new Promise<void>((ready) => this.desk.once("state", () => ready()));
    await post(this.running, "/api/sessions", sheet, this.token);
    await there;
  }

  /** What comes of a command tapped `agoMs` ago; a refusal is an error. */
  async does(command: Command, agoMs = 0): Promise<number> {
    const answer = await this.tries(command, agoMs);
    if (!answer.ok) throw new Error(`${command.type}: ${answer.say}`);
    return answer.seq;
  }

  async tries(command: Command, agoMs = 0): Promise<Answer> {
    this.number += 1;
    const at = agoMs > 0 ? Date.now() - agoMs : await this.tapTime(command);
    const answer = await this.desk.emitWithAck("command", {
      id: `tap-${this.number}-of-the-tests`,
      session: this.state.session,
      at,
      command,
    });
    if (answer.ok) await this.reaches(answer.seq);
    return answer;
  }

  /**
   * The moment of a tap. A pedal that bounces is told by its 400 ms, which a test need not wait
   * out one by one; but the server takes no tap that lies more than two seconds ahead.
   */
  private async tapTime({ type }: Command): Promise<number> {
    const now = Date.now();
    if (!bounces.has(type)) return now;
    this.advancedAt = Math.max(now, this.advancedAt + 401);
    if (this.advancedAt > now + 1500) await pause(this.advancedAt - now - 1500);
    return this.advancedAt;
  }

  async goLive(): Promise<void> {
    await this.does({ type: "goLive" });
  }

  async show(
    view: State["overlay"]["view"],
    parts: Partial<State["overlay"]["parts"]> = {},
  ): Promise<number> {
    const all = { depth: true, rule: true, timers: true, count: true };
    return this.does({ type: "show", view, parts: { ...all, ...parts } });
  }

  /** Taps the next action, as planned. */
  async advance(): Promise<number> {
    const current = currentStep(this.state);
    if (!current) throw new Error("All steps are done.");
    return this.does({ type: "advance", expect: current.id });
  }

  /** Does all steps that come before this one. */
  async until(step: string): Promise<void> {
    while (currentStep(this.state)?.id !== step) await this.advance();
  }

  /** Makes another step the current one. */
  async choose(stepNumber: number): Promise<number> {
    const chosen = this.state.setup.steps[stepNumber - 1];
    if (!chosen) throw new Error(`There is no step ${stepNumber}.`);
    return this.does({ type: "choose", step: chosen.id });
  }

  /** Waits until the broadcast page has said that it shows the present state. */
  async isShown(): Promise<void> {
    const { session, seq } = this.state;
    while (this.presence.overlaySession !== session || this.presence.overlaySeq < seq) {
      await pause(20);
    }
  }

  /** Ends the server as a power cut would: nobody is told. */
  async stop(): Promise<void> {
    await this.running.close();
  }

  /** Starts it again at the same address, with the record that it left. */
  async startAgain(): Promise<void> {
    const { port } = this.running;
    const back = new Promise<void>((ready) => this.desk.once("connect", () => ready()));
    this.running = await start({ port, host: "127.0.0.1", data: this.folder });
    await back;
  }

  private async reaches(seq: number): Promise<void> {
    while (this.state.seq < seq) await pause(2);
  }

  async close(): Promise<void> {
    this.desk.disconnect();
    await this.running.close();
    await rm(this.folder, { recursive: true, force: true });
  }
}

export function pause(ms: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, ms));
}

async function post<Reply>(
  running: Running,
  path: string,
  body: unknown,
  token?: string,
): Promise<Reply> {
  const response = await fetch(`${running.address}${path}`, {
    method: "POST",
    headers: {
      "content-type": "application/json",
      ...(token === undefined ? {} : { authorization: `Bearer ${token}` }),
    },
    body: JSON.stringify(body),
  });
  const reply = await response.json();
  if (!response.ok) throw new Error(`${path}: ${JSON.stringify(reply)}`);
  return reply as Reply;
}
