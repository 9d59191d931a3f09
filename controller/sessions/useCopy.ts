import type { Ref } from "preact";
import { useRef, useState } from "preact/hooks";
import { copyFrom } from "./copy.ts";

/** A field whose text is copied with one tap, and what is said of it after. */
export function useCopy<Field extends HTMLInputElement | HTMLTextAreaElement>(): {
  field: Ref<Field>;
  said: string | null;
  copy(): void;
} {
  const field = useRef<Field>(null);
  const [said, setSaid] = useState<string | null>(null);
  const copy = () => {
    if (!field.current) return;
    setSaid(
      copyFrom(field.current) ? "Copied." : "It is selected: copy it with the tablet's menu.",
    );
  };
  return { field, said, copy };
}
