import { CAUTIONS, cautionsOf, deferral } from "../../shared/cautions/cautions.ts";
import type { Hazard } from "../../shared/cautions/hazards.ts";
import { CautionMark } from "../../shared/draw/CautionMark.tsx";

/** The cautions of what is under way, each on amber, and who has the last word. */
export function LiveCautions({ hazards }: { hazards: readonly Hazard[] }) {
  if (hazards.length === 0) return null;
  return (
    <section class="cautions" aria-label="Cautions now">
      <ul>
        {cautionsOf(hazards).map(({ hazard, line }) => (
          <li key={hazard}>
            <CautionMark hazard={hazard} size={34} />
            <span>{line}</span>
          </li>
        ))}
      </ul>
      <p class="deferral">{deferral}</p>
    </section>
  );
}

/** One caution beside a step that is still to come. */
export function CautionLine({ hazard }: { hazard: Hazard }) {
  return (
    <span class="caution">
      <CautionMark hazard={hazard} size={28} />
      {CAUTIONS[hazard].line}
    </span>
  );
}

/** All that may hurt anybody in this recipe, in full. */
export function Safety({ hazards }: { hazards: readonly Hazard[] }) {
  return (
    <section class="safety" aria-labelledby="safety">
      <h2 id="safety">Before you dye along</h2>
      <ul>
        {cautionsOf(hazards).map(({ hazard, line, note }) => (
          <li key={hazard}>
            <CautionMark hazard={hazard} size={36} />
            <div>
              <h3>{line}</h3>
              <p>{note}</p>
            </div>
          </li>
        ))}
      </ul>
      <p class="deferral">{deferral}</p>
    </section>
  );
}
