import * as z from "zod";
import type { FileProblem } from "../../shared/plan/file.ts";

const refusalSchema = z.object({ say: z.string() });
const problemsSchema = z.object({
  problems: z.array(z.object({ line: z.number(), at: z.string(), say: z.string() })),
});
const nextSchema = z.object({ plan: z.string(), name: z.string(), bottles: z.number() });
const broughtSchema = z.object({ session: z.string(), there: z.boolean() });

export type Next = z.infer<typeof nextSchema>;
type No = { ok: false; problems: readonly FileProblem[] };

const away = "Pourside does not answer. See whether it still runs on its computer, then try again.";

/** Files of sessions over the server's paired requests; answers that never reject. */
export function filesOf(token: string) {
  const ask = async (method: "GET" | "POST", path: string, body?: BodyInit) => {
    try {
      return await fetch(path, {
        method,
        headers: {
          Authorization: `Bearer ${token}`,
          ...(body === undefined ? {} : { "Content-Type": "application/json" }),
        },
        ...(body === undefined ? {} : { body }),
        cache: "no-store",
      });
    } catch {
      return null;
    }
  };
  const answered = async <T>(
    response: Response | null,
    schema: z.ZodType<T>,
  ): Promise<{ ok: true; value: T } | No> => {
    const json: unknown = await response?.json().catch(() => null);
    const value = schema.safeParse(json);
    return response?.ok && value.success ? { ok: true, value: value.data } : refusedBy(json);
  };
  const of = (id: string, what: string) => `/api/sessions/${encodeURIComponent(id)}/${what}`;
  return {
    /** The record of a session, as the file that it is. */
    async file(id: string): Promise<{ ok: true; value: Blob } | No> {
      const response = await ask("GET", of(id, "file"));
      if (response?.ok) return { ok: true, value: await response.blob() };
      return refusedBy(await response?.json().catch(() => null));
    },
    /** Puts a session's file into the record. */
    async bring(content: Blob) {
      return answered(await ask("POST", "/api/sessions/file", content), broughtSchema);
    },
    /** Begins the next plan from a session. */
    async next(id: string) {
      return answered(await ask("POST", of(id, "plan")), nextSchema);
    },
  };
}

function refusedBy(json: unknown): No {
  const wrong = problemsSchema.safeParse(json);
  if (wrong.success) return { ok: false, problems: wrong.data.problems };
  const refusal = refusalSchema.safeParse(json);
  const say = refusal.success ? refusal.data.say : away;
  return { ok: false, problems: [{ line: 0, at: "", say }] };
}
