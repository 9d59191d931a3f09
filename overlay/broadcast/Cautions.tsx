import { CAUTIONS, shortDeferral } from "../../shared/cautions/cautions.ts";
import { CautionMark } from "../../shared/draw/CautionMark.tsx";
import type { Strip } from "./dwell.ts";

/** The cautions of all that is under way. They close with what they defer to. */
export function Cautions({ strips }: { strips: readonly Strip[] }) {
  if (strips.length === 0) return null;
  return (
    <aside class="cautions">
      {strips.map(({ hazard }) => (
        <p class="caution" key={hazard} data-hazard={hazard}>
          <CautionMark hazard={hazard} size={46} />
          {CAUTIONS[hazard].line}
        </p>
      ))}
      <p class="deferral">{shortDeferral}</p>
    </aside>
  );
}
