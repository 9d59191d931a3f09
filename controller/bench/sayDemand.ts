import { showCount, showVolume } from "../../shared/dye/display.ts";
import type { Demand } from "./planned.ts";

/** Whether a bottle is enough for what is planned from it, in words. */
export function sayDemand({ plannedUl, pours, shortUl }: Demand): string {
  if (pours === 0) return "Nothing more is planned from it.";
  const planned = `${showVolume(plannedUl)} planned in ${showCount(pours, "pour")}`;
  return shortUl > 0 ? `${planned}: ${showVolume(shortUl)} short.` : `${planned}: enough.`;
}
