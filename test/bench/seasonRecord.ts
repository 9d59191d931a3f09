import Database from "libsql";
import { openRecord } from "../../server/record/record.ts";
import type { RecordedEvent } from "../../shared/session/event.ts";
import type { Answer } from "../../shared/session/wire.ts";

const session = "season";

/**
 * Makes a record that holds a session as the server would have written it, tap by tap, and has it
 * on the bench. The rows go in all at once, for ten thousand syncs take their time.
 */
export function makeSeasonRecord(folder: string, events: readonly RecordedEvent[]): void {
  const empty = openRecord(folder);
  empty.setSetting("onBench", session);
  const { file } = empty;
  empty.close();
  const db = new Database(file);
  const insertEvent = db.prepare(
    "INSERT INTO events (session, seq, command_id, at, server_at, body) VALUES (?, ?, ?, ?, ?, ?)",
  );
  const insertAnswer = db.prepare(
    "INSERT INTO answers (command_id, session, answer) VALUES (?, ?, ?)",
  );
  db.exec("BEGIN");
  for (const { seq, at, serverAt, event } of events) {
    const command = `command-${seq}`;
    insertEvent.run(session, seq, command, at, serverAt, JSON.stringify(event));
    const answer: Answer = { ok: true, session, seq };
    insertAnswer.run(command, session, JSON.stringify(answer));
  }
  db.exec("COMMIT");
  db.close();
}
