import { useEffect, useReducer } from "preact/hooks";
import type { LinkValue } from "../link/link.ts";

/** The server's clock, ms, drawn anew at each full second of it. */
export function useNow(link: LinkValue): number {
  const [, draw] = useReducer((count: number) => count + 1, 0);
  const { now } = link;
  useEffect(() => {
    let timer: ReturnType<typeof setTimeout>;
    const tick = () => {
      draw(undefined);
      timer = setTimeout(tick, 1000 - (now() % 1000));
    };
    timer = setTimeout(tick, 1000 - (now() % 1000));
    return () => clearTimeout(timer);
  }, [now]);
  return now();
}
