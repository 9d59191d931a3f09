import type { ComponentChildren } from "preact";
import { SaidLine } from "./SaidLine.tsx";
import type { Said } from "./useAct.ts";

/** What an {@link Action} offers. */
export interface ActionProps {
  /** What is done, in words. */
  children: ComponentChildren;
  onDo: () => void;
  /** Why it cannot be done yet, in a sentence; the button then only says so. */
  missing?: string | null | undefined;
  /** What the keypad says already, so that the same sentence does not stand there twice. */
  told?: string | null | undefined;
  busy: boolean;
  said: Said | null;
}

/**
 * The one green button of a form, always in the same place, with its answer beneath. While
 * something is missing it stays in its place and says what.
 */
export function Action({ children, onDo, missing, told, busy, said }: ActionProps) {
  const lacking = missing !== null && missing !== undefined;
  return (
    <div class="action">
      <button
        type="button"
        class="action-button"
        aria-disabled={lacking || busy}
        onClick={() => {
          if (!lacking && !busy) onDo();
        }}
      >
        <bdi>{children}</bdi>
      </button>
      {lacking && said === null ? (
        <p class="said">{missing === told ? null : missing}</p>
      ) : (
        <SaidLine said={said} />
      )}
    </div>
  );
}
