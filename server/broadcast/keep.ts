import { RecordProblem, type SessionRecord } from "../record/record.ts";

/**
 * Keeps a setting of the broadcast link in the record. A disk that refuses is said at the next pour;
 * the link goes on with what it has in memory.
 */
export function keep(record: SessionRecord, key: string, value: unknown): void {
  try {
    record.setSetting(key, JSON.stringify(value));
  } catch (error) {
    if (!(error instanceof RecordProblem)) throw error;
    console.error(error.message);
  }
}

/** What was kept, or `undefined` where nothing was or it cannot be read. */
export function kept(record: SessionRecord, key: string): unknown {
  const stored = record.setting(key);
  if (stored === undefined) return undefined;
  try {
    return JSON.parse(stored);
  } catch {
    return undefined;
  }
}
