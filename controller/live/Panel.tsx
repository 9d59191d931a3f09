import "./panel.css";
import type { ComponentChildren } from "preact";
import { useEffect, useRef } from "preact/hooks";

/** What a {@link Panel} holds. */
export interface PanelProps {
  title: ComponentChildren;
  /** What the button that closes it says. */
  close: string;
  onClose: () => void;
  /** One step back within it. */
  other?: { say: string; onOther: () => void } | null;
  children: ComponentChildren;
}

/** Something that stands in the place of the step in hand until it is closed. */
export function Panel({ title, close, onClose, other, children }: PanelProps) {
  const head = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    head.current?.focus({ preventScroll: true });
    const onKey = (event: KeyboardEvent) => {
      if (event.key === "Escape") onClose();
    };
    document.addEventListener("keydown", onKey);
    return () => document.removeEventListener("keydown", onKey);
  }, []);
  return (
    <section class="live-panel" aria-labelledby="live-panel-title">
      <header class="live-panel-head">
        <h2 id="live-panel-title" ref={head} tabIndex={-1}>
          {title}
        </h2>
        {other && (
          <button type="button" class="live-quiet" onClick={other.onOther}>
            {other.say}
          </button>
        )}
        <button type="button" class="live-quiet" onClick={onClose}>
          {close}
        </button>
      </header>
      {children}
    </section>
  );
}
