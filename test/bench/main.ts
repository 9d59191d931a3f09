import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { cpus, loadavg } from "node:os";
import { join } from "node:path";
import { gone, heard, startChild } from "./child.ts";
import type { Folded } from "./fold.ts";
import { longSession } from "./longSession.ts";
import { median, quantile } from "./quantile.ts";
import { relayed } from "./relayed.ts";
import { restarts } from "./restart.ts";
import { makeSeasonRecord } from "./seasonRecord.ts";
import { taps } from "./tap.ts";

const eventCount = 10_000;
const foldRuns = 15;
const restartRuns = 5;
const secondStartRuns = 3;
const tapCount = 120;
const tapsMostMs = 90_000;
const relayedTaps = 120;

const parts = ["fold", "restart", "tap", "relayed"] as const;
type Part = (typeof parts)[number];
/** What was found, by part; ms unless the name says otherwise. */
export type Found = Partial<Record<Part, Record<string, number>>> & {
  /** Load average of the last minute before and after, and the processors it is shared by. */
  loadBefore: number;
  loadAfter: number;
  cpus: number;
};

/** Where things are: the project's folder and the one with the built parts of the benchmark. */
export type Place = { project: string; scripts: string };

/**
 * Measures, and prints a table; with `--json` the last line is one object as well. Names among
 * `args` choose parts, and none means all.
 */
export async function run(place: Place, args: readonly string[]): Promise<void> {
  const chosen = args.filter((arg) => arg !== "--json");
  const stranger = chosen.find((arg) => !parts.some((part) => part === arg));
  if (stranger !== undefined) {
    console.error(
      `The benchmark has the parts ${parts.join(", ")} and knows --json, not ${stranger}.`,
    );
    process.exitCode = 1;
    return;
  }
  const wanted = (part: Part) => chosen.length === 0 || chosen.includes(part);
  const folder = mkdtempSync(join(place.scripts, "data-"));
  const found: Found = { loadBefore: load(), loadAfter: 0, cpus: cpus().length };
  try {
    if (wanted("fold")) found.fold = await measureFold(place, folder);
    if (wanted("restart")) found.restart = await measureRestart(place, folder);
    if (wanted("tap")) found.tap = await measureTaps(place, folder);
    if (wanted("relayed")) found.relayed = await measureRelayed(place, folder);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
  found.loadAfter = load();
  console.log(
    `\nLoad average of a minute: ${found.loadBefore} before, ${found.loadAfter} after, on ${found.cpus} processors.`,
  );
  if (args.includes("--json")) console.log(JSON.stringify(found));
}

async function measureFold({ scripts }: Place, folder: string) {
  const file = join(folder, "events.json");
  writeFileSync(file, JSON.stringify(longSession(eventCount)));
  const child = startChild(join(scripts, "fold.mjs"), [file, String(foldRuns)]);
  const { ms, poured } = await heard<Folded>(child);
  await gone(child);
  const [coldMs = 0] = ms;
  const found = { ms: median(ms), coldMs, fastestMs: Math.min(...ms), events: eventCount, poured };
  heading(
    `Fold of ${eventCount} events, ${poured} pours among them, ${foldRuns} times in a fresh process`,
  );
  row("median", found.ms);
  row("first, cold", found.coldMs);
  row("fastest", found.fastestMs);
  return eachRounded(found);
}

async function measureRestart({ project }: Place, folder: string) {
  const data = join(folder, "season");
  makeSeasonRecord(data, longSession(eventCount));
  const asked = { folder: project, data, expectSeq: eventCount };
  const node = process.execPath;
  const server = await restarts([node, join("dist", "server", "main.js")], {
    ...asked,
    runs: restartRuns,
  });
  const npm = process.env.npm_execpath;
  const whole = await restarts(
    [...(npm ? ([node, npm] as const) : (["npm"] as const)), "start", "--"],
    {
      ...asked,
      runs: secondStartRuns,
    },
  );
  const found = {
    ms: median(server),
    slowestMs: Math.max(...server),
    startMs: median(whole),
    slowestStartMs: Math.max(...whole),
  };
  heading(`From start to health 200 with a record of ${eventCount} events`);
  row(`server, median of ${restartRuns}`, found.ms);
  row("server, slowest", found.slowestMs);
  row(`second npm start, median of ${secondStartRuns}`, found.startMs);
  row("second npm start, slowest", found.slowestStartMs);
  return eachRounded(found);
}

async function measureTaps({ scripts }: Place, folder: string) {
  const names = { house: join(scripts, "house.mjs"), bare: join(scripts, "bare.mjs") };
  const timed = await taps(names, join(folder, "taps"), tapCount, tapsMostMs);
  const { ours, bare, appendMs, driftMs } = timed;
  const painted = ours.map((tap) => tap.paintedMs);
  const barePainted = bare.map((tap) => tap.paintedMs);
  // Each tap was one append, so the disk's part is taken off tap by tap.
  const withoutDisk = painted.map((ms, at) => ms - (appendMs[at] ?? 0));
  const found = {
    p50: median(painted),
    p99: quantile(painted, 0.99),
    wsP50: median(barePainted),
    wsP99: quantile(barePainted, 0.99),
    count: ours.length,
    wsCount: bare.length,
    max: Math.max(...painted),
    wsMax: Math.max(...barePainted),
    diskP50: median(appendMs),
    diskP99: quantile(appendMs, 0.99),
    withoutDiskP50: median(withoutDisk),
    withoutDiskP99: quantile(withoutDisk, 0.99),
    changedP50: median(ours.map((tap) => tap.changedMs)),
    wsChangedP50: median(bare.map((tap) => tap.changedMs)),
    driftMs,
  };
  heading(`From tap to changed pixel, ${found.count} taps each in turn, none left out`);
  row("ours, median", found.p50);
  row("ours, 99th percentile", found.p99);
  row("bare ws, median", found.wsP50);
  row("bare ws, 99th percentile", found.wsP99);
  row("ours above bare ws, median", found.p50 - found.wsP50);
  row("ours above bare ws, 99th percentile", found.p99 - found.wsP99);
  row("write and sync to disk, median", found.diskP50);
  row("write and sync to disk, 99th percentile", found.diskP99);
  row("ours less its disk, above bare ws, median", found.withoutDiskP50 - found.wsP50);
  row("ours less its disk, above bare ws, 99th percentile", found.withoutDiskP99 - found.wsP99);
  row("until the document changed, ours, median", found.changedP50);
  row("until the document changed, bare ws, median", found.wsChangedP50);
  row("drift of the pages' clocks, most", found.driftMs);
  return eachRounded(found);
}

async function measureRelayed({ scripts }: Place, folder: string) {
  const names = { house: join(scripts, "house.mjs"), relayLike: join(scripts, "relayLike.mjs") };
  const timed = await relayed(names, join(folder, "relayed"), relayedTaps);
  heading(`From a tap until the overlay heard of it, ${relayedTaps} taps on each bench in turn`);
  const found: Record<string, number> = {};
  for (const [kind, { p50, p99 }] of Object.entries(timed)) {
    const words = kind === "none" ? "no relay" : `relay ${kind}`;
    row(`${words}, median`, p50);
    row(`${words}, 99th percentile`, p99);
    found[`${kind}P50`] = p50;
    found[`${kind}P99`] = p99;
  }
  return eachRounded(found);
}

function load(): number {
  return rounded(loadavg()[0] ?? 0);
}

function heading(text: string): void {
  console.log(`\n${text}`);
}

function row(name: string, ms: number): void {
  console.log(`  ${name.padEnd(52)}${ms.toFixed(1).padStart(9)} ms`);
}

function eachRounded(found: Readonly<Record<string, number>>): Record<string, number> {
  return Object.fromEntries(Object.entries(found).map(([name, value]) => [name, rounded(value)]));
}

function rounded(value: number): number {
  return Math.round(value * 100) / 100;
}
