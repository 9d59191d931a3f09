import type { IncomingHttpHeaders } from "node:http";
import { isIP } from "node:net";
import { hostname } from "node:os";
import type { Refusal } from "../../shared/dye/refusal.ts";

/**
 * Whether a request was meant for this server. A foreign page may point a name of its own at this
 * machine, so only our own names count, and addresses, which no foreign page can claim; and a
 * page may only speak to the server it came from.
 */
export function foreign(headers: IncomingHttpHeaders, names: readonly string[]): Refusal | null {
  const { host, origin } = headers;
  const name = host === undefined ? null : nameOf(host);
  if (name === null || !isOurs(name, names)) {
    return {
      code: "host",
      say: "Pourside does not answer to this name. Start it with --name and the name to use.",
    };
  }
  if (origin === undefined || new Set([`http://${host}`, `https://${host}`]).has(origin)) {
    return null;
  }
  return { code: "origin", say: "Another page asked for this. Open Pourside's own page instead." };
}

/** The name in a Host header, or `null` where there is more in it than a name and a port. */
function nameOf(host: string): string | null {
  const url = `http://${host}`;
  if (/[/?#@\\]/.test(host) || !URL.canParse(url)) return null;
  return new URL(url).hostname.replace(/^\[|\]$/g, "");
}

function isOurs(name: string, names: readonly string[]): boolean {
  const own = hostname().toLowerCase();
  return (
    isIP(name) !== 0 ||
    name === "localhost" ||
    name === own ||
    name === `${own}.local` ||
    names.includes(name)
  );
}
