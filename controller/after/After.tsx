import "../bench/bench.css";
import "./after.css";
import { useRef, useState } from "preact/hooks";
import { sayAct } from "../../shared/session/say.ts";
import { SaidLine } from "../bench/SaidLine.tsx";
import { useAct } from "../bench/useAct.ts";
import { OffAirContext } from "../link/offAir.ts";
import { Corrections } from "./Corrections.tsx";
import { Leftovers } from "./Leftovers.tsx";
import { NextDay } from "./NextDay.tsx";
import { NextSession } from "./NextSession.tsx";
import { Results } from "./Results.tsx";
import { Rinse } from "./Rinse.tsx";

/** What an {@link After} is told. */
export interface AfterProps {
  token: string;
  onSessions: () => void;
  onPrepare: () => void;
}

type Section = "corrections" | "nextDay" | "rinse" | "results" | "leftovers" | "next";

const sections: readonly { section: Section; name: string }[] = [
  { section: "corrections", name: "Corrections" },
  { section: "nextDay", name: "Next day" },
  { section: "rinse", name: "Rinse and bleed" },
  { section: "results", name: "Results" },
  { section: "leftovers", name: "Leftovers" },
  { section: "next", name: "Next session" },
];

/** After the stream: what is written into the record of a session that has been closed. */
export function After(props: AfterProps) {
  return (
    <OffAirContext.Provider value={true}>
      <Sheet {...props} />
    </OffAirContext.Provider>
  );
}

function Sheet({ token, onSessions, onPrepare }: AfterProps) {
  // Counts the taps on a section: a tap on the one that is open leads back to its beginning.
  const [{ section, taps }, setPlace] = useState({ section: "corrections" as Section, taps: 0 });
  const { link, state } = useAct();
  const work = useRef<HTMLDivElement>(null);
  const choose = (next: Section) => {
    setPlace({ section: next, taps: taps + 1 });
    work.current?.scrollTo(0, 0);
  };
  const key = `${state?.session} ${section} ${taps}`;
  return (
    <main class="bench after" aria-label="After the stream">
      <nav class="bench-tabs" aria-label="Sections of what comes after">
        <button type="button" class="bench-close" onClick={onSessions}>
          Back to the sessions
        </button>
        {sections.map(({ section: own, name }) => (
          <button
            key={own}
            type="button"
            class="bench-tab"
            aria-current={own === section ? "page" : undefined}
            onClick={() => choose(own)}
          >
            {name}
          </button>
        ))}
        <p class="bench-line" role="status">
          {link.connection === "on" || link.queued === 0
            ? null
            : `${link.queued} waiting for the record: no connection.`}
        </p>
      </nav>
      <div class="bench-work" ref={work}>
        <Head key={section} />
        {state?.phase === "closed" && (
          <div class="after-section">
            {section === "corrections" && <Corrections key={key} state={state} />}
            {section === "nextDay" && <NextDay key={key} state={state} />}
            {section === "rinse" && <Rinse key={key} state={state} />}
            {section === "results" && <Results key={key} state={state} token={token} />}
            {section === "leftovers" && <Leftovers key={key} state={state} token={token} />}
            {section === "next" && (
              <NextSession key={key} state={state} token={token} onPrepare={onPrepare} />
            )}
          </div>
        )}
      </div>
    </main>
  );
}

/** Which session it is, and the last thing written since, to be taken back. */
function Head() {
  const { state, said, busy, act } = useAct();
  const [saidAt, setSaidAt] = useState<number | null>(null);
  const seq = useRef(0);
  seq.current = state?.seq ?? 0;
  if (state === null) return <p class="lead">The bench is coming.</p>;
  const last = state.acts.at(-1);
  const undoable = state.phase === "closed" && last?.offAir === true ? last : null;
  return (
    <header class="after-head">
      <div>
        <h1>
          After <bdi>{state.setup.name}</bdi>
        </h1>
        {state.phase !== "closed" && (
          <p class="lead">
            This session is open. Close it first: what comes after the stream is written then.
          </p>
        )}
      </div>
      {undoable && (
        <button
          type="button"
          class="quiet-button"
          aria-disabled={busy}
          onClick={() => {
            if (busy) return;
            const undid = `Undid: ${sayAct(state, undoable.act)}.`;
            void act({ type: "undo", expect: undoable.seq }, undid).then(() =>
              setSaidAt(seq.current),
            );
          }}
        >
          Undo: <bdi>{sayAct(state, undoable.act)}</bdi>
        </button>
      )}
      {/* Gone with the next thing that is written. */}
      <SaidLine said={saidAt === state.seq ? said : null} />
    </header>
  );
}
