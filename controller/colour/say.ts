import type { MeasuredDose } from "../../shared/colour/measure.ts";
import type { Prediction } from "../../shared/colour/predict.ts";
import { showDepth, showVolume, THIN_SPACE } from "../../shared/dye/display.ts";
import type { Depths, Known } from "./shelf.ts";

/** A difference of two colours, CIEDE2000. */
export function showDifference(apart: number): string {
  return apart.toFixed(1);
}

/** A predicted colour and how far it may well be off. */
export function sayPredicted({ hex, uncertainty }: Prediction): string {
  return `Predicted ${hex}, \u00b1${THIN_SPACE}${showDifference(uncertainty)} CIEDE2000`;
}

/** How a dose is measured: "12.5 mL of Saltmarsh 1 %", or of that diluted. */
export function sayMeasured(known: Known, measured: MeasuredDose | undefined): string {
  if (!measured || measured.volumeUl === 0) return "";
  const { bottle } = known;
  const name = bottle?.name ?? `${known.name} 1${THIN_SPACE}%, still to make up`;
  const thin = measured.factor === 1 ? "" : `, diluted 1 part to\u00a0${measured.factor}`;
  const isMore = bottle !== null && measured.volumeUl / measured.factor > bottle.volumeUl;
  const short = isMore ? `: it holds ${showVolume(bottle.volumeUl)}` : "";
  return `${showVolume(measured.volumeUl)} of ${name}${thin}${short}`;
}

/** A recipe in a line: "Saltmarsh 0.84 %, Lantern 0.10 %". */
export function sayDepths(known: readonly Known[], depths: Depths): string {
  const parts = known.flatMap(({ id, name }) => {
    const pct = depths[id] ?? 0;
    return pct > 0 ? [`${name} ${showDepth(pct)}`] : [];
  });
  return parts.length > 0 ? parts.join(", ") : "no dye";
}

/** "Saltmarsh", "Saltmarsh and Lantern", "Saltmarsh, Slipway and Lantern". */
export function sayList(names: readonly string[]): string {
  const last = names.at(-1) ?? "";
  return names.length < 2 ? last : `${names.slice(0, -1).join(", ")} and ${last}`;
}
