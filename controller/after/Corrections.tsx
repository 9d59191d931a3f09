import { useState } from "preact/hooks";
import { correctionsAfter } from "../../shared/session/corrected.ts";
import type { State } from "../../shared/session/state.ts";
import { Correct } from "../bench/Correct.tsx";
import { type Line, linesOf } from "../bench/lines.ts";
import { dayText } from "../sessions/dayText.ts";

/** Every pour and addition, to be put right with a reason; what was corrected since is told beside it. */
export function Corrections({ state }: { state: State }) {
  const [correcting, setCorrecting] = useState<number | null>(null);
  const lines = linesOf(state).filter(
    ({ entry: { act } }) => act.kind === "pour" || act.kind === "add",
  );
  const line = lines.find(({ entry }) => entry.seq === correcting);
  if (line?.truth) {
    return (
      <Correct
        key={line.entry.seq}
        state={state}
        seq={line.entry.seq}
        was={line.truth}
        onBack={() => setCorrecting(null)}
      />
    );
  }
  const reasons = new Map(correctionsAfter(state).map(({ act, reason }) => [act, reason]));
  return (
    <section class="entries" aria-labelledby="corrections-title">
      <h2 id="corrections-title">Corrections</h2>
      <p class="lead">
        Viewers may have copied what was written. What you put right here needs a reason, and is
        shown as a correction on the follow page and in the recipe.
      </p>
      {lines.length === 0 ? (
        <p class="lead">Nothing was poured or added in this session.</p>
      ) : (
        <ol class="entries-list">
          {lines.map((one) => (
            <Entry
              key={one.entry.seq}
              line={one}
              reason={reasons.get(one.entry.seq)}
              onCorrect={() => setCorrecting(one.entry.seq)}
            />
          ))}
        </ol>
      )}
    </section>
  );
}

function Entry(props: { line: Line; reason: string | undefined; onCorrect: () => void }) {
  const { entry, say, mark, was, truth } = props.line;
  const tags = [
    ...(entry.offAir === true ? ["off air"] : []),
    ...(mark === "as written" ? [] : [mark]),
  ];
  return (
    <li class="entry after-entry" data-mark={mark}>
      <time class="figures">{dayText(entry.at)}</time>
      <p class="entry-words">
        <bdi class="entry-say">{say}</bdi>
        {tags.length > 0 && (
          <span class="entry-mark">
            {tags.join(", ")}
            {was !== null && (
              <>
                , was <bdi>{was}</bdi>
              </>
            )}
            {props.reason !== undefined && (
              <>
                : <bdi>{props.reason}</bdi>
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
          onClick={props.onCorrect}
        >
          Correct
        </button>
      )}
    </li>
  );
}
