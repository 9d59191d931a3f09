import { useEffect, useState } from "preact/hooks";
import type { PartProps } from "./part.ts";
import { saveAs } from "./save.ts";

/** A picture of one source as it is now: for the recap, and for a swatch under the camera. */
export function Still({ report, desk, say }: PartProps) {
  const { sources } = report;
  const [source, setSource] = useState<string | null>(null);
  const [still, setStill] = useState<{ blob: Blob; url: string } | null>(null);
  useEffect(() => {
    return () => {
      if (still) URL.revokeObjectURL(still.url);
    };
  }, [still]);
  if (report.word.state !== "on" || sources.length === 0) return null;
  const used = source !== null && sources.includes(source) ? source : (sources[0] ?? "");
  const take = async () => {
    const answer = await desk.still(used);
    if (answer.ok) setStill({ blob: answer.value, url: URL.createObjectURL(answer.value) });
    else say(Promise.resolve(answer));
  };
  return (
    <section class="broadcast-part" aria-labelledby="broadcast-still">
      <h3 id="broadcast-still">Still</h3>
      <label class="name-field broadcast-scene">
        <span>Of</span>
        <select
          aria-label="Source of the still"
          value={used}
          onChange={(event) => setSource(event.currentTarget.value)}
        >
          {sources.map((name) => (
            <option key={name} value={name}>
              {name}
            </option>
          ))}
        </select>
      </label>
      {still && <img class="broadcast-still" src={still.url} alt={`Still of ${used}`} />}
      <div class="row">
        <button type="button" class="quiet-button" onClick={() => void take()}>
          Take a still
        </button>
        {still && (
          <button
            type="button"
            class="quiet-button"
            onClick={() => saveAs("pourside-still.png", still.blob)}
          >
            Save it
          </button>
        )}
      </div>
    </section>
  );
}
