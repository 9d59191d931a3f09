import {
  chmodSync,
  closeSync,
  fsyncSync,
  openSync,
  readFileSync,
  renameSync,
  rmSync,
  writeSync,
} from "node:fs";
import { join } from "node:path";
import * as z from "zod";
import type { Refusal } from "../../shared/dye/refusal.ts";

/** Where the broadcasting software listens, and the word it asks for. */
export type Access = { address: string; password: string };

const accessSchema = z.object({ address: z.string().max(300), password: z.string().max(300) });
const ownerOnly = 0o600;

/** Keeps the address and the password in a file that only its owner may read. */
export class AccessFile {
  readonly file: string;

  constructor(folder: string) {
    this.file = join(folder, "broadcast.json");
  }

  /** What is kept, or `null` where nothing is or it cannot be read. */
  read(): Access | null {
    try {
      // A file that was copied or written by hand may have been readable to all.
      chmodSync(this.file, ownerOnly);
      const kept = accessSchema.safeParse(JSON.parse(readFileSync(this.file, "utf8")));
      return kept.success ? kept.data : null;
    } catch {
      return null;
    }
  }

  keep(access: Access): void {
    const fresh = `${this.file}.new`;
    rmSync(fresh, { force: true });
    const file = openSync(fresh, "wx", ownerOnly);
    try {
      writeSync(file, `${JSON.stringify(access)}\n`);
      fsyncSync(file);
    } finally {
      closeSync(file);
    }
    renameSync(fresh, this.file);
  }

  forget(): void {
    rmSync(this.file, { force: true });
    rmSync(`${this.file}.new`, { force: true });
  }
}

const usualPort = 4455;

/** "192.168.1.5:4455" or "ws://…" as a WebSocket address with a port. */
export function addressOf(typed: string): string | Refusal {
  const text = typed.trim();
  const say = `This is no address. Write the computer's name or number and the port, such as 127.0.0.1:${usualPort}.`;
  try {
    const url = new URL(/^[a-z]+:\/\//i.test(text) ? text : `ws://${text}`);
    const plain = url.pathname === "/" && url.search === "" && url.hash === "";
    const secret = url.username !== "" || url.password !== "";
    if (!["ws:", "wss:"].includes(url.protocol) || url.hostname === "" || !plain || secret) {
      return { code: "address", say };
    }
    const port = url.port === "" && !/:80$/.test(text) ? String(usualPort) : url.port || "80";
    return `${url.protocol}//${url.hostname}:${port}`;
  } catch {
    return { code: "address", say };
  }
}
