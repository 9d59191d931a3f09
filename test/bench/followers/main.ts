import { type ChildProcess, fork } from "node:child_process";
import { cpus, loadavg } from "node:os";
import { join } from "node:path";
import { WebSocket } from "ws";
import { lineVersion } from "../../../server/relay/limits.ts";
import { gone, heard } from "../child.ts";
import { median, quantile } from "../quantile.ts";
import type { CrowdAsked, CrowdWord } from "./crowd.ts";
import type { HarmAsked, HarmWord } from "./harm.ts";
import type { HostAsked, HostWord } from "./host.ts";

const key = "key-of-the-followers-benchmark";
const crowdSize = 2_500;
const warmUps = 5;
const changes = 30;
const restMs = 700;
/** Until a change that has not arrived is lost, and until those who do harm are in. */
const patienceMs = 30_000;
const settleMs = 5_000;
const surgeMs = 30_000;
const harm = { halfOpen: 2_000, flooders: 20, slow: 50 };
const harmedChanges = 10;

type Host = { name: "relay" | "ws"; process: ChildProcess; port: number; say(text: Change): void };
type Change = { view: string } | { patch: number };

/**
 * Measures the same changes to the same number of followers over a relay and over bare ws, in turn.
 * A number among `args` is how many follow; `--json` prints one object as the last line.
 */
export async function run(scripts: string, args: readonly string[]): Promise<void> {
  const followers = Number(args.find((arg) => /^\d+$/.test(arg)) ?? 5_000);
  if (!(followers >= 100 && followers <= 10_000)) {
    console.error("From 100 to 10000 may follow on one machine.");
    process.exitCode = 1;
    return;
  }
  const loadBefore = loadavg()[0] ?? 0;
  const children: ChildProcess[] = [];
  const child = (name: string, ...words: string[]) => {
    const started = fork(join(scripts, `${name}.mjs`), words, { execArgv: ["--expose-gc"] });
    children.push(started);
    return started;
  };
  try {
    const relay = await openRelay(child("host", "relay", key));
    const bare = await openBare(child("host", "ws"));
    const hosts = [relay, bare];
    // A view of the size that a session of an evening has.
    const view = "x".repeat(40_000);
    for (const host of hosts) host.say({ view });
    const found: Record<string, number> = { followers };
    const crowds: Record<Host["name"], ChildProcess[]> = { relay: [], ws: [] };
    for (const host of hosts) {
      const before = await memoryOf(host);
      const crowd = Array.from({ length: Math.ceil(followers / crowdSize) }, () => child("crowd"));
      crowds[host.name] = crowd;
      const each = Math.ceil(followers / crowd.length);
      const joined = crowd.map((one, at) =>
        told(one, {
          join: Math.min(each, followers - at * each),
          port: host.port,
          path: "/live",
          overMs: surgeMs,
        }),
      );
      const snapshots = (await Promise.all(joined)).flatMap((word) =>
        "snapshotMs" in word ? word.snapshotMs : [],
      );
      await pause(4_000);
      const perThousand = (((await memoryOf(host)) - before) / followers) * (1000 / 2 ** 20);
      if (host.name === "relay") {
        found.snapshotMs = quantile(snapshots, 0.99);
        found.mbPer1000 = perThousand;
      } else {
        found.wsSnapshotMs = quantile(snapshots, 0.99);
        found.wsMbPer1000 = perThousand;
      }
    }
    const took: Record<Host["name"], number[]> = { relay: [], ws: [] };
    const slowest: Record<Host["name"], number[]> = { relay: [], ws: [] };
    for (let n = 1; n <= warmUps + changes; n++) {
      // Each goes first as often as the other.
      for (const host of n % 2 === 0 ? hosts : [...hosts].reverse()) {
        host.say({ patch: n });
        await pause(restMs);
        const ms = await arrived(crowds[host.name], followers);
        if (n <= warmUps) continue;
        took[host.name] = took[host.name].concat(ms);
        slowest[host.name].push(quantile(ms, 0.99));
      }
    }
    for (const { name } of hosts) {
      const [p50, p99] = [median(took[name]), quantile(took[name], 0.99)];
      const changeP99 = median(slowest[name]);
      if (name === "relay") Object.assign(found, { p50, p99, changeP99 });
      else Object.assign(found, { wsP50: p50, wsP99: p99, wsChangeP99: changeP99 });
    }
    Object.assign(found, await harmed(child("harm"), relay, crowds.relay, followers));
    const { p50 = 0, p99 = 0, wsP50 = 0, wsP99 = 0, mbPer1000 = 0, wsMbPer1000 = 0 } = found;
    Object.assign(found, { loadBefore, loadAfter: loadavg()[0] ?? 0, cpus: cpus().length });
    const rounded = Object.fromEntries(
      Object.entries(found).map(([name, value]) => [name, Math.round(value * 100) / 100]),
    );
    console.log(`\n${followers} followers, ${changes} changes each in turn, none left out`);
    row("relay, median", p50, "ms");
    row("bare ws, median", wsP50, "ms");
    row("relay, 99th percentile", p99, "ms");
    row("bare ws, 99th percentile", wsP99, "ms");
    row("times bare ws, median", p50 / wsP50, "");
    row("times bare ws, 99th percentile", p99 / wsP99, "");
    const { changeP99 = 0, wsChangeP99 = 0 } = found;
    row("relay, 99th percentile of a change, median of them", changeP99, "ms");
    row("bare ws, 99th percentile of a change, median", wsChangeP99, "ms");
    row("times bare ws, the same", changeP99 / wsChangeP99, "");
    row("relay, memory for 1000 followers", mbPer1000, "MB");
    row("bare ws, memory for 1000 followers", wsMbPer1000, "MB");
    row("times bare ws, memory", mbPer1000 / wsMbPer1000, "");
    const { harmedP50 = 0, harmedP99 = 0, harmThere = 0, harmEnded = 0 } = found;
    row(`relay among ${harmThere} who do harm, median`, harmedP50, "ms");
    row("relay among those, 99th percentile", harmedP99, "ms");
    row("of those, ended by the relay meanwhile", harmEnded, "");
    row("first view after arriving within 30 s, 99th", found.snapshotMs ?? 0, "ms");
    console.log(
      `\nLoad average of a minute: ${rounded.loadBefore} before, ${rounded.loadAfter} after, on ${found.cpus} processors.`,
    );
    if (args.includes("--json")) console.log(JSON.stringify(rounded));
  } finally {
    for (const one of children) if (one.connected) one.disconnect();
    for (const one of children) await gone(one);
  }
}

/** The same changes once more, while others open connections by half, flood, or read nothing. */
async function harmed(
  child: ChildProcess,
  relay: Host,
  crowd: readonly ChildProcess[],
  followers: number,
) {
  child.send({ port: relay.port, ...harm } satisfies HarmAsked);
  await pause(settleMs);
  let took: number[] = [];
  for (let n = 1; n <= harmedChanges; n++) {
    relay.say({ patch: n });
    await pause(restMs);
    took = took.concat(await arrived(crowd, followers));
  }
  const answer = heard<HarmWord>(child);
  child.send({ tell: true });
  const { there, ended } = await answer;
  return {
    harmedP50: median(took),
    harmedP99: quantile(took, 0.99),
    harmThere: there,
    harmEnded: ended,
  };
}

async function openRelay(process: ChildProcess): Promise<Host> {
  const port = portOf(await heard<HostWord>(process));
  const bench = new WebSocket(`ws://127.0.0.1:${port}/line`, {
    headers: { Authorization: `Bearer ${key}` },
  });
  await new Promise((resolve, reject) => {
    bench.on("open", () => bench.send(hello()));
    bench.once("message", resolve);
    bench.once("error", reject);
  });
  const beat = setInterval(
    () => bench.send(JSON.stringify({ kind: "clock", now: Date.now() })),
    2_000,
  );
  beat.unref();
  let seq = 0;
  const say = (change: Change) => {
    seq += 1;
    const place = { session: "a", seq, at: Date.now(), sentAt: 0 };
    const word =
      "view" in change
        ? { kind: "snapshot", ...place, view: viewOf(change.view) }
        : { kind: "patch", ...place, from: seq - 1, patch: patchOf(change.patch) };
    bench.send(JSON.stringify(word));
  };
  return { name: "relay", process, port, say };
}

async function openBare(process: ChildProcess): Promise<Host> {
  const port = portOf(await heard<HostWord>(process));
  let seq = 0;
  // The same words as a relay's, so that the same bytes go to everybody.
  const say = (change: Change) => {
    seq += 1;
    const place = { line: Date.now(), turn: seq, at: Date.now() };
    const word =
      "view" in change
        ? { ...place, kind: "snapshot", session: "a", seq, view: viewOf(change.view) }
        : {
            ...place,
            kind: "patch",
            session: "a",
            from: seq - 1,
            seq,
            patch: patchOf(change.patch),
          };
    process.send({ say: JSON.stringify(word) } satisfies HostAsked);
  };
  return { name: "ws", process, port, say };
}

function viewOf(text: string) {
  return { session: { name: "a" }, timers: {}, text, sentAt: 0 };
}

/** About what a pour changes. */
function patchOf(n: number) {
  return { n, text: "p".repeat(1_200), sentAt: performance.timeOrigin + performance.now() };
}

function hello(): string {
  return JSON.stringify({
    kind: "hello",
    version: lineVersion,
    bench: "benchmark",
    now: Date.now(),
  });
}

function portOf(word: HostWord): number {
  if ("port" in word) return word.port;
  throw new Error("a host did not say where it listens");
}

async function memoryOf({ process }: Host): Promise<number> {
  const answer = heard<HostWord>(process);
  process.send({ measure: true } satisfies HostAsked);
  const word = await answer;
  return "memory" in word ? word.memory : 0;
}

function told(crowd: ChildProcess, asked: CrowdAsked): Promise<CrowdWord> {
  const answer = heard<CrowdWord>(crowd);
  crowd.send(asked);
  return answer;
}

/** How long a change took to each, ms, once all have heard of it; an error where it did not come to all. */
async function arrived(crowd: readonly ChildProcess[], followers: number): Promise<number[]> {
  let tookMs: number[] = [];
  const end = performance.now() + patienceMs;
  for (;;) {
    for (const word of await Promise.all(crowd.map((one) => told(one, { tell: true })))) {
      if (!("tookMs" in word)) continue;
      if (!word.orderly) throw new Error("changes arrived out of order");
      tookMs = tookMs.concat(word.tookMs);
    }
    if (tookMs.length === followers) return tookMs;
    if (tookMs.length > followers || performance.now() > end) {
      throw new Error(`a change to ${followers} arrived ${tookMs.length} times`);
    }
    await pause(restMs);
  }
}

function row(name: string, value: number, unit: string): void {
  console.log(`  ${name.padEnd(52)}${value.toFixed(2).padStart(9)} ${unit}`);
}

function pause(ms: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, ms));
}
