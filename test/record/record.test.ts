import { existsSync, mkdtempSync, readdirSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { openRecord, type SessionRecord } from "../../server/record/record.ts";
import { applicationId, currentVersion } from "../../server/record/schema.ts";
import type { Answer } from "../../shared/session/wire.ts";

let folder: string;
let record: SessionRecord;

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "pourside-record-"));
  record = openRecord(folder);
});

afterEach(() => {
  record.close();
  rmSync(folder, { recursive: true, force: true });
});

const kept = (seq: number): Answer => ({ ok: true, session: "dusk", seq });
const tap = 1_795_590_913_195;

describe("the library's settings", () => {
  it("write ahead and wait for the disk at every commit", () => {
    expect(record.pragmas()).toEqual({
      journalMode: "wal",
      synchronous: 2,
      fullfsync: 1,
      checkpointFullfsync: 1,
      lockingMode: "exclusive",
      walAutocheckpoint: 0,
      applicationId,
      userVersion: currentVersion,
    });
  });

  it("are the same when a record is opened again", () => {
    const first = record.pragmas();
    record.close();
    record = openRecord(folder);
    expect(record.pragmas()).toEqual(first);
  });

  it("mark the file as a record of version 1 with an identity of its own", () => {
    expect(applicationId).toBe(Buffer.from("Pour", "ascii").readUInt32BE(0));
    expect(record.pragmas().userVersion).toBe(1);
  });

  it("keep no shared index file beside the record", () => {
    record.append("dusk", 0, "c1", tap, tap, [{}], kept(1));
    expect(readdirSync(folder).sort()).toEqual(["record.db", "record.db-wal", "record.lock"]);
  });
});

describe("events", () => {
  it("come back in order with their times, their command and their body", () => {
    record.append(
      "dusk",
      0,
      "c1",
      tap,
      tap + 4,
      [{ kind: "opened", sheet: ["\u202fé😀\u202e"] }],
      kept(1),
    );
    record.append("dusk", 1, "c2", tap + 10, tap + 11, ["a", null, 3.5], kept(4));
    expect(record.events("dusk")).toEqual([
      {
        session: "dusk",
        seq: 1,
        commandId: "c1",
        at: tap,
        serverAt: tap + 4,
        body: { kind: "opened", sheet: ["\u202fé😀\u202e"] },
      },
      { session: "dusk", seq: 2, commandId: "c2", at: tap + 10, serverAt: tap + 11, body: "a" },
      { session: "dusk", seq: 3, commandId: "c2", at: tap + 10, serverAt: tap + 11, body: null },
      { session: "dusk", seq: 4, commandId: "c2", at: tap + 10, serverAt: tap + 11, body: 3.5 },
    ]);
  });

  it("can be asked for after a sequence number", () => {
    record.append("dusk", 0, "c1", tap, tap, [1, 2, 3], kept(3));
    expect(record.events("dusk", 2).map(({ seq }) => seq)).toEqual([3]);
    expect(record.events("dusk", 3)).toEqual([]);
    expect(record.events("dawn")).toEqual([]);
  });

  it("are the same after the record is closed and opened", () => {
    record.append("dusk", 0, "c1", tap, tap, [{ a: 1 }, { b: 2 }], kept(2));
    const before = record.events("dusk");
    record.close();
    record = openRecord(folder);
    expect(record.events("dusk")).toEqual(before);
    expect(record.answer("c1")).toEqual(kept(2));
  });

  it.each([0, 1, 3, 99])(
    "are refused after %i where the last is 2, and nothing is kept",
    (expected) => {
      record.append("dusk", 0, "c1", tap, tap, [1, 2], kept(2));
      expect(() => record.append("dusk", expected, "c2", tap, tap, ["x", "y"], kept(9))).toThrow(
        "an event has to follow the last one of its session",
      );
      expect(record.events("dusk").map(({ body }) => body)).toEqual([1, 2]);
      expect(record.answer("c2")).toBeUndefined();
      record.append("dusk", 2, "c2", tap, tap, [3], kept(3));
      expect(record.events("dusk")).toHaveLength(3);
    },
  );

  it("are kept all or none when one of a command's events cannot be written as JSON", () => {
    expect(() => record.append("dusk", 0, "c1", tap, tap, [1, undefined], kept(2))).toThrow();
    expect(() => record.append("dusk", 0, "c1", tap, tap, [1, 2n], kept(2))).toThrow();
    expect(record.events("dusk")).toEqual([]);
    expect(record.answer("c1")).toBeUndefined();
  });

  it("are refused with a time that is not a whole millisecond", () => {
    expect(() => record.append("dusk", 0, "c1", tap + 0.5, tap, [1], kept(1))).toThrow();
    expect(() => record.append("dusk", 0, "c1", Number.NaN, tap, [1], kept(1))).toThrow();
    expect(record.events("dusk")).toEqual([]);
  });

  it("are refused where a command has none", () => {
    expect(() => record.append("dusk", 0, "c1", tap, tap, [], kept(0))).toThrow("no event");
  });

  it("are found again whatever the length of one", () => {
    const long = "m".repeat(300_000);
    record.append("dusk", 0, "c1", tap, tap, [long, "after"], kept(2));
    expect(record.events("dusk").map(({ body }) => body)).toEqual([long, "after"]);
  });

  it("are still all there after the log has been emptied in between", async () => {
    const log = "y".repeat(20_000);
    for (let seq = 0; seq < 600; seq += 1) {
      record.append("dusk", seq, `c${seq}`, tap, tap, [{ seq, log }], kept(seq + 1));
      if (seq % 50 === 0) await new Promise((resolve) => setImmediate(resolve));
    }
    const bodies = record.events("dusk").map(({ body }) => body as { seq: number });
    expect(bodies.map(({ seq }) => seq)).toEqual(Array.from({ length: 600 }, (_, seq) => seq));
  });
});

describe("a repeated command id", () => {
  it("appends nothing, in its own session or another, and the first answer stands", () => {
    record.append("dusk", 0, "c1", tap, tap, [1], kept(1));
    const again = "the first answer stands";
    expect(() => record.append("dusk", 1, "c1", tap, tap, [2], kept(2))).toThrow(again);
    expect(() => record.append("dawn", 0, "c1", tap, tap, [2], kept(1))).toThrow(again);
    expect(record.events("dusk").map(({ body }) => body)).toEqual([1]);
    expect(record.events("dawn")).toEqual([]);
    expect(record.answer("c1")).toEqual(kept(1));
  });

  it("gets its first refusal again", () => {
    const first: Answer = { ok: false, code: "stale", say: "Another pour is current now." };
    record.refuse("dusk", "c1", first);
    record.refuse("dusk", "c1", { ok: false, code: "other", say: "Something else." });
    expect(record.answer("c1")).toEqual(first);
    expect(() => record.append("dusk", 0, "c1", tap, tap, [1], kept(1))).toThrow();
    expect(record.answer("c1")).toEqual(first);
    expect(record.events("dusk")).toEqual([]);
  });

  it("is unknown before it was ever sent", () => {
    expect(record.answer("c1")).toBeUndefined();
  });
});

describe("sessions", () => {
  it("are listed oldest first with their ends", () => {
    expect(record.sessions()).toEqual([]);
    record.append("z-first", 0, "c1", tap - 9, tap, [1], kept(1));
    record.append("a-second", 0, "c2", tap, tap + 100, [1, 2], kept(2));
    record.append("z-first", 1, "c3", tap, tap + 200, [2, 3], kept(3));
    expect(record.sessions()).toEqual([
      { id: "z-first", lastSeq: 3, openedAt: tap, lastAt: tap + 200 },
      { id: "a-second", lastSeq: 2, openedAt: tap + 100, lastAt: tap + 100 },
    ]);
  });
});

describe("settings", () => {
  it("are replaced, and kept over a restart", () => {
    expect(record.setting("current session")).toBeUndefined();
    record.setSetting("current session", "dusk");
    record.setSetting("current session", "dawn");
    record.close();
    record = openRecord(folder);
    expect(record.setting("current session")).toBe("dawn");
  });
});

describe("a backup", () => {
  it("opens as a record with the same events, answers and settings", () => {
    record.append("dusk", 0, "c1", tap, tap, [{ a: 1 }, { b: 2 }], kept(2));
    record.refuse("dusk", "c2", { ok: false, code: "stale", say: "Another pour is current now." });
    record.setSetting("current session", "dusk");
    const elsewhere = mkdtempSync(join(folder, "it's elsewhere "));
    record.backup(join(elsewhere, "record.db"));
    record.append("dusk", 2, "c3", tap, tap, [{ after: true }], kept(3));
    const copy = openRecord(elsewhere);
    try {
      expect(copy.events("dusk")).toEqual(record.events("dusk").slice(0, 2));
      expect(copy.answer("c2")).toEqual(record.answer("c2"));
      expect(copy.setting("current session")).toBe("dusk");
      expect(copy.pragmas()).toEqual(record.pragmas());
      copy.append("dusk", 2, "c9", tap, tap, [{ own: true }], kept(3));
    } finally {
      copy.close();
    }
    expect(record.events("dusk")).toHaveLength(3);
  });

  it("is never written over a file that exists", () => {
    const target = join(folder, "backup.db");
    record.backup(target);
    expect(() => record.backup(target)).toThrow(expect.objectContaining({ code: "unwritable" }));
    expect(() => record.backup(record.file)).toThrow(
      expect.objectContaining({ code: "unwritable" }),
    );
  });

  it("leaves nothing half-written where the folder is missing", () => {
    const missing = join(folder, "missing");
    expect(() => record.backup(join(missing, "backup.db"))).toThrow(
      expect.objectContaining({ code: "unwritable" }),
    );
    expect(existsSync(missing)).toBe(false);
  });
});

describe("a closed record", () => {
  it("refuses to read and to write, and may be closed twice", () => {
    record.close();
    record.close();
    expect(() => record.append("dusk", 0, "c1", tap, tap, [1], kept(1))).toThrow("closed");
    expect(() => record.events("dusk")).toThrow("closed");
    expect(() => record.backup(join(folder, "backup.db"))).toThrow("closed");
  });

  it("is one whole file without a log", () => {
    record.append("dusk", 0, "c1", tap, tap, [1], kept(1));
    record.close();
    expect(readdirSync(folder).sort()).toEqual(["record.db", "record.lock"]);
  });
});
