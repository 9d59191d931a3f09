/**
 * Appends commands of one to four events to the record in the folder given, as fast as the disk
 * takes them, and says each on standard output once it is kept:
 * `kept <command id> <session> <first seq> <last seq>`. Ends after the number of commands given.
 */
import { randomUUID } from "node:crypto";
import { writeSync } from "node:fs";
import { openRecord } from "../../server/record/record.ts";

const [folder, count = "1000000", sessionId = "bench"] = process.argv.slice(2);
if (folder === undefined) throw new Error("name the data folder");

const record = openRecord(folder);
const say = (line: string) => writeSync(1, `${line}\n`);
let seq = record.sessions().find(({ id }) => id === sessionId)?.lastSeq ?? 0;
say(`open ${seq}`);

const appendOne = (left: number): void => {
  if (left === 0) {
    say("done");
    // Stays open, so that whoever started this sees the record as it is while in use.
    setInterval(() => {}, 1_000);
    return;
  }
  const commandId = randomUUID();
  const size = 1 + (seq % 4);
  const bodies = Array.from({ length: size }, (_, part) => ({
    kind: "poured",
    part,
    of: size,
    stock: "Saltmarsh 1 %",
    volumeUl: 1_000 + seq,
    note: "x".repeat((seq * 37) % 400),
  }));
  const now = Date.now();
  const last = seq + size;
  record.append(sessionId, seq, commandId, now - 5, now, bodies, {
    ok: true,
    session: sessionId,
    seq: last,
  });
  say(`kept ${commandId} ${sessionId} ${seq + 1} ${last}`);
  seq = last;
  // One command a turn, as in a server: the log is emptied between them.
  setImmediate(appendOne, left - 1);
};

appendOne(Number(count));
