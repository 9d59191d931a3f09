import { useState } from "preact/hooks";

/** A state that outlasts the part of the page that it is used in, until the page is closed. */
export function lasting<T>(initial: T): () => [T, (next: T) => void] {
  let kept = initial;
  return () => {
    const [value, setValue] = useState<T>(() => kept);
    const set = (next: T) => {
      kept = next;
      setValue(() => next);
    };
    return [value, set];
  };
}
