import { randomUUID } from "node:crypto";
import { chmodSync, readFileSync, rmSync } from "node:fs";
import { join } from "node:path";
import * as z from "zod";
import { type Refusal, refuse } from "../../shared/dye/refusal.ts";
import { writeOwnerOnly } from "./ownerOnly.ts";

/** Where the relay is, and the key it knows the bench by; `bench` tells one bench from another. */
export type RelayAccess = { address: string; key: string; bench: string };

const accessSchema = z.object({
  address: z.string().max(300),
  key: z.string().max(200),
  bench: z.string().max(60),
});

/** Keeps them beside the record in a file for its owner alone, so that no copy of the record has them. */
export class RelayAccessFile {
  private readonly file: string;

  constructor(folder: string) {
    this.file = join(folder, "relay.json");
  }

  /** What is kept, or `null` where nothing is or it cannot be read. */
  read(): RelayAccess | null {
    try {
      chmodSync(this.file, 0o600);
      const kept = accessSchema.safeParse(JSON.parse(readFileSync(this.file, "utf8")));
      return kept.success ? kept.data : null;
    } catch {
      return null;
    }
  }

  keep(access: RelayAccess): void {
    writeOwnerOnly(this.file, access);
  }

  forget(): void {
    rmSync(this.file, { force: true });
    rmSync(`${this.file}.new`, { force: true });
  }
}

export function newBench(): string {
  return randomUUID();
}

/** "pours.example" or "https://pours.example" as the address of a relay, without a slash at its end. */
export function relayAddressOf(typed: string): string | Refusal {
  const text = typed.trim().replace(/\/(follow)?\/?$/, "");
  const say = "This is no address of a relay. Write its name, such as pours.example.";
  try {
    const url = new URL(/^[a-z]+:\/\//i.test(text) ? text : `https://${text}`);
    const plain = url.pathname === "/" && url.search === "" && url.hash === "";
    const secret = url.username !== "" || url.password !== "";
    if (!["http:", "https:"].includes(url.protocol) || !plain || secret) {
      return refuse("address", say);
    }
    return url.origin;
  } catch {
    return refuse("address", say);
  }
}
