import { existsSync, mkdirSync, writeFileSync } from "node:fs";
import { isAbsolute, join, resolve } from "node:path";
import { parseArgs } from "node:util";
import { momentsOf } from "../../shared/broadcast/moment.ts";
import { type Refusal, refuse } from "../../shared/dye/refusal.ts";
import { type Video, type VideoClock, videoOf } from "../../shared/recap/video.ts";
import type { RecordedEvent } from "../../shared/session/event.ts";
import type { State } from "../../shared/session/state.ts";
import { clockKept } from "../broadcast/clock.ts";
import type { FollowBuild } from "../http/follow.ts";
import { openRecord, RecordProblem, recordName, type SessionRecord } from "../record/record.ts";
import { Sessions } from "../session/sessions.ts";
import { pouredDemonstration } from "./demonstration.ts";
import { recapFiles } from "./files.ts";

/** The evening of the demonstration: always the same one, so that its files are. */
const demonstrationAt = Date.UTC(2031, 4, 17, 18);

export type Written = { folder: string; session: string; files: readonly string[] };

type Wished = { session?: string; out: string; data: string };

/**
 * Writes all files of a session's recap into a folder, without a server and without a browser: of
 * the session of that name (or short name) in the record, or of the demonstration poured to its
 * end where none is named.
 *
 * @param home folder against which relative paths of the record are read
 * @param follow the follow page as it was built; without it no file to take away is written
 * @param from folder against which the folder to write to is read
 */
export async function writeRecap(
  argv: readonly string[],
  env: Readonly<Record<string, string | undefined>>,
  home: string,
  from: string,
  follow?: FollowBuild,
): Promise<Written | Refusal> {
  const wished = wishOf(argv, env);
  if ("code" in wished) return wished;
  const data = isAbsolute(wished.data) ? wished.data : resolve(home, wished.data);
  const told = wished.session === undefined ? demonstrated() : recorded(wished.session, data);
  if ("code" in told) return told;
  const folder = resolve(from, wished.out);
  try {
    mkdirSync(folder, { recursive: true });
    const files = recapFiles(told.state, { video: told.video, ...(follow ? { follow } : {}) });
    for (const { name, make } of files) writeFileSync(join(folder, name), await make());
    return { folder, session: told.state.setup.name, files: files.map(({ name }) => name) };
  } catch (error) {
    if (!(error instanceof Error && "code" in error)) throw error;
    return refuse(
      "unwritable",
      `Pourside cannot write in ${folder}: make room there, allow writing there, or choose another folder with --out.`,
    );
  }
}

const usage =
  "Say where to write with --out FOLDER, which session with --session NAME (none: the demonstration), and with --data FOLDER where the record is.";

function wishOf(
  argv: readonly string[],
  env: Readonly<Record<string, string | undefined>>,
): Wished | Refusal {
  try {
    const { values } = parseArgs({
      args: [...argv],
      options: {
        session: { type: "string" },
        out: { type: "string" },
        data: { type: "string" },
      },
    });
    if (values.out === undefined || values.out === "") return refuse("flags", usage);
    const data = values.data ?? (env.POURSIDE_DATA || "data");
    const { session, out } = values;
    return session === undefined ? { out, data } : { session, out, data };
  } catch {
    return refuse("flags", usage);
  }
}

type Told = { state: State; video: Video | null };

function told(state: State, events: readonly RecordedEvent[], clock: VideoClock): Told {
  const moments = momentsOf(state.session, events);
  return { state, video: videoOf(state.setup.name, moments, clock) };
}

/** The demonstration, with the clock of a stream that began a minute before it went live. */
function demonstrated(): Told {
  const { state, events } = pouredDemonstration(demonstrationAt);
  const at = (state.liveAt ?? demonstrationAt) - 60_000;
  const start = {
    output: "own",
    run: "own",
    at,
    timecodeMs: 0,
    next: "runs",
    seen: "live",
  } as const;
  return told(state, events, { anchors: [start], offsetMs: 0 });
}

function recorded(name: string, data: string): Told | Refusal {
  if (!existsSync(join(data, recordName))) {
    return refuse(
      "noRecord",
      `There is no record in ${data}: say where it is with --data, or leave --session out for the demonstration.`,
    );
  }
  let record: SessionRecord;
  try {
    record = openRecord(data);
  } catch (error) {
    if (!(error instanceof RecordProblem)) throw error;
    if (error.code !== "locked") return { code: error.code, say: error.message };
    return refuse(
      "locked",
      `A running Pourside holds the record in ${data}: end it first, or ask it for the files at /api/recap/SESSION with the token of a paired tablet.`,
    );
  }
  try {
    const sessions = new Sessions(record);
    const list = sessions.list();
    const wanted = name.trim().toLowerCase();
    const found =
      list.find(({ id }) => id === name) ??
      list.filter((line) => line.name.trim().toLowerCase() === wanted).at(-1);
    const state = found && sessions.state(found.id);
    if (!state) {
      const names = [...new Set(list.map((line) => `"${line.name}"`))].slice(-10).join(", ");
      const known = names === "" ? "It holds none." : `It holds ${names}.`;
      return refuse("unknownSession", `The record has no session "${name}". ${known}`);
    }
    const events = sessions.eventsAfter(state.session, 0);
    return told(state, events, clockKept(record, state.session));
  } finally {
    record.close();
  }
}
