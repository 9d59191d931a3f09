import { createContext } from "preact";
import { useContext, useLayoutEffect, useReducer } from "preact/hooks";
import type { Link, LinkValue } from "./link.ts";

export type { LinkValue } from "./link.ts";

export const LinkContext = createContext<Link | null>(null);

/** The link's value, drawn anew on every change. */
export function useLink(): LinkValue {
  const link = useContext(LinkContext);
  if (link === null) throw new Error("useLink stands outside of a LinkContext.");
  const [, draw] = useReducer((count: number) => count + 1, 0);
  const shown = link.value();
  useLayoutEffect(() => {
    const end = link.subscribe(() => draw(undefined));
    // Something may have changed between drawing and listening.
    if (link.value() !== shown) draw(undefined);
    return end;
  }, [link]);
  return shown;
}
