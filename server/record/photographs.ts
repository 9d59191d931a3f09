import { createHash } from "node:crypto";
import {
  closeSync,
  existsSync,
  fsyncSync,
  openSync,
  readFileSync,
  renameSync,
  writeSync,
} from "node:fs";
import { join } from "node:path";
import { PICTURES, type PictureKind, type PlainPicture } from "../picture/plain.ts";
import { makeFolder, syncFolder } from "./folder.ts";
import { recordProblem } from "./problem.ts";

/** Photographs of results, each under the SHA-256 digest of its bytes. */
export type Photographs = {
  /**
   * Keeps a picture and returns its digest once it is on disk; one that is there already is kept once.
   * Throws a `RecordProblem` where the disk refuses.
   */
  keep(picture: PlainPicture): string;
  /** A picture that is kept; `null` where there is none, or where its bytes are no longer its own. */
  find(digest: string): { type: string; bytes: Uint8Array } | null;
};

const KINDS = Object.keys(PICTURES) as PictureKind[];

/**
 * Photographs as files beside the record, not inside it: the record is synced to disk at every tap
 * and copied whole, and a few megabytes at once would make the next pour wait. A record holds only
 * the digest, so that a photograph can neither be swapped nor damaged unseen.
 *
 * @param folder made when the first one is kept
 */
export function photographsIn(folder: string): Photographs {
  const fileOf = (digest: string, kind: PictureKind) => join(folder, `${digest}.${kind}`);
  return {
    keep({ kind, bytes }) {
      const digest = digestOf(bytes);
      const file = fileOf(digest, kind);
      try {
        // A file that was damaged since is written anew.
        if (isSound(file, digest)) return digest;
        makeFolder(folder);
        const unfinished = `${file}.unfinished`;
        const fd = openSync(unfinished, "w");
        try {
          writeWhole(fd, bytes);
          fsyncSync(fd);
        } finally {
          closeSync(fd);
        }
        renameSync(unfinished, file);
        syncFolder(folder);
        return digest;
      } catch (error) {
        throw recordProblem(error, file);
      }
    },
    find(digest) {
      if (!/^[0-9a-f]{64}$/.test(digest)) return null;
      const kind = KINDS.find((one) => existsSync(fileOf(digest, one)));
      if (kind === undefined) return null;
      const bytes = readFileSync(fileOf(digest, kind));
      return digestOf(bytes) === digest ? { type: PICTURES[kind], bytes } : null;
    },
  };
}

function isSound(file: string, digest: string): boolean {
  return existsSync(file) && digestOf(readFileSync(file)) === digest;
}

function digestOf(bytes: Uint8Array): string {
  return createHash("sha256").update(bytes).digest("hex");
}

function writeWhole(fd: number, bytes: Uint8Array): void {
  let at = 0;
  while (at < bytes.length) at += writeSync(fd, bytes, at);
}
