import { execFileSync } from "node:child_process";
import { createHash } from "node:crypto";
import {
  chmodSync,
  copyFileSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  truncateSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import Database from "libsql";
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from "vitest";
import { openRecord, RecordProblem } from "../../server/record/record.ts";
import { currentVersion } from "../../server/record/schema.ts";
import { bundle } from "./bundle.ts";
import { chance } from "./chance.ts";
import { type Child, startChild } from "./child.ts";
import { copyCut, logSize } from "./cut.ts";

let opener: string;
let writer: string;
let folder: string;
let file: string;
const children: Child[] = [];

const start = (script: string, args: readonly string[], user?: number): Child => {
  const child = startChild(script, args, user);
  children.push(child);
  return child;
};

beforeAll(async () => {
  opener = await bundle(fileURLToPath(new URL("opener.ts", import.meta.url)));
  writer = await bundle(fileURLToPath(new URL("writer.ts", import.meta.url)));
});

afterAll(() => {
  rmSync(opener);
  rmSync(writer);
});

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "pourside-inspect-"));
  file = join(folder, "record.db");
});

afterEach(async () => {
  await Promise.all(children.splice(0).map((child) => child.kill()));
  rmSync(folder, { recursive: true, force: true });
});

/** A record of 40 commands in `folder`, as a killed server leaves it: most of it in the log. */
const leaveKilled = async (): Promise<void> => {
  const child = start(writer, [folder, "40", "dusk"]);
  await child.line("done");
  await child.kill();
  expect(logSize(folder)).toBeGreaterThan(20_000);
};

/** A record of 120 events in `folder`, closed as it should be. */
const leaveClosed = (): void => {
  const record = openRecord(folder);
  for (let seq = 0; seq < 120; seq += 1) {
    const answer = { ok: true, session: "dusk", seq: seq + 1 } as const;
    record.append("dusk", seq, `c${seq}`, 1, 1, [{ note: "n".repeat(700) }], answer);
  }
  record.close();
};

const digest = (path: string): string =>
  createHash("sha256").update(readFileSync(path)).digest("hex");

const bytesIn = (of: string): Map<string, string> =>
  new Map(
    readdirSync(of)
      .filter((name) => name !== "record.lock")
      .filter((name) => statSync(join(of, name)).isFile())
      .map((name) => [name, digest(join(of, name))]),
  );

/** The problem that opening meets; fails where it opens, or where a byte has changed after it. */
const problemOf = (of: string): RecordProblem => {
  const before = bytesIn(of);
  let met: unknown;
  try {
    openRecord(of).close();
  } catch (error) {
    met = error;
  }
  expect(bytesIn(of)).toEqual(before);
  if (!(met instanceof RecordProblem)) throw met ?? new Error("it opened");
  return met;
};

describe("a record that opens", () => {
  it("is made, with its folders, where there is none", () => {
    const deep = join(folder, "a", "b");
    const record = openRecord(deep);
    expect(record.file).toBe(join(deep, "record.db"));
    record.close();
  });

  it("may have been an empty file, as a start that was cut short leaves it", () => {
    writeFileSync(file, "");
    openRecord(folder).close();
    openRecord(folder).close();
  });

  it("may have been killed while it was being made", async () => {
    const random = chance(8);
    for (let round = 0; round < 15; round += 1) {
      const made = join(folder, `made-${round}`);
      const child = start(opener, [made]);
      await child.line("opening");
      const end = performance.now() + random() * 20;
      while (performance.now() < end) await new Promise((resolve) => setImmediate(resolve));
      await child.kill();
      const record = openRecord(made);
      expect(record.pragmas().userVersion).toBe(currentVersion);
      record.append("dusk", 0, "c1", 1, 1, [1], { ok: true, session: "dusk", seq: 1 });
      record.close();
      const again = openRecord(made);
      expect(again.events("dusk")).toHaveLength(1);
      again.close();
    }
  });

  it("may have been killed, and leaves no copy of itself behind", async () => {
    await leaveKilled();
    const record = openRecord(folder);
    expect(record.events("dusk").length).toBeGreaterThan(40);
    expect(readdirSync(folder).sort()).toEqual(["record.db", "record.db-wal", "record.lock"]);
    expect(logSize(folder)).toBe(0);
    record.close();
  });
});

describe("a damaged record", () => {
  it("is one that is no database", () => {
    writeFileSync(file, "A letter about wool.\n".repeat(400));
    const problem = problemOf(folder);
    expect(problem.code).toBe("damaged");
    expect(problem.message).toBe(
      `The record ${file} is damaged and was left as it is: put a backup in its place, or choose another folder with --data.`,
    );
  });

  it("is one that is shorter than any database", () => {
    writeFileSync(file, "wool");
    expect(problemOf(folder).code).toBe("damaged");
  });

  it.each([0.05, 0.3, 0.5, 0.77, 0.999])("is one cut to %f of its length", (share) => {
    leaveClosed();
    truncateSync(file, Math.floor(statSync(file).size * share));
    expect(problemOf(folder).code).toBe("damaged");
  });

  it("is one with a page of nonsense in its middle", () => {
    leaveClosed();
    const bytes = readFileSync(file);
    const page = 4096;
    bytes.fill(0xa5, page * 8, page * 9);
    writeFileSync(file, bytes);
    expect(problemOf(folder).code).toBe("damaged");
  });

  it("is a log without its main file, or with an empty one", async () => {
    await leaveKilled();
    truncateSync(file, 0);
    expect(problemOf(folder).code).toBe("damaged");
    rmSync(file);
    expect(problemOf(folder).code).toBe("damaged");
  });

  it("keeps its log as well when both are there", async () => {
    leaveClosed();
    await leaveKilled();
    const bytes = readFileSync(file);
    const page = 4096;
    bytes.fill(0xa5, page * 8, page * 9);
    writeFileSync(file, bytes);
    expect(problemOf(folder).code).toBe("damaged");
    expect(readdirSync(folder).sort()).toEqual(["record.db", "record.db-wal", "record.lock"]);
  });

  it("can be followed by a start with a backup in its place, in the same process", () => {
    leaveClosed();
    const backup = join(folder, "backup.db");
    copyFileSync(file, backup);
    truncateSync(file, 5_000);
    expect(problemOf(folder).code).toBe("damaged");
    copyFileSync(backup, file);
    const record = openRecord(folder);
    expect(record.events("dusk")).toHaveLength(120);
    record.close();
  });
});

describe("a file that is not ours", () => {
  const foreign = (journal: string): Database.Database => {
    const db = new Database(file);
    db.exec(`PRAGMA journal_mode = ${journal}`);
    db.exec("CREATE TABLE recipes (name TEXT)");
    db.exec("INSERT INTO recipes VALUES ('soup')");
    return db;
  };

  it("is said to be foreign whether it names another owner or none", () => {
    const db = foreign("DELETE");
    db.exec("PRAGMA user_version = 99");
    db.close();
    expect(problemOf(folder).code).toBe("foreign");
    const named = new Database(file);
    named.exec("PRAGMA application_id = 1234");
    named.close();
    const problem = problemOf(folder);
    expect(problem.code).toBe("foreign");
    expect(problem.message).toContain("not a Pourside record");
    expect(problem.message).toContain(file);
  });

  it("is recognised by its log too, which stays as it is", () => {
    const db = foreign("WAL");
    const elsewhere = join(folder, "elsewhere");
    copyCut(folder, elsewhere, logSize(folder));
    db.close();
    expect(problemOf(elsewhere).code).toBe("foreign");
  });
});

describe("a newer record", () => {
  it("is left alone", () => {
    leaveClosed();
    const db = new Database(file);
    db.exec(`PRAGMA user_version = ${currentVersion + 1}`);
    db.close();
    const problem = problemOf(folder);
    expect(problem.code).toBe("newer");
    expect(problem.message).toContain("newer Pourside");
  });

  it("is recognised where its version is still in the log", async () => {
    leaveClosed();
    const db = new Database(file);
    db.exec("PRAGMA journal_mode = WAL");
    db.exec(`PRAGMA user_version = ${currentVersion + 1}`);
    const elsewhere = join(folder, "elsewhere");
    copyCut(folder, elsewhere, logSize(folder));
    db.close();
    expect(readFileSync(join(elsewhere, "record.db")).readUInt32BE(60)).toBe(currentVersion);
    expect(problemOf(elsewhere).code).toBe("newer");
  });
});

describe("a record in use", () => {
  it("is refused to a second server, and the first goes on writing", async () => {
    const first = start(writer, [folder]);
    await first.line("kept");
    const second = start(opener, [folder]);
    await second.ended;
    expect(second.lines.slice(1)).toEqual([
      `problem locked Another Pourside is using the record in ${folder}: close that one first, or choose another folder with --data.`,
    ]);
    const before = first.lines.length;
    await expect.poll(() => first.lines.length).toBeGreaterThan(before);
  });

  it("is refused a second time within one process, and the lock then still holds", async () => {
    const record = openRecord(folder);
    expect(() => openRecord(folder)).toThrow(expect.objectContaining({ code: "locked" }));
    const other = start(opener, [folder]);
    await other.ended;
    expect(other.lines.at(-1)).toMatch(/^problem locked /);
    record.close();
    const later = start(opener, [folder]);
    await later.line("opened");
  });

  it("is free again at once when its server has been killed", async () => {
    const first = start(opener, [folder]);
    await first.line("opened");
    await first.kill();
    const second = start(opener, [folder]);
    await second.line("opened");
  });
});

describe("a folder that cannot be written", () => {
  it("is one below a file", () => {
    writeFileSync(join(folder, "notes"), "wool");
    const below = join(folder, "notes", "data");
    expect(() => openRecord(below)).toThrow(
      expect.objectContaining({
        code: "unwritable",
        message: `Pourside cannot write in ${below}: make room there, allow writing there, or choose another folder with --data.`,
      }),
    );
    expect(() => openRecord(join(folder, "notes"))).toThrow(
      expect.objectContaining({ code: "unwritable" }),
    );
    expect(readFileSync(join(folder, "notes"), "utf8")).toBe("wool");
  });

  // The number that Linux gives to nobody; root may write everywhere, so another user has to try.
  const nobody = process.getuid?.() === 0 ? 65_534 : undefined;
  const canLock = process.platform !== "win32";

  it.runIf(canLock)("is one without leave to write, with a record or without", async () => {
    chmodSync(folder, 0o755);
    const empty = join(folder, "empty");
    mkdirSync(empty, 0o555);
    leaveClosed();
    chmodSync(folder, 0o555);
    const before = readFileSync(file);
    for (const refused of [empty, folder, join(empty, "new")]) {
      const child = start(opener, [refused], nobody);
      await child.ended;
      expect(child.lines.at(-1)).toMatch(/^problem unwritable Pourside cannot write in /);
    }
    expect(readFileSync(file).equals(before)).toBe(true);
    expect(readdirSync(empty)).toEqual([]);
    chmodSync(folder, 0o755);
  });

  it.runIf(canLock)("is one whose record alone may not be written", async () => {
    leaveClosed();
    rmSync(join(folder, "record.lock"));
    chmodSync(file, 0o444);
    chmodSync(folder, 0o777);
    const before = readFileSync(file);
    const child = start(opener, [folder], nobody);
    await child.ended;
    expect(child.lines.at(-1)).toMatch(/^problem unwritable /);
    expect(readFileSync(file).equals(before)).toBe(true);
  });

  const mayMount = (() => {
    if (process.platform !== "linux" || nobody === undefined) return false;
    const at = mkdtempSync(join(tmpdir(), "pourside-mount-"));
    try {
      execFileSync("mount", ["-t", "tmpfs", "none", at], { stdio: "ignore" });
      execFileSync("umount", [at]);
      return true;
    } catch {
      return false;
    } finally {
      rmSync(at, { recursive: true, force: true });
    }
  })();

  it.runIf(mayMount)("is one on a file system that is read-only", async () => {
    execFileSync("mount", ["-t", "tmpfs", "none", folder]);
    try {
      await leaveKilled();
      execFileSync("mount", ["-o", "remount,ro", folder]);
      expect(problemOf(folder).code).toBe("unwritable");
    } finally {
      execFileSync("umount", ["-l", folder]);
    }
  });

  it.runIf(mayMount)("is one on a disk that is full, and what it holds can still be read", () => {
    execFileSync("mount", ["-t", "tmpfs", "-o", "size=600k", "none", folder]);
    try {
      const record = openRecord(folder);
      let seq = 0;
      const fill = () => {
        for (; seq < 1_000; seq += 1) {
          const answer = { ok: true, session: "dusk", seq: seq + 1 } as const;
          record.append("dusk", seq, `c${seq}`, 1, 1, [{ note: "n".repeat(3_000) }], answer);
        }
      };
      expect(fill).toThrow(expect.objectContaining({ code: "unwritable" }));
      expect(seq).toBeGreaterThan(10);
      expect(record.events("dusk")).toHaveLength(seq);
      expect(record.answer(`c${seq}`)).toBeUndefined();
      // As a killed server would leave it on the full disk.
      copyCut(folder, `${folder}-copy`, logSize(folder));
      const copy = openRecord(`${folder}-copy`);
      expect(copy.events("dusk")).toHaveLength(seq);
      copy.close();
    } finally {
      execFileSync("umount", ["-l", folder]);
      rmSync(`${folder}-copy`, { recursive: true, force: true });
    }
  });

  it("is left without a trace of the attempt", () => {
    writeFileSync(join(folder, "notes"), "wool");
    expect(() => openRecord(join(folder, "notes", "data"))).toThrow(RecordProblem);
    expect(existsSync(join(folder, "record.lock"))).toBe(false);
  });
});
