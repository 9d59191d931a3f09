import type { Hazard } from "../cautions/hazards.ts";
import { type MarkProps, StrokeMark } from "./StrokeMark.tsx";

/** What a {@link CautionMark} shows. */
export interface CautionMarkProps extends MarkProps {
  hazard: Hazard;
}

/** Lines on a 40 by 40 square. */
const LINES: Readonly<Record<Hazard, string>> = {
  dryPowder:
    "M4 24.500h21.500c-.5 6.500-4.500 10.500-10.750 10.500S4.500 31 4 24.500zM25.500 26.500 36 20.500" +
    "M7.500 24c2.500-1 4.500-7.500 7-7.500s4 6.500 7.500 7.500" +
    "M14 9.500v.01M20 5v.01M22.500 12.500v.01M28 7.500v.01M30 14v.01M35 5v.01M36 11.500v.01",
  acid:
    "M3.500 11.500 12.500 3l9.500 9-1 4.500 2 2M12.500 22.500 3.500 11.500M12.500 22.500l4.500-1.500 2.500 2" +
    "M27.500 18c2 3 3 4 3 5.500a3 3 0 0 1-6 0c0-1.500 1-2.500 3-5.500z" +
    "M13 30h24M15 30c.5 4.500 3 7 10 7s9.500-2.500 10-7",
  steam:
    "M5 26.500v6c0 2 1 3 3 3h20c2 0 3-1 3-3v-6M1.500 26.500H34.500" +
    "M2.500 20 23 5.500M11.500 13.500 9.500 10.500M7.500 12l4-3" +
    "M20.500 21c-3-3 3.500-4.500 1-8M28.500 20.500c-3.500-4 3.500-6.500 0-12M36 20.500c-3.500-4.500 3.500-8.500 0-15.500",
  hotBath:
    "M6 3v6.500c0 2 1 3 3 3h22c2 0 3-1 3-3V3M2 5.500h4M34 5.500h4" +
    "M20.500 18c-1 4-9 7-9 13a8.500 6.500 0 0 0 17 0c0-3.500-1.500-5.500-3-7.500-.5 2-1.500 3-2.500 3.500.3-3.500-.5-6.500-2.500-9z",
  wasteWater:
    "M2.500 5h35M5.500 5c0 10 2.500 14 9.500 14h10c7 0 9.500-4 9.500-14" +
    "M10.500 11.500c2.500-2 4.500 2 7 0s4.500 2 7 0 3.500 0 5 0" +
    "M17 19v9c0 5.500 8 5.500 8 0 0-2 1-3 3-3h9M20 19h2",
  dyeVessels:
    "M7 10.500h19.500V27c0 5-2 8-6 8h-7.500c-4 0-6-3-6-8zM26.500 15h3.500c6 0 6 11 0 11h-3.500" +
    "M3.500 37.500 36.500 3",
  childrenAndPets:
    "M11 14a5.300 5.300 0 1 0-.01 0M11 14v11M3.500 14.500 11 19l7-4.500M11 25 6.500 35.500M11 25l4.500 10.500" +
    "M24 35.500c-1-8 1-12 4-13.500l-1-6 3 2h3l3-2-.5 6c-.5 2-1.500 3-2.500 3.500 1.500 3 2 6 2 10zM35 35.500c3 0 4-2 3-5",
};

/** A small mark for a hazard, in plain strokes of the colour of the text around it. */
export function CautionMark({ hazard, ...mark }: CautionMarkProps) {
  return <StrokeMark lines={LINES[hazard]} {...mark} />;
}
