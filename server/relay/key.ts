import { createHash, randomBytes, timingSafeEqual } from "node:crypto";
import { mkdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import * as z from "zod";
import { writeOwnerOnly } from "./ownerOnly.ts";

/**
 * The key in force, by its hash; `given` is the hash of the one that the relay was last started
 * with, so that a key that was revoked does not come back with the next start.
 */
export type KeptKey = { hash: string; given: string | null };

export const keptKeySchema = z.object({ hash: z.string(), given: z.string().nullable() });

/** A key that nobody can guess, of 256 random bits. */
export function newKey(): string {
  return randomBytes(32).toString("base64url");
}

export function hashOf(key: string): string {
  return createHash("sha256").update(key).digest("hex");
}

export function fits(key: string, hash: string): boolean {
  const [a, b] = [Buffer.from(hashOf(key)), Buffer.from(hash)];
  return a.length === b.length && timingSafeEqual(a, b);
}

/** The last line, so that a clock that was set back does not give one that pages take for older. */
export class LineFile {
  private readonly file: string;

  constructor(private readonly folder: string) {
    this.file = join(folder, "relay-line.json");
  }

  read(): number {
    try {
      return z.number().parse(JSON.parse(readFileSync(this.file, "utf8")));
    } catch {
      return 0;
    }
  }

  /** A full disk keeps no bench away: only a clock that is set back as well would tell. */
  keep(line: number): void {
    try {
      mkdirSync(this.folder, { recursive: true });
      writeOwnerOnly(this.file, line);
    } catch {}
  }
}

/** The hash in the relay's data folder, in a file for its owner alone. */
export class KeyFile {
  private readonly file: string;

  constructor(private readonly folder: string) {
    this.file = join(folder, "relay-key.json");
  }

  read(): KeptKey | null {
    try {
      return keptKeySchema.parse(JSON.parse(readFileSync(this.file, "utf8")));
    } catch {
      return null;
    }
  }

  keep(key: KeptKey): void {
    mkdirSync(this.folder, { recursive: true });
    writeOwnerOnly(this.file, key);
  }
}
