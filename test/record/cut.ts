import { copyFileSync, mkdirSync, rmSync, statSync, truncateSync } from "node:fs";
import { join } from "node:path";

const main = "record.db";
const log = "record.db-wal";

/** Bytes in the write-ahead log of the record in `folder`. */
export const logSize = (folder: string): number => statSync(join(folder, log)).size;

/**
 * Copies a record that nobody is writing at this moment, as a loss of power could leave it: the main
 * file and the first `keep` bytes of its write-ahead log. `to` is emptied first.
 *
 * Must not be called in the process that holds the record open.
 */
export const copyCut = (from: string, to: string, keep: number): void => {
  rmSync(to, { recursive: true, force: true });
  mkdirSync(to, { recursive: true });
  copyFileSync(join(from, main), join(to, main));
  copyFileSync(join(from, log), join(to, log));
  truncateSync(join(to, log), keep);
};

/** `count` offsets spread at random over a log of `size` bytes, its two ends among them. */
export const cutOffsets = (size: number, count: number, random: () => number): number[] => [
  0,
  size,
  ...Array.from({ length: count - 2 }, () => Math.floor(random() * (size + 1))),
];
