/** "Pour" in ASCII; marks a database file as a Pourside record. */
export const applicationId = 0x506f7572;

/**
 * One entry per version, oldest first; a record at version n has had the first n applied. Entries
 * that have been released never change.
 *
 * The events' primary key is their order, so each session lies on disk as it is read. Answers are
 * kept beside the events because a refused command has an answer and no event.
 */
const migrations: readonly string[] = [
  `
  CREATE TABLE events (
    session TEXT NOT NULL,
    seq INTEGER NOT NULL CHECK (seq > 0),
    command_id TEXT NOT NULL,
    at INTEGER NOT NULL,
    server_at INTEGER NOT NULL,
    body TEXT NOT NULL CHECK (json_valid(body)),
    PRIMARY KEY (session, seq)
  ) STRICT, WITHOUT ROWID;

  CREATE TABLE answers (
    command_id TEXT NOT NULL PRIMARY KEY,
    session TEXT NOT NULL,
    answer TEXT NOT NULL CHECK (json_valid(answer))
  ) STRICT, WITHOUT ROWID;

  CREATE TABLE settings (
    key TEXT NOT NULL PRIMARY KEY,
    value TEXT NOT NULL
  ) STRICT, WITHOUT ROWID;

  CREATE TRIGGER events_without_gaps BEFORE INSERT ON events
  WHEN NEW.seq <> 1 + coalesce((SELECT max(seq) FROM events WHERE session = NEW.session), 0)
  BEGIN SELECT raise(ABORT, 'an event has to follow the last one of its session'); END;

  CREATE TRIGGER events_never_change BEFORE UPDATE ON events
  BEGIN SELECT raise(ABORT, 'an event is never changed'); END;

  CREATE TRIGGER events_stay BEFORE DELETE ON events
  BEGIN SELECT raise(ABORT, 'an event is never removed'); END;

  CREATE TRIGGER answers_once BEFORE INSERT ON answers
  WHEN EXISTS (SELECT 1 FROM answers WHERE command_id = NEW.command_id)
  BEGIN SELECT raise(ABORT, 'the first answer stands'); END;

  CREATE TRIGGER answers_never_change BEFORE UPDATE ON answers
  BEGIN SELECT raise(ABORT, 'the first answer stands'); END;

  CREATE TRIGGER answers_stay BEFORE DELETE ON answers
  BEGIN SELECT raise(ABORT, 'an answer is never removed'); END;
  `,
];

/** The newest record version this Pourside knows. */
export const currentVersion = migrations.length;

/**
 * SQL that brings a record from `version` (0: an empty file) to the current one, to be run in one
 * transaction.
 */
export const migrationFrom = (version: number): string =>
  [
    ...migrations.slice(version),
    `PRAGMA application_id = ${applicationId};`,
    `PRAGMA user_version = ${currentVersion};`,
  ].join("\n");
