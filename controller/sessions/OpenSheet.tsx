import { useState } from "preact/hooks";
import type { SheetProblem } from "../../shared/session/sheet.ts";
import { useFileChoice } from "../form/useFileChoice.tsx";
import type { deskOf } from "./desk.ts";
import { sheetText } from "./sheetFile.ts";

type Outcome =
  | { kind: "opened"; file: string }
  | { kind: "wrong"; file: string; problems: readonly SheetProblem[] };

/** Opens a session from a pour sheet in a file, chosen or dropped here. */
export function OpenSheet({ desk }: { desk: ReturnType<typeof deskOf> }) {
  const [busy, setBusy] = useState(false);
  const [outcome, setOutcome] = useState<Outcome | null>(null);

  const choice = useFileChoice(async (file) => {
    if (busy) return;
    setBusy(true);
    setOutcome(null);
    const sheet = sheetText(await file.text());
    const answer = sheet.ok ? await desk.openSheet(sheet.json) : sheet;
    setBusy(false);
    setOutcome(
      answer.ok
        ? { kind: "opened", file: file.name }
        : { kind: "wrong", file: file.name, problems: answer.problems },
    );
  });

  return (
    <section class="sessions-part open-sheet" aria-labelledby="open-sheet-title" {...choice.drop}>
      <h2 id="open-sheet-title">Open a pour sheet</h2>
      <p class="sessions-lead">
        A file with the dyes, bottles, pans, skeins and steps of a session. Drop it here or choose
        it; it comes onto the bench, and what is there now stays in the record.
      </p>
      {choice.field("Pour sheet file")}
      <button type="button" class="sessions-button" onClick={choice.choose}>
        {busy ? "Reading …" : "Choose a file"}
      </button>
      <div role="status">
        {outcome?.kind === "opened" && (
          <p class="open-sheet-done">
            <bdi>{outcome.file}</bdi> was opened and put on the bench.
          </p>
        )}
        {outcome?.kind === "wrong" && (
          <>
            <p class="open-sheet-wrong">
              <bdi>{outcome.file}</bdi> was not opened, and nothing was changed. Put this right
              first:
            </p>
            <ol class="open-sheet-problems">
              {outcome.problems.map(({ at, say }) => (
                <li key={`${at} ${say}`}>
                  {at !== "" && <strong dir="auto">{at}</strong>}
                  <span dir="auto">{say}</span>
                </li>
              ))}
            </ol>
          </>
        )}
      </div>
    </section>
  );
}
