import {
  accessSync,
  closeSync,
  constants,
  existsSync,
  fsyncSync,
  openSync,
  renameSync,
  rmSync,
  statSync,
} from "node:fs";
import { dirname, join, resolve } from "node:path";
import Database from "libsql";
import type { Answer } from "../../shared/session/wire.ts";
import { makeFolder, syncFolder } from "./folder.ts";
import { inspectRecord } from "./inspect.ts";
import { holdFolder } from "./lock.ts";
import { RecordProblem, recordProblem } from "./problem.ts";
import { currentVersion, migrationFrom } from "./schema.ts";

export { RecordProblem, type RecordProblemCode } from "./problem.ts";

/** `at`: the tap's time, `serverAt`: when it was kept; both ms since 1970 on the server's clock. */
export type StoredEvent = {
  session: string;
  /** 1 for a session's first event, without gaps. */
  seq: number;
  commandId: string;
  at: number;
  serverAt: number;
  body: unknown;
};

/** `openedAt` and `lastAt`: `serverAt` of the first and last event. */
export type SessionSummary = { id: string; lastSeq: number; openedAt: number; lastAt: number };

/** What the library says its settings are, as numbers where it answers with numbers. */
export type RecordPragmas = {
  journalMode: string;
  synchronous: number;
  fullfsync: number;
  checkpointFullfsync: number;
  lockingMode: string;
  walAutocheckpoint: number;
  applicationId: number;
  userVersion: number;
};

export type SessionRecord = {
  /**
   * Keeps the events of one command and its answer, all or none, and returns once they are on disk.
   * Throws where `expectedSeq` is not the session's last sequence number (0: a new session), where
   * the command id has been answered before, where there is no event, or, as a `RecordProblem`,
   * where the disk refuses. Nothing has changed then.
   */
  append(
    session: string,
    expectedSeq: number,
    commandId: string,
    at: number,
    serverAt: number,
    bodies: readonly unknown[],
    answer: Answer,
  ): void;
  /**
   * Keeps all events of a session that was recorded elsewhere, with their own times, all or none, and
   * returns once they are on disk. Throws as `append` does, and where there is such a session.
   */
  bring(
    session: string,
    commandId: string,
    events: readonly { at: number; serverAt: number; body: unknown }[],
    answer: Answer,
  ): void;
  /** Keeps the answer to a command that appended nothing; a first answer already kept stands. */
  refuse(session: string, commandId: string, answer: Answer): void;
  answer(commandId: string): Answer | undefined;
  /** The session's events after `afterSeq` (default 0: all), in order. */
  events(session: string, afterSeq?: number): StoredEvent[];
  /** Oldest first; without what is done to shelf and plans. */
  sessions(): SessionSummary[];
  setting(key: string): string | undefined;
  setSetting(key: string, value: string): void;
  /**
   * Writes a whole copy to a file that does not exist yet; it is on disk when this returns. To
   * restore, put the copy into an empty data folder under the name of `file`.
   */
  backup(toFile: string): void;
  /**
   * Path of the record. Never open it inside this process: closing any handle to it would drop the
   * library's own lock on POSIX systems.
   */
  file: string;
  pragmas(): RecordPragmas;
  /** How long the last appends took, disk sync included, ms, oldest first; at most 10,000. */
  appendMs(): readonly number[];
  close(): void;
};

/** Name of the record in its folder. */
export const recordName = "record.db";

/** Under this name, which no session has, the record keeps what is done to shelf and plans. */
export const preparationStream = "preparation";

/** Beyond this the write-ahead log is worked into the main file, bytes. */
const walLimit = 4 * 1024 * 1024;

const timingsKept = 10_000;

type EventRow = {
  session: string;
  seq: number;
  command_id: string;
  at: number;
  server_at: number;
  body: string;
};

/**
 * Opens the record in `folder`, making both where they are missing. Throws a `RecordProblem`, having
 * changed no byte of what was there, where the folder cannot be written, another process holds it,
 * or the record is damaged, foreign or newer than this Pourside.
 */
export function openRecord(folder: string): SessionRecord {
  const home = resolve(folder);
  const file = join(home, recordName);
  let letGo: (() => void) | undefined;
  try {
    makeFolder(home);
    accessSync(home, constants.W_OK);
    letGo = holdFolder(home);
    const version = inspectRecord(file);
    if (existsSync(file)) accessSync(file, constants.W_OK);
    const db = new Database(file);
    try {
      prepareFile(db, file, version);
    } catch (error) {
      db.close();
      throw error;
    }
    return recordIn(db, file, letGo);
  } catch (error) {
    letGo?.();
    const problem = recordProblem(error, home);
    throw problem instanceof RecordProblem ? problem : error;
  }
}

/** All of the work or, where it throws, none. */
const whole = (db: Database.Database, work: () => void): void => {
  db.exec("BEGIN IMMEDIATE");
  try {
    work();
    db.exec("COMMIT");
  } catch (error) {
    if (db.inTransaction) db.exec("ROLLBACK");
    throw error;
  }
};

/** Without prepared statements, so that the file is let go of where this throws. */
const prepareFile = (db: Database.Database, file: string, version: number): void => {
  // The exclusive mode has to be set before the log is first read: the log's index is then kept in
  // memory, and no other program can move the record while it is in use.
  db.exec("PRAGMA locking_mode = EXCLUSIVE");
  db.exec("PRAGMA synchronous = FULL");
  db.exec("PRAGMA fullfsync = ON");
  db.exec("PRAGMA checkpoint_fullfsync = ON");
  db.exec("PRAGMA trusted_schema = OFF");
  // Before the log is switched on, so that the main file states its owner and version from the start.
  if (version < currentVersion) whole(db, () => db.exec(migrationFrom(version)));
  db.exec("PRAGMA journal_mode = WAL");
  // The log is always emptied whole: one that has been worked into the main file but still holds its
  // frames would, if it lost its end, lay older pages over newer ones.
  db.exec("PRAGMA wal_autocheckpoint = 0");
  syncFolder(dirname(file));
};

function recordIn(db: Database.Database, file: string, letGo: () => void): SessionRecord {
  const pragma = (name: string): unknown => {
    const row = db.prepare(`PRAGMA ${name}`).all()[0];
    return row && typeof row === "object" ? Object.values(row)[0] : undefined;
  };
  const insertEvent = db.prepare(
    "INSERT INTO events (session, seq, command_id, at, server_at, body) VALUES (?, ?, ?, ?, ?, ?)",
  );
  const insertAnswer = db.prepare(
    "INSERT INTO answers (command_id, session, answer) VALUES (?, ?, ?)",
  );
  const insertFirstAnswer = db.prepare(
    "INSERT INTO answers (command_id, session, answer) SELECT ?, ?, ? WHERE NOT EXISTS (SELECT 1 FROM answers WHERE command_id = ?)",
  );
  const selectAnswer = db.prepare("SELECT answer FROM answers WHERE command_id = ?");
  const selectEvents = db.prepare(
    "SELECT session, seq, command_id, at, server_at, body FROM events WHERE session = ? AND seq > ? ORDER BY seq",
  );
  // Steps from session to session along the primary key instead of reading every event.
  const selectSessions = db.prepare(`
    WITH RECURSIVE ids (id) AS (
      SELECT min(session) FROM events
      UNION ALL
      SELECT (SELECT min(session) FROM events WHERE session > ids.id) FROM ids WHERE id IS NOT NULL
    ), ends (id, lastSeq) AS (
      SELECT id, (SELECT max(seq) FROM events WHERE session = id) FROM ids WHERE id IS NOT NULL
    )
    SELECT id, lastSeq, opened.server_at AS openedAt, last.server_at AS lastAt
    FROM ends
    JOIN events AS opened ON opened.session = id AND opened.seq = 1
    JOIN events AS last ON last.session = id AND last.seq = lastSeq
    WHERE id <> '${preparationStream}'
    ORDER BY openedAt, id`);
  const selectSetting = db.prepare("SELECT value FROM settings WHERE key = ?");
  const upsertSetting = db.prepare(
    "INSERT INTO settings (key, value) VALUES (?, ?) ON CONFLICT (key) DO UPDATE SET value = excluded.value",
  );
  const emptyLog = db.prepare("PRAGMA wal_checkpoint(TRUNCATE)");

  let closed = false;
  let tidying = false;
  const timings: number[] = [];

  // A prepared statement still works after the library's own close, hence this guard.
  const guarded = <T>(work: () => T): T => {
    if (closed) throw new Error("the record has been closed");
    try {
      return work();
    } catch (error) {
      throw recordProblem(error, file);
    }
  };

  const tidy = (): void => {
    tidying = false;
    if (closed) return;
    try {
      emptyLog.all();
    } catch {
      // The log keeps what it holds and the next append says whether the disk still takes writes.
    }
  };

  // Later than the append that filled the log, so that its acknowledgement does not wait.
  const tidySoon = (): void => {
    const size = statSync(`${file}-wal`, { throwIfNoEntry: false })?.size ?? 0;
    if (tidying || size < walLimit) return;
    tidying = true;
    setImmediate(tidy);
  };

  tidy();

  return {
    append(session, expectedSeq, commandId, at, serverAt, bodies, answer) {
      if (bodies.length === 0) throw new Error(`command ${commandId} holds no event to append`);
      guarded(() => {
        const from = performance.now();
        whole(db, () => {
          insertAnswer.run(commandId, session, JSON.stringify(answer));
          bodies.forEach((body, index) => {
            const seq = expectedSeq + 1 + index;
            insertEvent.run(session, seq, commandId, at, serverAt, JSON.stringify(body));
          });
        });
        if (timings.length >= timingsKept) timings.splice(0, timingsKept / 10);
        timings.push(performance.now() - from);
        tidySoon();
      });
    },
    bring(session, commandId, events, answer) {
      if (events.length === 0) throw new Error(`session ${session} holds no event to bring`);
      guarded(() => {
        whole(db, () => {
          insertAnswer.run(commandId, session, JSON.stringify(answer));
          events.forEach(({ at, serverAt, body }, index) => {
            insertEvent.run(session, index + 1, commandId, at, serverAt, JSON.stringify(body));
          });
        });
        tidySoon();
      });
    },
    refuse(session, commandId, answer) {
      guarded(() => {
        insertFirstAnswer.run(commandId, session, JSON.stringify(answer), commandId);
      });
    },
    answer(commandId) {
      return guarded(() => {
        const row = selectAnswer.all(commandId)[0] as { answer: string } | undefined;
        return row && (JSON.parse(row.answer) as Answer);
      });
    },
    events(session, afterSeq = 0) {
      return guarded(() =>
        (selectEvents.all(session, afterSeq) as EventRow[]).map((row) => ({
          session: row.session,
          seq: row.seq,
          commandId: row.command_id,
          at: row.at,
          serverAt: row.server_at,
          body: JSON.parse(row.body) as unknown,
        })),
      );
    },
    sessions() {
      return guarded(() => selectSessions.all() as SessionSummary[]);
    },
    setting(key) {
      return guarded(() => (selectSetting.all(key)[0] as { value: string } | undefined)?.value);
    },
    setSetting(key, value) {
      guarded(() => {
        upsertSetting.run(key, value);
      });
    },
    backup(toFile) {
      const target = resolve(toFile);
      if (existsSync(target)) throw new RecordProblem("unwritable", target);
      const unfinished = `${target}.unfinished`;
      if (closed) throw new Error("the record has been closed");
      try {
        rmSync(unfinished, { force: true });
        db.exec(`VACUUM INTO '${unfinished.replaceAll("'", "''")}'`);
        const fd = openSync(unfinished, "r+");
        try {
          fsyncSync(fd);
        } finally {
          closeSync(fd);
        }
        renameSync(unfinished, target);
        syncFolder(dirname(target));
      } catch (error) {
        throw recordProblem(error, target);
      }
    },
    file,
    pragmas() {
      return guarded(() => ({
        journalMode: String(pragma("journal_mode")),
        synchronous: Number(pragma("synchronous")),
        fullfsync: Number(pragma("fullfsync")),
        checkpointFullfsync: Number(pragma("checkpoint_fullfsync")),
        lockingMode: String(pragma("locking_mode")),
        walAutocheckpoint: Number(pragma("wal_autocheckpoint")),
        applicationId: Number(pragma("application_id")),
        userVersion: Number(pragma("user_version")),
      }));
    },
    appendMs() {
      return timings;
    },
    close() {
      if (closed) return;
      closed = true;
      try {
        // Leaving the log empties it and is the only way to let go of a file whose statements
        // outlive the connection.
        db.exec("PRAGMA journal_mode = DELETE");
        db.exec("PRAGMA locking_mode = NORMAL");
        db.exec("SELECT 1 FROM settings LIMIT 1");
      } finally {
        db.close();
        letGo();
      }
    },
  };
}
