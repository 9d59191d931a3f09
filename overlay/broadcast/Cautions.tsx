import { CAUTIONS, shortDeferral } from "../../shared/cautions/cautions.ts";
import type { Hazard } from "../../shared/cautions/hazards.ts";
import { CautionMark, type CautionSubject } from "../../shared/draw/CautionMark.tsx";
import type { Strip } from "./dwell.ts";

const subjects: Record<Hazard, CautionSubject> = {
  dryPowder: "powder",
  acid: "acid",
  steam: "steam",
  hotBath: "hot",
  wasteWater: "waste-water",
  dyeVessels: "dye-only-vessels",
  childrenAndPets: "children-and-pets",
};

/** The cautions of all that is under way. They close with what they defer to. */
export function Cautions({ strips }: { strips: readonly Strip[] }) {
  if (strips.length === 0) return null;
  return (
    <aside class="cautions">
      {strips.map(({ hazard }) => (
        <p class="caution" key={hazard} data-hazard={hazard}>
          <CautionMark subject={subjects[hazard]} size={46} />
          {CAUTIONS[hazard].line}
        </p>
      ))}
      <p class="deferral">{shortDeferral}</p>
    </aside>
  );
}
