import { useState } from "preact/hooks";
import { type FileProblem, openFile, type PoursideFile } from "../../shared/plan/file.ts";
import type { Id } from "../../shared/session/setup.ts";
import { useFileChoice } from "../form/useFileChoice.tsx";
import { newId } from "../link/id.ts";
import { usePreparation } from "../prepare/context.tsx";
import { comingPlan, comingSession, comingShelf } from "./coming.ts";
import type { filesOf } from "./line.ts";

type Read =
  | { name: string; ok: true; file: PoursideFile; content: Blob; migrated: boolean; id: Id }
  | { name: string; ok: false; problems: readonly FileProblem[] };

/** What {@link Opening} is told. */
export interface OpeningProps {
  files: ReturnType<typeof filesOf>;
  onPlan: (plan: Id) => void;
  onSession: () => void;
}

/** A file chosen or dropped: what is wrong with it line by line, or what will come of it. */
export function Opening({ files, onPlan, onSession }: OpeningProps) {
  const { prepared, change } = usePreparation();
  const [busy, setBusy] = useState(false);
  const [read, setRead] = useState<Read | null>(null);
  const [done, setDone] = useState<string | null>(null);
  const choice = useFileChoice(async (file) => {
    if (busy) return;
    setBusy(true);
    setDone(null);
    const bytes = await file.arrayBuffer().catch(() => null);
    const opened = bytes && openFile(new Uint8Array(bytes));
    setBusy(false);
    if (opened === null) {
      const say = "This file could not be read from where it lies. Choose it again.";
      setRead({ name: file.name, ok: false, problems: [{ line: 0, at: "", say }] });
    } else if (opened.ok) {
      setRead({ name: file.name, ...opened, content: file, id: newId() });
    } else setRead({ name: file.name, ...opened });
  });
  if (prepared === null) return null;

  const coming = read?.ok ? comingOf(read.file, prepared, read.id) : null;
  const take = async () => {
    if (!read?.ok || !coming || busy) return;
    setBusy(true);
    const { file, name } = read;
    if (file.pourside === "session") {
      const brought = await files.bring(read.content);
      setBusy(false);
      if (!brought.ok) {
        setRead({ name, ok: false, problems: brought.problems });
        return;
      }
      setRead(null);
      setDone(
        brought.value.there
          ? "This session is in the record already, just so. Nothing was changed."
          : "The session is in the record now. Put it on the bench under The bench.",
      );
      onSession();
      return;
    }
    if (coming.change === null) return;
    const answer = await change(coming.change);
    setBusy(false);
    if (!answer.ok) {
      setRead({ name, ok: false, problems: [{ line: 0, at: "", say: answer.say }] });
      return;
    }
    setRead(null);
    setDone(
      file.pourside === "plan"
        ? "The plan is chosen above. Undo takes it off again."
        : "It is on the shelf now. Undo puts the shelf back.",
    );
    if (file.pourside === "plan") onPlan(read.id);
  };

  return (
    <section class="files-part files-open" aria-labelledby="files-open-title" {...choice.drop}>
      <h2 id="files-open-title">Open a file</h2>
      <p class="files-lead">
        A shelf, a plan, a session or a pour sheet. Choose it, or drop it here. You are told what
        will happen before anything does.
      </p>
      {choice.field("File to open")}
      <div class="prepare-ways">
        <button type="button" class="quiet-button" disabled={busy} onClick={choice.choose}>
          {busy ? "Reading …" : "Choose a file"}
        </button>
      </div>
      <div class="files-outcome" role="status">
        {done !== null && <p class="files-strong">{done}</p>}
        {read?.ok === false && (
          <>
            <p class="files-strong">
              <bdi>{read.name}</bdi> was not opened, and nothing was changed:
            </p>
            <ol class="files-problems">
              {read.problems.map(({ line, at, say }) => (
                <li key={`${line} ${at} ${say}`}>
                  <strong class="figures">{line > 0 && `Line ${line}`}</strong>
                  <span>
                    {at !== "" && <bdi class="files-at">{at}</bdi>}
                    <span dir="auto">{say}</span>
                  </span>
                </li>
              ))}
            </ol>
          </>
        )}
        {read?.ok === true && coming && (
          <>
            <p class="files-strong">
              <bdi>{read.name}</bdi> holds {KIND[read.file.pourside]}.
            </p>
            <ul class="files-says">
              {coming.says.map((say) => (
                <li key={say} dir="auto">
                  {say}
                </li>
              ))}
              {read.migrated && (
                <li>It was written by an older Pourside and was brought up to this one.</li>
              )}
            </ul>
          </>
        )}
      </div>
      {read?.ok === true && coming && (
        <div class="prepare-ways">
          {(coming.change !== null || read.file.pourside === "session") && (
            <button type="button" class="green-button" disabled={busy} onClick={() => void take()}>
              {TAKE[read.file.pourside]}
            </button>
          )}
          <button type="button" class="quiet-button" onClick={() => setRead(null)}>
            Leave it
          </button>
        </div>
      )}
    </section>
  );
}

const KIND = { shelf: "a shelf", plan: "a plan", session: "a session" } as const;
const TAKE = {
  shelf: "Put it on the shelf",
  plan: "Take the plan in",
  session: "Put it into the record",
} as const;

function comingOf(
  file: PoursideFile,
  prepared: Parameters<typeof comingShelf>[1],
  id: Id,
): ReturnType<typeof comingShelf> {
  switch (file.pourside) {
    case "shelf":
      return comingShelf(file, prepared);
    case "plan":
      return comingPlan(file, prepared, id);
    case "session":
      return { says: comingSession(file), change: null };
  }
}
