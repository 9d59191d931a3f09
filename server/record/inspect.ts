import {
  closeSync,
  constants,
  copyFileSync,
  existsSync,
  mkdirSync,
  openSync,
  readSync,
  rmSync,
  statSync,
} from "node:fs";
import { dirname, join } from "node:path";
import Database from "libsql";
import { RecordProblem, recordProblem } from "./problem.ts";
import { applicationId, currentVersion } from "./schema.ts";

const sizeOf = (path: string): number => (existsSync(path) ? statSync(path).size : 0);

/** Version and owner as the first page states them; offsets from the SQLite file format, 1.3. */
const readHeader = (path: string): { magic: string; version: number; owner: number } => {
  const header = Buffer.alloc(100);
  const fd = openSync(path, "r");
  try {
    readSync(fd, header, 0, header.length, 0);
  } finally {
    closeSync(fd);
  }
  return {
    magic: header.toString("latin1", 0, 16),
    version: header.readUInt32BE(60),
    owner: header.readUInt32BE(68),
  };
};

/**
 * Asks the library whether the file is whole. The verdict comes as a failed check instead of rows,
 * because a statement that has been prepared keeps its connection, and so the file, open after
 * `close`.
 */
const checkWhole = (path: string): void => {
  const db = new Database(path);
  try {
    db.exec("CREATE TEMP TABLE verdict (line TEXT CHECK (line = 'ok'))");
    db.exec("INSERT INTO verdict SELECT quick_check FROM pragma_quick_check");
  } finally {
    db.close();
  }
};

/** Copies the record with its logs, and lets the library work the logs into the copy. */
const settleCopy = (file: string, logs: readonly string[]): string => {
  const folder = join(dirname(file), "record.check");
  rmSync(folder, { recursive: true, force: true });
  mkdirSync(folder);
  const copy = join(folder, "record.db");
  copyFileSync(file, copy, constants.COPYFILE_FICLONE);
  for (const log of logs) copyFileSync(file + log, copy + log, constants.COPYFILE_FICLONE);
  const db = new Database(copy);
  try {
    db.exec("PRAGMA synchronous = OFF");
    db.exec("PRAGMA journal_mode = DELETE");
  } finally {
    db.close();
  }
  return copy;
};

/**
 * Returns the record's version (0: there is none yet). Throws a `RecordProblem` where `file` is damaged, foreign or newer, and changes no byte of it or
 * of its logs. After an unclean end the library would work the logs into the file merely by opening
 * and closing it, so then a copy is looked at instead. The folder has to be held.
 */
export const inspectRecord = (file: string): number => {
  const logs = ["-wal", "-journal"].filter((log) => sizeOf(file + log) > 0);
  if (sizeOf(file) === 0) {
    if (logs.includes("-wal")) throw new RecordProblem("damaged", file);
    return 0;
  }
  try {
    const settled = logs.length > 0 ? settleCopy(file, logs) : file;
    if (sizeOf(settled) === 0) return 0;
    const { magic, version, owner } = readHeader(settled);
    if (magic !== "SQLite format 3\0") throw new RecordProblem("damaged", file);
    if (owner !== applicationId) throw new RecordProblem("foreign", file);
    if (version > currentVersion) throw new RecordProblem("newer", file);
    checkWhole(settled);
    return version;
  } catch (error) {
    const failedCheck =
      error instanceof Error && "code" in error && error.code === "SQLITE_CONSTRAINT_CHECK";
    throw failedCheck ? new RecordProblem("damaged", file, error) : recordProblem(error, file);
  } finally {
    if (logs.length > 0) {
      rmSync(join(dirname(file), "record.check"), { recursive: true, force: true });
    }
  }
};
