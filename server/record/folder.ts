import { closeSync, fsyncSync, mkdirSync, openSync } from "node:fs";
import { dirname } from "node:path";

/** Puts a folder's entries on disk, so that a new file is still found after loss of power. */
export function syncFolder(folder: string): void {
  if (process.platform === "win32") return;
  const fd = openSync(folder, "r");
  try {
    fsyncSync(fd);
  } finally {
    closeSync(fd);
  }
}

/** Makes a folder, with those above it, for good. */
export function makeFolder(folder: string): void {
  const first = mkdirSync(folder, { recursive: true });
  if (first === undefined) return;
  for (let made = folder; made.length >= first.length; made = dirname(made)) {
    syncFolder(dirname(made));
  }
}
