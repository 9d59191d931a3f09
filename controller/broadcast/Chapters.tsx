import { useEffect, useRef, useState } from "preact/hooks";
import { timeText } from "../../shared/broadcast/chapters.ts";
import { MINUS, THIN_SPACE } from "../../shared/dye/display.ts";
import { copyFrom } from "../sessions/copy.ts";
import type { PartProps } from "./part.ts";
import { saveAs } from "./save.ts";

const shifts = [-10, -1, 1, 10];
const outputNames = { record: "Recording", stream: "Stream", own: "Own clock" };
const files = [
  { name: "chapters.vtt", label: "Save chapters (WebVTT)" },
  { name: "captions.vtt", label: "Save captions (WebVTT)" },
];

/** The video's clock and what comes of it: chapters and captions. */
export function Chapters({ report, desk, say }: PartProps) {
  const { runs, run, offsetMs } = report;
  const [chosen, setChosen] = useState<string | null>(null);
  const [list, setList] = useState({ text: "", why: "" });
  const field = useRef<HTMLTextAreaElement>(null);
  const used = runs.some((one) => one.run === chosen) ? chosen : run;
  const query = used === null ? "" : `?run=${encodeURIComponent(used)}`;
  useEffect(() => {
    let open = true;
    void desk.text(`chapters.txt${query}`).then((answer) => {
      if (!open) return;
      setList(answer.ok ? { text: answer.value, why: "" } : { text: "", why: answer.say });
    });
    return () => {
      open = false;
    };
  }, [report]);
  const own = runs.find(({ output }) => output === "own");
  const save = async (name: string) => {
    const answer = await desk.text(`${name}${query}`);
    if (!answer.ok) {
      say(Promise.resolve(answer));
      return;
    }
    saveAs(name, new Blob([answer.value], { type: "text/vtt" }));
  };
  return (
    <section class="broadcast-part" aria-labelledby="broadcast-chapters">
      <h3 id="broadcast-chapters">Chapters</h3>
      {runs.length > 0 && (
        <label class="name-field broadcast-scene">
          <span>In the time of</span>
          <select
            aria-label="In the time of"
            value={used ?? ""}
            onChange={(event) => setChosen(event.currentTarget.value)}
          >
            {runs.map(({ run, output, lengthMs }) => (
              <option key={run} value={run}>
                {`${[outputNames[output], /\d+$/.exec(run)?.[0]].filter(Boolean).join(" ")}, ${lengthMs === null ? "running" : timeText(lengthMs)}`}
              </option>
            ))}
          </select>
        </label>
      )}
      {own === undefined ? (
        <button
          type="button"
          class="quiet-button"
          onClick={() =>
            say(desk.tell("POST", "/live-now", "The clock begins now. It can be corrected later."))
          }
        >
          We are live now
        </button>
      ) : (
        <Shifts
          label="The own clock is early or late, in seconds"
          onShift={(ms) =>
            say(desk.tell("POST", "/own-clock", `Moved by ${secondsText(ms)}.`, { ms }))
          }
        />
      )}
      {runs.length > 0 && (
        <Shifts
          label={`After editing, move all by ${secondsText(offsetMs)}`}
          onShift={(ms) =>
            say(desk.tell("PUT", "/offset", "All chapters were moved.", { ms: offsetMs + ms }))
          }
        />
      )}
      {list.text === "" ? (
        <p class="lead">{list.why}</p>
      ) : (
        <>
          <label class="note-field">
            <span>For the video's description</span>
            <textarea ref={field} readOnly rows={5} value={list.text} />
          </label>
          <button
            type="button"
            class="quiet-button"
            onClick={() => {
              const done = field.current !== null && copyFrom(field.current);
              const say1 = done ? "Copied." : "It is selected: copy it with the tablet's menu.";
              say(Promise.resolve({ ok: true, say: say1 }));
            }}
          >
            Copy the list
          </button>
        </>
      )}
      {runs.length > 0 && (
        <div class="row">
          {files.map(({ name, label }) => (
            <button key={name} type="button" class="quiet-button" onClick={() => void save(name)}>
              {label}
            </button>
          ))}
        </div>
      )}
    </section>
  );
}

/** "+10 s", "−1 s", "0 s" */
function secondsText(ms: number): string {
  const sign = ms < 0 ? MINUS : ms > 0 ? "+" : "";
  return `${sign}${Math.abs(ms) / 1000}${THIN_SPACE}s`;
}

function Shifts({ label, onShift }: { label: string; onShift: (ms: number) => void }) {
  return (
    <fieldset>
      <legend class="choice-label">{label}</legend>
      <div class="row">
        {shifts.map((shift) => (
          <button
            key={shift}
            type="button"
            class="quiet-button figures"
            onClick={() => onShift(shift * 1000)}
          >
            {shift < 0 ? `\u2212${-shift}` : `+${shift}`}
          </button>
        ))}
      </div>
    </fieldset>
  );
}
