import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from "vitest";
import { openRecord, type StoredEvent } from "../../server/record/record.ts";
import { bundle } from "./bundle.ts";
import { chance } from "./chance.ts";
import { startChild } from "./child.ts";
import { copyCut, cutOffsets, logSize } from "./cut.ts";

let writer: string;
let folder: string;

beforeAll(async () => {
  writer = await bundle(fileURLToPath(new URL("writer.ts", import.meta.url)));
});

afterAll(() => {
  rmSync(writer);
});

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "pourside-loss-"));
});

afterEach(() => {
  rmSync(folder, { recursive: true, force: true });
});

type Part = { part: number; of: number };

/** Fails where there is a hole, or a command of which a part is missing. */
const expectWholeCommands = (events: readonly StoredEvent[]): void => {
  expect(events.map(({ seq }) => seq)).toEqual(events.map((_, index) => index + 1));
  const parts = new Map<string, Part[]>();
  for (const { commandId, body } of events) {
    parts.set(commandId, [...(parts.get(commandId) ?? []), body as Part]);
  }
  for (const bodies of parts.values()) {
    expect(bodies.map(({ part }) => part)).toEqual(bodies.map((_, index) => index));
    expect(bodies).toHaveLength(bodies[0]?.of ?? 0);
  }
};

const read = (of: string): StoredEvent[] => {
  const record = openRecord(of);
  try {
    const events = record.events("bench");
    for (const { commandId, seq } of events) {
      const answer = record.answer(commandId);
      expect(answer?.ok && answer.seq >= seq).toBe(true);
    }
    return events;
  } finally {
    record.close();
  }
};

describe("a write-ahead log that lost its end", () => {
  it("at any of 240 places still opens, to the start of what was kept", async () => {
    const live = join(folder, "live");
    const cut = join(folder, "cut");
    const child = startChild(writer, [live, "120"]);
    await child.line("done");
    await child.kill();
    copyCut(live, cut, logSize(live));
    const all = read(cut);
    const random = chance(4707);
    const offsets = cutOffsets(logSize(live), 240, random);
    const lengths = new Set<number>();
    for (const offset of offsets) {
      copyCut(live, cut, offset);
      const events = read(cut);
      expect(events).toEqual(all.slice(0, events.length));
      expectWholeCommands(events);
      lengths.add(events.length);
    }
    expect(all.length).toBeGreaterThan(250);
    expect(lengths.has(0) && lengths.has(all.length)).toBe(true);
    // A longer log never means fewer events, and the places are not all within the same command.
    expect(lengths.size).toBeGreaterThan(50);
  }, 300_000);

  it("after the log was emptied once loses nothing that had gone to the main file", async () => {
    const live = join(folder, "live");
    const cut = join(folder, "cut");
    // About 11 kB of log a command, so that 4 MiB are passed and the log starts again.
    const child = startChild(writer, [live, "700"]);
    await child.line("done");
    await child.kill();
    copyCut(live, cut, logSize(live));
    const all = read(cut);
    copyCut(live, cut, 0);
    const settled = read(cut).length;
    expect(settled).toBeGreaterThan(500);
    for (const offset of cutOffsets(logSize(live), 16, chance(11))) {
      copyCut(live, cut, offset);
      const events = read(cut);
      expect(events.length).toBeGreaterThanOrEqual(settled);
      expect(events).toEqual(all.slice(0, events.length));
      expectWholeCommands(events);
    }
  }, 300_000);

  it("can be written to again, from where it ends", async () => {
    const live = join(folder, "live");
    const cut = join(folder, "cut");
    const child = startChild(writer, [live, "40"]);
    await child.line("done");
    await child.kill();
    const random = chance(7);
    for (const offset of cutOffsets(logSize(live), 12, random)) {
      copyCut(live, cut, offset);
      const before = openRecord(cut);
      const last = before.events("bench").length;
      before.append("bench", last, "later", 1, 1, [{ part: 0, of: 1 }], {
        ok: true,
        session: "bench",
        seq: last + 1,
      });
      before.close();
      const events = read(cut);
      expect(events).toHaveLength(last + 1);
      expectWholeCommands(events);
    }
  }, 300_000);
});

describe("a writer killed at 25 random moments", () => {
  it("has kept every command it said it kept, none twice and none in part", async () => {
    const random = chance(25);
    const said = new Map<string, { from: number; to: number }>();
    let earlier = 0;
    for (let round = 0; round < 25; round += 1) {
      const child = startChild(writer, [folder]);
      await child.line("open");
      await new Promise((resolve) => setTimeout(resolve, random() * 150));
      await child.kill();
      for (const line of child.lines) {
        const [word, commandId, , from, to] = line.split(" ");
        if (word !== "kept" || !commandId || !to) continue;
        said.set(commandId, { from: Number(from), to: Number(to) });
      }
      const events = read(folder);
      expectWholeCommands(events);
      expect(events.length).toBeGreaterThanOrEqual(earlier);
      earlier = events.length;
      const kept = new Map<string, number[]>();
      for (const { commandId, seq } of events) {
        kept.set(commandId, [...(kept.get(commandId) ?? []), seq]);
      }
      for (const [commandId, { from, to }] of said) {
        const expected = Array.from({ length: to - from + 1 }, (_, index) => from + index);
        if (String(kept.get(commandId)) !== String(expected)) {
          expect.fail(`${commandId}: said ${expected}, kept ${kept.get(commandId)}`);
        }
      }
      // At most the one command of each round that was cut off before it could be said.
      expect(kept.size - said.size).toBeLessThanOrEqual(round + 1);
    }
    expect(said.size).toBeGreaterThan(100);
  }, 300_000);
});
