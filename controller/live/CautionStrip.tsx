import "./cautionStrip.css";
import { CAUTIONS, deferral, shortDeferral } from "../../shared/cautions/cautions.ts";
import type { Hazard } from "../../shared/cautions/hazards.ts";
import { CautionMark } from "../../shared/draw/CautionMark.tsx";

/** The cautions of all that is under way, always in sight; a tap opens the whole notes. */
export function CautionStrip(props: { hazards: readonly Hazard[]; onOpen: () => void }) {
  const { hazards, onOpen } = props;
  if (hazards.length === 0) return null;
  return (
    <button type="button" class="live-caution" onClick={onOpen}>
      {hazards.map((hazard) => (
        <span class="live-caution-line" key={hazard}>
          <CautionMark hazard={hazard} size={28} />
          <span>{CAUTIONS[hazard].line}</span>
        </span>
      ))}
      <span class="live-caution-more">{shortDeferral}. Tap for the notes.</span>
    </button>
  );
}

/** The whole notes on some hazards, with what they defer to. */
export function CautionNotes({ hazards }: { hazards: readonly Hazard[] }) {
  return (
    <div class="live-panel-body live-notes">
      {hazards.map((hazard) => (
        <section key={hazard}>
          <h3>
            <CautionMark hazard={hazard} size={36} />
            {CAUTIONS[hazard].line}
          </h3>
          <p>{CAUTIONS[hazard].note}</p>
        </section>
      ))}
      <p class="live-notes-deferral">{deferral}</p>
    </div>
  );
}
