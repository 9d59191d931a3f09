import * as z from "zod";
import type { Kit } from "../../shared/recap/kit.ts";
import { type Asked, away, refusedBy } from "../sessions/desk.ts";

const kitSchema: z.ZodType<Kit> = z.object({
  name: z.string(),
  day: z.string(),
  counts: z.string(),
  closed: z.boolean(),
  files: z.array(z.object({ name: z.string(), type: z.string() })),
  listings: z.array(z.object({ skein: z.string(), text: z.string() })),
});

/** The publishing kit of one session, asked for by a paired tablet; answers never reject. */
export function kitDesk(token: string, session: string) {
  const get = async <T>(
    path: string,
    read: (response: Response) => Promise<T>,
  ): Promise<Asked<T>> => {
    try {
      const address = `/api/recap/${encodeURIComponent(session)}${path}`;
      const response = await fetch(address, { headers: { Authorization: `Bearer ${token}` } });
      if (!response.ok) return refusedBy(await response.json());
      return { ok: true, value: await read(response) };
    } catch {
      return { ok: false, ...away };
    }
  };
  const file = (name: string) => `/${encodeURIComponent(name)}`;
  return {
    kit: () => get("", async (response) => kitSchema.parse(await response.json())),
    text: (name: string) => get(file(name), (response) => response.text()),
    blob: (name: string) => get(file(name), (response) => response.blob()),
  };
}

export type KitDesk = ReturnType<typeof kitDesk>;
