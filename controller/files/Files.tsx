import "./files.css";
import { useCallback, useEffect, useMemo, useState } from "preact/hooks";
import { showCount } from "../../shared/dye/display.ts";
import { type PoursideFile, writeFile } from "../../shared/plan/file.ts";
import type { Id } from "../../shared/session/setup.ts";
import type { SessionLine } from "../../shared/session/wire.ts";
import { saveAs } from "../broadcast/save.ts";
import { usePreparation } from "../prepare/context.tsx";
import { dayText } from "../sessions/dayText.ts";
import { deskOf } from "../sessions/desk.ts";
import { countsOf, fileName, planFile, sayParts } from "./coming.ts";
import { filesOf } from "./line.ts";
import { Opening } from "./Opening.tsx";

/** What {@link Files} is told. */
export interface FilesProps {
  /** The plan that is chosen above. */
  plan: Id | null;
  token: string;
  onPlan: (plan: Id) => void;
}

const PHASES: Readonly<Record<SessionLine["phase"], string>> = {
  ready: "not live yet",
  live: "live",
  closed: "closed",
};

/** Shelf, plans and sessions as files, and the next plan from a session. */
export function Files({ plan, token, onPlan }: FilesProps) {
  const { prepared } = usePreparation();
  const files = useMemo(() => filesOf(token), [token]);
  const desk = useMemo(() => deskOf(token), [token]);
  const [sessions, setSessions] = useState<readonly SessionLine[] | null>(null);
  const [said, setSaid] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);
  const refresh = useCallback(async () => {
    const answer = await desk.sessions();
    if (answer.ok) setSessions(answer.value);
    else setSaid(answer.say);
  }, [desk]);
  useEffect(() => {
    void refresh();
  }, [refresh]);
  if (prepared === null) return null;

  const save = (name: string, file: PoursideFile | null) => {
    if (!file) return;
    const content = new Blob([writeFile(file)], { type: "application/json" });
    saveAs(fileName(name, file.pourside), content);
  };
  const saveSession = async ({ id, name }: SessionLine) => {
    const answer = await files.file(id);
    setSaid(answer.ok ? null : (answer.problems[0]?.say ?? null));
    if (answer.ok) saveAs(fileName(name, "session"), answer.value);
  };
  const next = async ({ id }: SessionLine) => {
    setBusy(true);
    const answer = await files.next(id);
    setBusy(false);
    if (!answer.ok) {
      setSaid(answer.problems[0]?.say ?? null);
      return;
    }
    const { bottles, name, plan: begun } = answer.value;
    const left = bottles === 1 ? "1 bottle stands" : `${showCount(bottles, "bottle")} stand`;
    setSaid(`Began ${name}. On the shelf ${left} at what was left. Undo takes both back.`);
    onPlan(begun);
  };
  const plans = Object.entries(prepared.plans).filter(([, { away }]) => !away);
  const shelved = sayParts(countsOf(prepared.shelf));
  const newest = [...(sessions ?? [])].sort((a, b) => b.lastAt - a.lastAt);
  return (
    <div class="files">
      <Opening files={files} onPlan={onPlan} onSession={() => void refresh()} />
      <section class="files-part" aria-labelledby="files-save-title">
        <h2 id="files-save-title">Save as a file</h2>
        <p class="files-lead">
          One file each, to keep apart, to take to another computer, or to give away. A plan takes
          along what it needs of the shelf.
        </p>
        <ul class="files-lines">
          <li>
            <p>
              <b>The shelf</b>
              <span class="files-note figures">
                {shelved === "" ? "Nothing stands on it yet" : shelved}
              </span>
            </p>
            <button
              type="button"
              class="quiet-button"
              aria-label="Save as file: the shelf"
              onClick={() => save("shelf", { pourside: "shelf", shelf: prepared.shelf })}
            >
              Save as file
            </button>
          </li>
          {plans.map(([id, line]) => (
            <li key={id}>
              <p>
                <b>
                  <bdi>{line.plan.name}</bdi>
                </b>
                <span class="files-note figures">
                  {`Plan${id === plan ? " chosen above" : ""}, ${showCount(line.plan.skeins.length, "skein")}, ${showCount(line.plan.steps.length, "step")}`}
                </span>
              </p>
              <button
                type="button"
                class="quiet-button"
                aria-label={`Save as file: the plan ${line.plan.name}`}
                onClick={() => save(line.plan.name, planFile(prepared, id))}
              >
                Save as file
              </button>
            </li>
          ))}
        </ul>
      </section>
      <section class="files-part files-sessions" aria-labelledby="files-sessions-title">
        <h2 id="files-sessions-title">Sessions</h2>
        <p class="files-lead">
          The next plan starts with the plan of a session and with the bottles at what it left in
          them. What was poured stays in the record.
        </p>
        <p class="files-strong" role="status">
          {said}
        </p>
        {sessions !== null && sessions.length === 0 && (
          <p class="files-lead">None yet. A plan that was put on the bench comes to stand here.</p>
        )}
        <ul class="files-lines">
          {newest.map((line) => (
            <li key={line.id}>
              <p>
                <b>
                  <bdi>{line.name}</bdi>
                </b>
                <span class="files-note figures">
                  {`${line.onBench ? "On the bench, " : ""}${PHASES[line.phase]}, opened ${dayText(line.openedAt)}`}
                </span>
              </p>
              <div class="prepare-ways">
                <button
                  type="button"
                  class="quiet-button"
                  aria-label={`Save as file: the session ${line.name}`}
                  onClick={() => void saveSession(line)}
                >
                  Save as file
                </button>
                <button
                  type="button"
                  class="quiet-button"
                  aria-label={`Start the next one from this: ${line.name}`}
                  disabled={busy}
                  onClick={() => void next(line)}
                >
                  Start the next one from this
                </button>
              </div>
            </li>
          ))}
        </ul>
      </section>
    </div>
  );
}
