import { type Refusal, refuse } from "../../shared/dye/refusal.ts";
import { addressSchema, complaint } from "../../shared/session/command.ts";

/**
 * An address as a dyer types it, made one that a phone opens: `https://` is put before it where no
 * scheme is, and letters beyond ASCII are written as browsers send them.
 */
export function addressOf(typed: string): { address: string } | Refusal {
  const text = typed.trim();
  if (text === "") return refuse("empty", "Type an address first, or choose one above.");
  const url = /\s/.test(text)
    ? null
    : parsed(/^[a-z][a-z0-9+.-]*:\/\//i.test(text) ? text : `https://${text}`);
  if (url === null) {
    return refuse("address", "This is not an address. Write it as example.org/recipe.");
  }
  const { href, pathname, search, hash } = url;
  const bare = pathname === "/" && search === "" && hash === "" ? href.replace(/\/$/, "") : href;
  const read = addressSchema.safeParse(bare);
  return read.success ? { address: read.data } : refuse("address", complaint(read.error));
}

function parsed(address: string): URL | null {
  try {
    return new URL(address);
  } catch {
    return null;
  }
}
