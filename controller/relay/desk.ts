import type { Refusal } from "../../shared/dye/refusal.ts";
import type { RelayReport } from "../../shared/session/wire.ts";

export type Reported = { ok: true; report: RelayReport } | ({ ok: false } & Refusal);

const away: Refusal = {
  code: "away",
  say: "Pourside does not answer. See whether it still runs on its computer, then try again.",
};

/** What the server does about the relay on request of a paired tablet. */
export function relayDesk(token: string) {
  const send = async (
    method: "GET" | "POST" | "DELETE",
    path: string,
    body?: { address: string; key: string },
  ): Promise<Reported> => {
    try {
      const response = await fetch(`/api/relay${path}`, {
        method,
        headers: {
          Authorization: `Bearer ${token}`,
          ...(body === undefined ? {} : { "Content-Type": "application/json" }),
        },
        ...(body === undefined ? {} : { body: JSON.stringify(body) }),
      });
      const answer = await response.json();
      return response.ok
        ? { ok: true, report: answer as RelayReport }
        : { ok: false, ...(answer as Refusal) };
    } catch {
      return { ok: false, ...away };
    }
  };
  return {
    report: () => send("GET", ""),
    settle: (address: string, key: string) => send("POST", "", { address, key }),
    renew: () => send("POST", "/renew"),
    forget: () => send("DELETE", ""),
  };
}
