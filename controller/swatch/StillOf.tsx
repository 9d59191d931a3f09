import { useEffect, useMemo, useState } from "preact/hooks";
import { broadcastDesk } from "../broadcast/desk.ts";
import { browserStore, readToken } from "../token.ts";

/** What {@link StillOf} gives back. */
export interface StillOfProps {
  onStill: (still: Blob) => void;
  onRefused: (say: string) => void;
}

/** A still of a camera of the stream as a photograph, where the broadcasting software is there. */
export function StillOf({ onStill, onRefused }: StillOfProps) {
  const desk = useMemo(() => broadcastDesk(readToken(browserStore()) ?? ""), []);
  const [sources, setSources] = useState<readonly string[]>([]);
  const [source, setSource] = useState<string | null>(null);
  useEffect(() => {
    let open = true;
    void desk.report().then((report) => {
      if (open && report.ok && report.value.word.state === "on") setSources(report.value.sources);
    });
    return () => {
      open = false;
    };
  }, [desk]);
  const [first] = sources;
  if (first === undefined) return null;
  const used = source !== null && sources.includes(source) ? source : first;
  return (
    <>
      <select
        class="blank-box swatch-source"
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
      <button
        type="button"
        class="quiet-button"
        onClick={() => {
          void desk.still(used).then((still) => {
            if (still.ok) onStill(still.value);
            else onRefused(still.say);
          });
        }}
      >
        Take a still
      </button>
    </>
  );
}
