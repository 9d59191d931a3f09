import * as z from "zod";
import type { Refusal } from "../../shared/dye/refusal.ts";

/** Digits of a pairing code. */
export const codeLength = 6;

const pairedSchema = z.object({ token: z.string().min(1) });
const refusedSchema = z.object({ code: z.string(), say: z.string() });

export type Paired = { ok: true; token: string } | ({ ok: false } & Refusal);

const away: Refusal = {
  code: "away",
  say: "Pourside does not answer. See whether it still runs on its computer, and whether this tablet is on the same network.",
};

/** Asks the server for a token with a pairing code. Never rejects. */
export async function askToPair(code: string): Promise<Paired> {
  try {
    const response = await fetch("/api/pair", {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: JSON.stringify({ code }),
    });
    const body: unknown = await response.json();
    const paired = pairedSchema.safeParse(body);
    if (response.ok && paired.success) return { ok: true, token: paired.data.token };
    const refused = refusedSchema.safeParse(body);
    return refused.success ? { ok: false, ...refused.data } : { ok: false, ...away };
  } catch {
    return { ok: false, ...away };
  }
}

/** The pairing code in an address that was read from a QR code, or null. */
export function codeIn(hash: string): string | null {
  return /^#pair=(\d{6})$/.exec(hash)?.[1] ?? null;
}
