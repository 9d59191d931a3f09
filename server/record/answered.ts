import { RecordProblem } from "./record.ts";

/** What a command or a change is answered when it was not written. */
export type NotWritten = { ok: false; code: string; say: string };

/**
 * A disk that refuses is said to the dyer, and so is a failure of ours: what was not written did not
 * happen, and one command that fails must not end the session for everybody.
 */
export function answered<Answer>(work: () => Answer): Answer | NotWritten {
  try {
    return work();
  } catch (error) {
    if (error instanceof RecordProblem) return { ok: false, code: error.code, say: error.message };
    console.error(error);
    const say = "Pourside failed at this, and wrote nothing. Try again.";
    return { ok: false, code: "failed", say };
  }
}
