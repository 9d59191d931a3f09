import { closeSync, fsyncSync, openSync, renameSync, rmSync, writeSync } from "node:fs";

/** Writes JSON to a file that only its owner may read, whole or not at all. */
export function writeOwnerOnly(file: string, value: unknown): void {
  const fresh = `${file}.new`;
  rmSync(fresh, { force: true });
  const opened = openSync(fresh, "wx", 0o600);
  try {
    writeSync(opened, `${JSON.stringify(value)}\n`);
    fsyncSync(opened);
  } finally {
    closeSync(opened);
  }
  renameSync(fresh, file);
}
