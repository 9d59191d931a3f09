import { randomUUID } from "node:crypto";
import { createClient } from "@redis/client";
import { createAdapter } from "@socket.io/redis-adapter";
import { Server } from "socket.io";
import * as z from "zod";
import type { RelayView } from "../../shared/session/wire.ts";
import { type KeptKey, keptKeySchema } from "./key.ts";
import { benchSilenceMs } from "./limits.ts";
import { relayViewSchema } from "./lineWords.ts";
import { RelayProblem } from "./problem.ts";
import type { BenchAt, Common, Hearing } from "./processes.ts";
import type { Told } from "./stage.ts";

const keyName = "pourside:key";
const lineName = "pourside:line";
const benchName = "pourside:bench";
const stageName = "pourside:stage";
const placeName = "pourside:place";
/** What is shown is kept so long after the last change, s. */
const stageSeconds = 24 * 3600;
/** A process that was not heard for so long is not counted, ms. */
const countedMs = 8_000;
/** How often a process looks whether it has missed something, ms. */
const lookMs = 2_000;

// The holder's name and the counter change together or not at all.
const claimScript = `
local held = redis.call('GET', KEYS[1])
if held and held ~= ARGV[1] then return -1 end
redis.call('SET', KEYS[1], ARGV[1], 'PX', ARGV[2])
local line = redis.call('INCR', KEYS[2])
if line < tonumber(ARGV[3]) then
  line = tonumber(ARGV[3])
  redis.call('SET', KEYS[2], ARGV[3])
end
return line`;
// Whoever came in later, and every new key, has raised the counter. A Redis that lost all is told anew.
const holdScript = `
local line = redis.call('GET', KEYS[2])
if line and line ~= ARGV[3] then return 0 end
redis.call('SET', KEYS[1], ARGV[1], 'PX', ARGV[2])
redis.call('SET', KEYS[2], ARGV[3])
return 1`;
const releaseScript = `
if redis.call('GET', KEYS[1]) == ARGV[1] then redis.call('DEL', KEYS[1]) end
return 0`;

// Of two processes, the one with the older view may come last.
const tellScript = `
local kept = redis.call('GET', KEYS[2])
if kept then
  local place = cjson.decode(kept)
  local line, turn = tonumber(ARGV[2]), tonumber(ARGV[3])
  if place.line > line or (place.line == line and place.turn >= turn) then return 0 end
end
redis.call('SET', KEYS[1], ARGV[1], 'EX', ARGV[5])
redis.call('SET', KEYS[2], ARGV[4], 'EX', ARGV[5])
return 1`;

const placeSchema = z.object({ line: z.number(), turn: z.number() });

/** What one process says to the others, by the adapter of socket.io. */
type Between = {
  told: (told: Told) => void;
  line: (line: number) => void;
  bench: (word: BenchAt) => void;
  count: (word: { process: string; here: number }) => void;
  key: () => void;
};
type Nothing = Record<string, never>;

/**
 * Several processes, on one host or more, that share one Redis. What is shown is written there
 * before the others are told of it, so that one that missed a word finds all of it.
 *
 * @throws RelayProblem where Redis cannot be reached at the start
 */
export async function openTogether(
  url: string,
  clock: () => number,
  hearing: Hearing,
): Promise<Common> {
  const store: Client = createClient({
    url,
    // What cannot be said now is not said later, when something newer has been said.
    disableOfflineQueue: true,
    socket: { reconnectStrategy: (tries) => Math.min(2_000, 100 + tries * 200) },
  });
  const ears = store.duplicate();
  let complained = false;
  const complain = () => {
    if (!complained) console.error("Redis does not answer. This process goes on alone meanwhile.");
    complained = true;
  };
  // The adapter does not look at what becomes of what it says.
  const mouth = {
    publish: (channel: string, message: string | Buffer) =>
      store.publish(channel, message).catch(complain),
    pSubscribe: store.pSubscribe,
    on: store.on.bind(store),
    off: store.off.bind(store),
    listenerCount: store.listenerCount.bind(store),
  };
  for (const client of [store, ears]) client.on("error", complain);
  await firstConnected(store, url);
  await ears.connect();
  const io = new Server<Nothing, Nothing, Between>();
  io.adapter(createAdapter(mouth, ears));
  const own = randomUUID();
  const elsewhere = new Map<string, { here: number; heardAt: number }>();

  io.on("told", (told) => hearing.told(told));
  // Also remembered here, for a Redis that lost all and a clock that was set back.
  let lastLine = 0;
  io.on("line", (line) => {
    lastLine = Math.max(lastLine, line);
    hearing.lineTaken(line);
  });
  io.on("bench", (word) => hearing.bench(word));
  io.on("key", () => hearing.keyChanged());
  io.on("count", ({ process, here }) => elsewhere.set(process, { here, heardAt: clock() }));

  const latest = async (): Promise<RelayView | null> => {
    const kept = await store.get(stageName);
    return kept === null ? null : (relayViewSchema.safeParse(JSON.parse(kept)).data ?? null);
  };
  const say = (work: () => unknown) => {
    try {
      work();
    } catch {
      complain();
    }
  };
  const tried = (work: Promise<unknown>) => void work.catch(complain);
  const lookOnce = async () => {
    const place = placeSchema.safeParse(JSON.parse((await store.get(placeName)) ?? "null"));
    complained = false;
    if (!place.success || !hearing.behind(place.data)) return;
    const view = await latest();
    if (view) hearing.caughtUp(view);
  };
  const look = () => tried(lookOnce());
  ears.on("ready", look);
  const looking = setInterval(look, lookMs);
  looking.unref();
  look();

  return {
    key: async () => {
      const kept = await store.get(keyName);
      return kept === null ? null : keptKeySchema.parse(JSON.parse(kept));
    },
    setKey: async (key: KeptKey) => {
      await store.multi().set(keyName, JSON.stringify(key)).del(benchName).incr(lineName).exec();
      say(() => io.serverSideEmit("key"));
    },
    claim: async (bench) => {
      const line = await store.eval(claimScript, {
        keys: [benchName, lineName],
        arguments: [bench, String(benchSilenceMs), String(Math.max(clock(), lastLine + 1))],
      });
      if (typeof line !== "number" || line < 0) return null;
      lastLine = line;
      say(() => io.serverSideEmit("line", line));
      return line;
    },
    hold: async (bench, line) => {
      const holds = await store.eval(holdScript, {
        keys: [benchName, lineName],
        arguments: [bench, String(benchSilenceMs), String(line)],
      });
      return holds === 1;
    },
    release: async (bench) => {
      await store.eval(releaseScript, { keys: [benchName], arguments: [bench] });
    },
    latest,
    tell: (told, view) => {
      const { line, turn } = view;
      const place = JSON.stringify({ line, turn });
      const kept = store.eval(tellScript, {
        keys: [stageName, placeName],
        arguments: [JSON.stringify(view), String(line), String(turn), place, String(stageSeconds)],
      });
      tried(kept);
      say(() => io.serverSideEmit("told", told));
    },
    tellBench: (word) => say(() => io.serverSideEmit("bench", word)),
    count: (here) => {
      say(() => io.serverSideEmit("count", { process: own, here }));
      let sum = 0;
      for (const [name, { here, heardAt }] of elsewhere) {
        if (clock() - heardAt < countedMs) sum += here;
        else elsewhere.delete(name);
      }
      return sum;
    },
    close: async () => {
      clearInterval(looking);
      // What was being said meanwhile is no reason to complain. The server has nobody to take leave of.
      complained = true;
      for (const client of [ears, store]) if (client.isOpen) client.destroy();
    },
  };
}

type Client = ReturnType<typeof createClient>;

/** Connects, or fails at once: a relay that is to share its load must not start alone unseen. */
async function firstConnected(client: Client, url: string): Promise<void> {
  let failed: (error: Error) => void = () => {};
  const failure = new Promise<never>((_resolve, reject) => {
    failed = reject;
  });
  client.once("error", failed);
  try {
    await Promise.race([client.connect(), failure]);
  } catch (error) {
    if (client.isOpen) client.destroy();
    throw new RelayProblem(`No Redis answers at ${url}.`, { cause: error });
  } finally {
    client.off("error", failed);
  }
}
