import "./bench.css";
import type { ComponentType } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";
import { Broadcast } from "../broadcast/Broadcast.tsx";
import { useLink } from "../link/context.tsx";
import { Relay } from "../relay/Relay.tsx";
import { Bath } from "./Bath.tsx";
import { Entries } from "./Entries.tsx";
import { Jug } from "./Jug.tsx";
import { Notes } from "./Notes.tsx";
import { Pans } from "./Pans.tsx";
import { Screen } from "./Screen.tsx";
import { Stocks } from "./Stocks.tsx";

/** The sections of the bench. */
export type BenchTab =
  | "jug"
  | "stocks"
  | "pans"
  | "bath"
  | "record"
  | "notes"
  | "screen"
  | "broadcast"
  | "relay";

const sections: readonly { tab: BenchTab; name: string; Section: ComponentType }[] = [
  { tab: "jug", name: "Jug", Section: Jug },
  { tab: "stocks", name: "Stocks", Section: Stocks },
  { tab: "pans", name: "Skeins and pans", Section: Pans },
  { tab: "bath", name: "Bath", Section: Bath },
  { tab: "record", name: "Record", Section: Entries },
  { tab: "notes", name: "Notes", Section: Notes },
  { tab: "screen", name: "On screen", Section: Screen },
  { tab: "broadcast", name: "Broadcast", Section: Broadcast },
  { tab: "relay", name: "Beyond the room", Section: Relay },
];

/** What a {@link Bench} is told. */
export interface BenchProps {
  /** The section it opens with; nothing is shown when null. */
  open: BenchTab | null;
  onClose: () => void;
}

/**
 * Everything at the bench but the next action: a sheet over the live screen, sized for gloves.
 * It is a modal dialog, so that nothing beneath is touched by mistake.
 */
export function Bench({ open, onClose }: BenchProps) {
  return open === null ? null : <Sheet key={open} first={open} onClose={onClose} />;
}

function Sheet({ first, onClose }: { first: BenchTab; onClose: () => void }) {
  // Counts the taps on a section: a tap on the one that is open leads back to its beginning.
  const [{ tab, taps }, setPlace] = useState({ tab: first, taps: 0 });
  const { state, connection, queued } = useLink();
  const dialog = useRef<HTMLDialogElement>(null);
  const work = useRef<HTMLDivElement>(null);
  useEffect(() => {
    dialog.current?.showModal();
  }, []);
  const choose = (next: BenchTab) => {
    setPlace({ tab: next, taps: taps + 1 });
    work.current?.scrollTo(0, 0);
  };
  const here = sections.find((section) => section.tab === tab);
  return (
    <dialog
      ref={dialog}
      class="bench"
      aria-label="Bench"
      onCancel={(event) => {
        event.preventDefault();
        onClose();
      }}
    >
      <nav class="bench-tabs" aria-label="Sections of the bench">
        <button type="button" class="bench-close" onClick={onClose}>
          Back to the pour
        </button>
        {sections.map(({ tab: own, name }) => (
          <button
            key={own}
            type="button"
            class="bench-tab"
            aria-current={own === tab ? "page" : undefined}
            onClick={() => choose(own)}
          >
            {name}
          </button>
        ))}
        <p class="bench-line" role="status">
          {connection === "on" || queued === 0
            ? null
            : `${queued} waiting for the record: no connection.`}
        </p>
      </nav>
      <div class="bench-work" ref={work}>
        {state === null || here === undefined ? (
          <p class="lead">The bench is not here yet. It comes as soon as the server answers.</p>
        ) : (
          <here.Section key={`${state.session} ${here.tab} ${taps}`} />
        )}
      </div>
    </dialog>
  );
}
