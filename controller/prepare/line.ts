import * as z from "zod";
import type { PrepareEnvelope } from "../../shared/prepare/change.ts";
import type { PreparationWord, PrepareAnswer } from "../../shared/prepare/word.ts";
import type { PrepareLine } from "./store.ts";

const answerSchema = z.union([
  z.object({ ok: z.literal(true), seq: z.number(), say: z.string() }),
  z.object({ ok: z.literal(false), code: z.string(), say: z.string() }),
]);
const refusalSchema = z.object({ code: z.string(), say: z.string() });

/** What answers while it cannot be written down says nothing against the request. */
const again: ReadonlySet<string> = new Set(["unwritable", "locked"]);

/** The preparation over the server's paired requests; `null` where there was no answer. */
export function lineTo(token: string): PrepareLine {
  const ask = async (path: string, body?: unknown): Promise<Response | null> => {
    try {
      return await fetch(path, {
        method: body === undefined ? "GET" : "POST",
        headers: {
          Authorization: `Bearer ${token}`,
          ...(body === undefined ? {} : { "Content-Type": "application/json" }),
        },
        ...(body === undefined ? {} : { body: JSON.stringify(body) }),
        cache: "no-store",
      });
    } catch {
      return null;
    }
  };
  return {
    async fetch() {
      const response = await ask("/api/preparation");
      // The server is of the same build as this page, so what it sends is what its type says.
      return response?.ok ? ((await response.json()) as PreparationWord) : null;
    },
    async send(envelope: PrepareEnvelope): Promise<PrepareAnswer | null> {
      const response = await ask("/api/preparation", envelope);
      if (response === null || response.status >= 500) return null;
      const json: unknown = await response.json().catch(() => null);
      const answer = answerSchema.safeParse(json);
      if (answer.success)
        return !answer.data.ok && again.has(answer.data.code) ? null : answer.data;
      const refusal = refusalSchema.safeParse(json);
      return refusal.success ? { ok: false, ...refusal.data } : null;
    },
  };
}
