import type { BroadcastReport } from "../../shared/broadcast/report.ts";
import type { Refusal } from "../../shared/dye/refusal.ts";

export type Told = { ok: true; say: string } | ({ ok: false } & Refusal);
export type Got<T> = { ok: true; value: T } | ({ ok: false } & Refusal);

const away: Refusal = {
  code: "away",
  say: "Pourside does not answer. See whether it still runs on its computer, then try again.",
};

/** What the server does with the broadcasting software on request of a paired tablet. */
export function broadcastDesk(token: string) {
  const send = async (method: "GET" | "POST" | "PUT" | "DELETE", path: string, body?: unknown) => {
    return await fetch(`/api/broadcast${path}`, {
      method,
      headers: {
        Authorization: `Bearer ${token}`,
        ...(body === undefined ? {} : { "Content-Type": "application/json" }),
      },
      ...(body === undefined ? {} : { body: JSON.stringify(body) }),
    });
  };
  /** Asks for something to be done; what the server says stands for the sentence where it has one. */
  const tell = async (
    method: "POST" | "PUT" | "DELETE",
    path: string,
    done: string,
    body?: unknown,
  ): Promise<Told> => {
    try {
      const response = await send(method, path, body);
      const { code, say }: Partial<Refusal> = await response.json();
      if (response.ok) return { ok: true, say: say ?? done };
      return code !== undefined && say !== undefined
        ? { ok: false, code, say }
        : { ok: false, ...away };
    } catch {
      return { ok: false, ...away };
    }
  };
  const get = async <T>(
    path: string,
    read: (response: Response) => Promise<T>,
  ): Promise<Got<T>> => {
    try {
      const response = await send("GET", path);
      if (response.ok) return { ok: true, value: await read(response) };
      return { ok: false, ...((await response.json()) as Refusal) };
    } catch {
      return { ok: false, ...away };
    }
  };
  return {
    tell,
    report: () => get("", (response) => response.json() as Promise<BroadcastReport>),
    text: (name: string) => get(`/${name}`, (response) => response.text()),
    still: (source: string) =>
      get(`/still?source=${encodeURIComponent(source)}`, (response) => response.blob()),
  };
}

export type BroadcastDesk = ReturnType<typeof broadcastDesk>;
