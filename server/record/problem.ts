/** Why a record cannot be opened or written; `message` is one sentence the dyer can act on. */
export type RecordProblemCode = "unwritable" | "damaged" | "newer" | "locked" | "foreign";

const sentences: Record<RecordProblemCode, (path: string) => string> = {
  unwritable: (path) =>
    `Pourside cannot write in ${path}: make room there, allow writing there, or choose another folder with --data.`,
  damaged: (path) =>
    `The record ${path} is damaged and was left as it is: put a backup in its place, or choose another folder with --data.`,
  newer: (path) =>
    `The record ${path} was kept by a newer Pourside and was left as it is: update this Pourside, or choose another folder with --data.`,
  locked: (path) =>
    `Another Pourside is using the record in ${path}: close that one first, or choose another folder with --data.`,
  foreign: (path) =>
    `${path} is not a Pourside record and was left as it is: choose another folder with --data.`,
};

/** Thrown by `openRecord` and by every write; nothing already kept has been changed. */
export class RecordProblem extends Error {
  readonly code: RecordProblemCode;

  constructor(code: RecordProblemCode, path: string, cause?: unknown) {
    super(sentences[code](path), { cause });
    this.name = "RecordProblem";
    this.code = code;
  }
}

const codeOf = (error: unknown): string =>
  error instanceof Error && "code" in error && typeof error.code === "string" ? error.code : "";

const unwritable =
  /^(SQLITE_(FULL|IOERR|READONLY|CANTOPEN|PERM|AUTH)|EACCES|EPERM|EROFS|ENOSPC|EDQUOT|ENOTDIR|EEXIST|EISDIR|ENOENT|EIO|ELOOP|ENAMETOOLONG)/;

/** The problem behind a library or file-system error, or the error itself where it is none. */
export const recordProblem = (error: unknown, path: string): unknown => {
  const code = codeOf(error);
  if (error instanceof RecordProblem) return error;
  if (/^SQLITE_(BUSY|LOCKED)/.test(code)) return new RecordProblem("locked", path, error);
  if (/^SQLITE_(CORRUPT|NOTADB)/.test(code) || error instanceof SyntaxError) {
    return new RecordProblem("damaged", path, error);
  }
  if (unwritable.test(code)) return new RecordProblem("unwritable", path, error);
  return error;
};
