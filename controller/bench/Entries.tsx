import { useState } from "preact/hooks";
import { sayAct } from "../../shared/session/say.ts";
import { Correct } from "./Correct.tsx";
import { clockTime } from "./clockTime.ts";
import { type Line, linesOf } from "./lines.ts";
import { SaidLine } from "./SaidLine.tsx";
import { useAct } from "./useAct.ts";

/** What was done, the newest first: undo the last, correct any pour or addition. */
export function Entries() {
  const { state, said, busy, act } = useAct();
  const [correcting, setCorrecting] = useState<number | null>(null);
  if (state === null) return null;
  const lines = linesOf(state);
  const line = lines.find(({ entry }) => entry.seq === correcting);
  if (line?.truth) {
    const { truth } = line;
    return (
      <Correct
        key={line.entry.seq}
        state={state}
        seq={line.entry.seq}
        was={truth}
        onBack={() => setCorrecting(null)}
      />
    );
  }
  const last = state.acts.at(-1);
  const undo = async () => {
    if (!last || busy) return;
    await act({ type: "undo", expect: last.seq }, `Undid: ${sayAct(state, last.act)}.`);
  };
  return (
    <section class="entries">
      <header class="form-head">
        <h2>Record</h2>
        {last && (
          <button type="button" class="green-button" aria-disabled={busy} onClick={undo}>
            Undo: <bdi>{sayAct(state, last.act)}</bdi>
          </button>
        )}
      </header>
      <SaidLine said={said} />
      {lines.length === 0 ? (
        <p class="lead">
          Nothing has been done yet. Every pour, addition and note comes to stand here with its
          time, and can be undone or corrected.
        </p>
      ) : (
        <ol class="entries-list">
          {lines.map((line) => (
            <EntryLine
              key={line.entry.seq}
              line={line}
              onCorrect={() => setCorrecting(line.entry.seq)}
            />
          ))}
        </ol>
      )}
    </section>
  );
}

function EntryLine({ line, onCorrect }: { line: Line; onCorrect: () => void }) {
  const { entry, say, mark, was, truth } = line;
  return (
    <li class="entry" data-mark={mark}>
      <time class="figures">{clockTime(entry.at)}</time>
      <p class="entry-words">
        <bdi class="entry-say">{say}</bdi>
        {mark !== "as written" && (
          <span class="entry-mark">
            {mark}
            {was !== null && (
              <>
                , was <bdi>{was}</bdi>
              </>
            )}
          </span>
        )}
      </p>
      {truth && (
        <button
          type="button"
          class="quiet-button"
          aria-label={`Correct: ${say}`}
          onClick={onCorrect}
        >
          Correct
        </button>
      )}
    </li>
  );
}
