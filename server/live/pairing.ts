import { createHash, randomBytes, randomInt, timingSafeEqual } from "node:crypto";
import * as z from "zod";
import type { Refusal } from "../../shared/dye/refusal.ts";
import type { SessionRecord } from "../record/record.ts";

/** How long a pairing code is good for, ms. */
export const codeMs = 10 * 60_000;
/** Wrong tries in all after which a code is thrown away, whoever made them. */
const triesPerCode = 20;
const tokensKey = "tokens";
const tokensSchema = z.array(z.string());

type Paired = { ok: true; token: string } | ({ ok: false } & Refusal);

/**
 * Lets a tablet in: whoever can read the terminal reads the code, and a code once used gives a
 * token. Only hashes of tokens are kept.
 */
export class Pairing {
  private current: { code: string; expiresAt: number; wrong: number } | null = null;

  constructor(
    private readonly record: SessionRecord,
    private readonly clock: () => number,
    private readonly onNewCode: (code: string) => void = () => {},
  ) {}

  /** The code in force; a new one when the last has expired. */
  code(): { code: string; expiresAt: number } {
    if (!this.current || this.current.expiresAt <= this.clock()) return this.renew();
    return this.current;
  }

  renew(): { code: string; expiresAt: number } {
    const code = String(randomInt(1_000_000)).padStart(6, "0");
    this.current = { code, expiresAt: this.clock() + codeMs, wrong: 0 };
    return this.current;
  }

  pair(offered: string): Paired {
    const { current } = this;
    if (!current || current.expiresAt <= this.clock()) {
      this.onNewCode(this.renew().code);
      return refuse(
        "expired",
        "This pairing code has expired. A new one is on Pourside's terminal.",
      );
    }
    if (!same(offered, current.code)) {
      current.wrong += 1;
      if (current.wrong >= triesPerCode) {
        this.onNewCode(this.renew().code);
        return refuse("tooMany", "Too many wrong codes. A new one is on Pourside's terminal.");
      }
      return refuse(
        "wrongCode",
        "This is not the pairing code. Look at Pourside's terminal again.",
      );
    }
    this.current = null;
    const token = randomBytes(32).toString("base64url");
    this.record.setSetting(tokensKey, JSON.stringify([...this.hashes(), hash(token)]));
    return { ok: true, token };
  }

  knows(token: string): boolean {
    const wanted = hash(token);
    return this.hashes().some((known) => same(known, wanted));
  }

  forgetAll(): void {
    this.record.setSetting(tokensKey, "[]");
  }

  private hashes(): string[] {
    const kept = this.record.setting(tokensKey);
    return kept === undefined ? [] : tokensSchema.parse(JSON.parse(kept));
  }
}

function refuse(code: string, say: string): Paired {
  return { ok: false, code, say };
}

function hash(text: string): string {
  return createHash("sha256").update(text).digest("hex");
}

function same(a: string, b: string): boolean {
  const [x, y] = [Buffer.from(hash(a)), Buffer.from(hash(b))];
  return timingSafeEqual(x, y);
}
