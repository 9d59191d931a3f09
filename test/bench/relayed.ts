import { randomUUID } from "node:crypto";
import { mkdirSync } from "node:fs";
import { join } from "node:path";
import { io, type Socket } from "socket.io-client";
import type { Command } from "../../shared/session/command.ts";
import { currentStep } from "../../shared/session/state.ts";
import {
  type BenchToServer,
  benchSpace,
  type ServerToBench,
  type ServerToWatch,
  type WatchToServer,
  watchSpace,
} from "../../shared/session/wire.ts";
import { gone, heard, startChild } from "./child.ts";
import type { Opened } from "./house.ts";
import { median, quantile } from "./quantile.ts";
import type { RelayOpened } from "./relayLike.ts";

/** How a relay can be, for its bench. */
const relayLikes = ["well", "slow", "gone", "hostile"] as const;

/** ms from a tap to the overlay's word of it, by how the bench's relay was. */
export type Relayed = Record<
  "none" | (typeof relayLikes)[number],
  { p50: number; p99: number; count: number }
>;

/** So many taps are not counted: the first ones compile. */
const warmUps = 6;
const restMs = 25;
const key = "key-of-the-benchmark-of-taps";

/**
 * Taps on five benches in turn, `count` times each, and times what comes to the overlay: one bench
 * has no relay, the others one that is well, slow, gone or hostile.
 *
 * @param scripts where house.mjs and relayLike.mjs are
 * @param data an empty folder for the records
 */
export async function relayed(
  scripts: { house: string; relayLike: string },
  data: string,
  count: number,
): Promise<Relayed> {
  const kinds = ["none", ...relayLikes] as const;
  const houses = kinds.map((kind) => {
    const folder = join(data, kind);
    mkdirSync(folder, { recursive: true });
    return startChild(scripts.house, [folder]);
  });
  const relays = relayLikes.map((kind) => startChild(scripts.relayLike, [kind, key]));
  const tables: Table[] = [];
  try {
    const opened = await Promise.all(houses.map((house) => heard<Opened>(house)));
    const there = await Promise.all(relays.map((relay) => heard<RelayOpened>(relay)));
    for (const [at, { address, code }] of opened.entries()) {
      tables.push(await Table.open(address, code, there[at - 1]?.address ?? null, key));
    }
    const took = kinds.map((): number[] => []);
    for (let n = 0; n < warmUps + count; n++) {
      for (let turn = 0; turn < tables.length; turn++) {
        // Each goes first equally often.
        const at = (turn + n) % tables.length;
        const ms = (await tables[at]?.tap()) ?? Number.NaN;
        if (n >= warmUps) took[at]?.push(ms);
        await new Promise((resolve) => setTimeout(resolve, restMs));
      }
    }
    const found = kinds.map((kind, at) => {
      const ms = took[at] ?? [];
      return [kind, { p50: median(ms), p99: quantile(ms, 0.99), count: ms.length }];
    });
    return Object.fromEntries(found) as Relayed;
  } finally {
    for (const table of tables) table.close();
    for (const child of [...houses, ...relays]) {
      if (child.connected) child.disconnect();
      await gone(child);
    }
  }
}

/** A bench with a tablet and an overlay, both without a screen. */
class Table {
  private constructor(
    private readonly session: string,
    private readonly tablet: Socket<ServerToBench, BenchToServer>,
    private readonly overlay: Socket<ServerToWatch, WatchToServer>,
  ) {}

  static async open(address: string, code: string, relay: string | null, key: string) {
    const paired = await send(`${address}/api/pair`, { code });
    const { token } = (await paired.json()) as { token: string };
    const over = { transports: ["websocket"], forceNew: true, reconnection: false };
    const tablet: Socket<ServerToBench, BenchToServer> = io(address + benchSpace, {
      ...over,
      auth: { token },
    });
    const state = await new Promise<Parameters<ServerToBench["state"]>[0]["state"]>((resolve) =>
      tablet.once("state", ({ state }) => resolve(state)),
    );
    const overlay: Socket<ServerToWatch, WatchToServer> = io(address + watchSpace, {
      ...over,
      auth: { page: "overlay" },
    });
    await new Promise<void>((resolve) => overlay.once("snapshot", () => resolve()));
    if (relay) await send(`${address}/api/relay`, { address: relay, key }, token);
    const table = new Table(state.session, tablet, overlay);
    await table.say({ type: "goLive" });
    const first = currentStep(state);
    if (first) await table.say({ type: "advance", expect: first.id });
    return table;
  }

  private async say(command: Command): Promise<void> {
    const { session } = this;
    const answer = await this.tablet
      .timeout(5_000)
      .emitWithAck("command", { id: randomUUID(), session, at: Date.now(), command });
    if (!answer.ok) throw new Error(`${command.type}: ${answer.say}`);
  }

  /** From a tap until the overlay has heard of it, ms. */
  async tap(): Promise<number> {
    const from = performance.now();
    const told = new Promise<number>((resolve) =>
      this.overlay.once("patch", () => resolve(performance.now() - from)),
    );
    await this.say({ type: "note", text: randomUUID(), seen: "public" });
    return await told;
  }

  close(): void {
    this.tablet.disconnect();
    this.overlay.disconnect();
  }
}

function send(url: string, body: object, token?: string): Promise<Response> {
  return fetch(url, {
    method: "POST",
    headers: {
      "Content-Type": "application/json",
      ...(token === undefined ? {} : { Authorization: `Bearer ${token}` }),
    },
    body: JSON.stringify(body),
  });
}
