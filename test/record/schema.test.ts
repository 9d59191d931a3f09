import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import Database from "libsql";
import { afterEach, beforeEach, expect, it } from "vitest";
import { openRecord } from "../../server/record/record.ts";

let folder: string;
let db: Database.Database;

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "pourside-schema-"));
  const record = openRecord(folder);
  record.append("dusk", 0, "c1", 1, 1, [{ kind: "opened" }], { ok: true, session: "dusk", seq: 1 });
  record.close();
  db = new Database(record.file);
});

afterEach(() => {
  db.close();
  rmSync(folder, { recursive: true, force: true });
});

it.each([
  ["an event is never changed", "UPDATE events SET body = '{}'"],
  ["an event is never changed", "UPDATE events SET at = 0 WHERE seq = 1"],
  ["an event is never removed", "DELETE FROM events"],
  ["the first answer stands", "UPDATE answers SET answer = '{}'"],
  ["an answer is never removed", "DELETE FROM answers"],
  ["follow the last one", "REPLACE INTO events VALUES ('dusk', 1, 'c9', 1, 1, '{}')"],
  ["the first answer stands", "REPLACE INTO answers VALUES ('c1', 'dusk', '{}')"],
  ["follow the last one", "INSERT INTO events VALUES ('dusk', 3, 'c9', 1, 1, '{}')"],
  ["follow the last one", "INSERT INTO events VALUES ('dawn', 2, 'c9', 1, 1, '{}')"],
  ["CHECK constraint", "INSERT INTO events VALUES ('dusk', 2, 'c9', 1, 1, 'not json')"],
  ["cannot store TEXT", "INSERT INTO events VALUES ('dusk', 2, 'c9', 'noon', 1, '{}')"],
])("whoever opens the file meets: %s (%s)", (sentence, sql) => {
  const before = db.prepare("SELECT * FROM events, answers").all();
  expect(before).toHaveLength(1);
  expect(() => db.exec(sql)).toThrow(sentence);
  expect(db.prepare("SELECT * FROM events, answers").all()).toEqual(before);
});
