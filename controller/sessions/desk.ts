import * as z from "zod";
import type { Refusal } from "../../shared/dye/refusal.ts";
import type { SheetProblem } from "../../shared/session/sheet.ts";
import type { SessionLine } from "../../shared/session/wire.ts";

const refusalSchema = z.object({ code: z.string(), say: z.string() });
const lineSchema: z.ZodType<SessionLine> = z.object({
  id: z.string(),
  name: z.string(),
  phase: z.enum(["ready", "live", "closed"]),
  openedAt: z.number(),
  lastAt: z.number(),
  onBench: z.boolean(),
});
const linesSchema = z.array(lineSchema);
const addressesSchema = z.object({
  controller: z.array(z.string()),
  overlay: z.string(),
  follow: z.array(z.string()),
});
const codeSchema = z.object({ code: z.string(), expiresAt: z.number() });
const openedSchema = z.object({ session: z.string() });
const problemsSchema = z.object({
  problems: z.array(z.object({ at: z.string(), say: z.string() })),
});

export type Addresses = z.infer<typeof addressesSchema>;
export type NewCode = z.infer<typeof codeSchema>;
export type Asked<T> = { ok: true; value: T } | ({ ok: false } & Refusal);
export type SheetAnswer =
  | { ok: true; session: string }
  | { ok: false; problems: readonly SheetProblem[] };

export const away: Refusal = {
  code: "away",
  say: "Pourside does not answer. See whether it still runs on its computer, then try again.",
};

export type PlanAnswer = { ok: true } | { ok: false; problems: readonly { say: string }[] };

/** What the server does on request of a paired tablet; answers that never reject. */
export function deskOf(token: string) {
  const send = async (method: "GET" | "POST", path: string, body?: string) => {
    try {
      const response = await fetch(path, {
        method,
        headers: {
          Authorization: `Bearer ${token}`,
          ...(body === undefined ? {} : { "Content-Type": "application/json" }),
        },
        ...(body === undefined ? {} : { body }),
      });
      const json: unknown = await response.json();
      return { ok: response.ok, json };
    } catch {
      return { ok: false, json: away };
    }
  };
  const ask = async <T>(
    method: "GET" | "POST",
    path: string,
    schema: z.ZodType<T>,
  ): Promise<Asked<T>> => {
    const { ok, json } = await send(method, path);
    const value = schema.safeParse(json);
    return ok && value.success ? { ok: true, value: value.data } : refusedBy(json);
  };
  const ofPlan = async (plan: string, what: "session" | "bench"): Promise<PlanAnswer> => {
    const answer = await send("POST", `/api/plans/${encodeURIComponent(plan)}/${what}`);
    if (answer.ok) return { ok: true };
    const wrong = problemsSchema.safeParse(answer.json);
    if (wrong.success) return { ok: false, problems: wrong.data.problems };
    return { ok: false, problems: [{ say: refusedBy(answer.json).say }] };
  };
  return {
    /** Opens a session from a plan, and puts it on the bench. */
    openPlan: (plan: string) => ofPlan(plan, "session"),
    /** Brings what was changed in its plan to the session on the bench. */
    bringPlan: (plan: string) => ofPlan(plan, "bench"),
    sessions: () => ask("GET", "/api/sessions", linesSchema),
    addresses: () => ask("GET", "/api/addresses", addressesSchema),
    putOnBench: (id: string) =>
      ask("POST", `/api/sessions/${encodeURIComponent(id)}/bench`, openedSchema),
    newCode: () => ask("POST", "/api/pair/code", codeSchema),
    forgetAll: () => ask("POST", "/api/pair/forget", z.object({ ok: z.literal(true) })),
    /** Opens a pour sheet; what is wrong with it is told place by place. */
    openSheet: async (json: string): Promise<SheetAnswer> => {
      const answer = await send("POST", "/api/sessions", json);
      const opened = openedSchema.safeParse(answer.json);
      if (answer.ok && opened.success) return { ok: true, session: opened.data.session };
      const wrong = problemsSchema.safeParse(answer.json);
      if (wrong.success) return { ok: false, problems: wrong.data.problems };
      return { ok: false, problems: [{ at: "", say: refusedBy(answer.json).say }] };
    },
  };
}

export function refusedBy(json: unknown): { ok: false } & Refusal {
  const refusal = refusalSchema.safeParse(json);
  return { ok: false, ...(refusal.success ? refusal.data : away) };
}
