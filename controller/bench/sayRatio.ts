import { liquorRatio } from "../../shared/dye/depth.ts";
import { THIN_SPACE } from "../../shared/dye/display.ts";

/** The liquor ratio in words: "15 mL per g". Dry fibre above 0 ug. */
export function sayRatio(bathUl: number, fibreUg: number): string {
  return `${Math.round(liquorRatio(bathUl, fibreUg) * 10) / 10}${THIN_SPACE}mL per g`;
}
