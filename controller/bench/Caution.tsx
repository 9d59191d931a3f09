import { CAUTIONS, shortDeferral } from "../../shared/cautions/cautions.ts";
import type { Hazard } from "../../shared/cautions/hazards.ts";
import { CautionMark } from "../../shared/draw/CautionMark.tsx";

/** The cautions of what is about to be done, in amber, with the sentence they all defer to. */
export function Caution({ hazards }: { hazards: readonly Hazard[] }) {
  if (hazards.length === 0) return null;
  return (
    <aside class="caution" aria-label="Caution">
      {hazards.map((hazard) => (
        <p class="caution-line" key={hazard}>
          <CautionMark hazard={hazard} size={32} />
          <span>{CAUTIONS[hazard].line}</span>
        </p>
      ))}
      <p class="caution-deferral">{shortDeferral}.</p>
    </aside>
  );
}
