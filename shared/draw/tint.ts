import { formatHex, interpolate, modeOklab, modeRgb, useMode } from "culori/fn";
import { luminance } from "./contrast.ts";
import { INK, WOOL } from "./palette.ts";

useMode(modeRgb);
useMode(modeOklab);

/**
 * A flat colour part of the way from one to another, even to the eye (through Oklab).
 * @param from `#rrggbb`
 * @param to `#rrggbb`
 * @param share 0 gives `from`, 1 gives `to`
 */
export function between(from: string, to: string, share: number): string {
  return formatHex(interpolate([from, to], "oklab")(share));
}

/** The line of a twist on yarn of this colour: darker, or lighter where the yarn is nearly black. */
export function twistOf(hex: string, strength = 0.3): string {
  return luminance(hex) > 0.05 ? between(hex, INK, strength) : between(hex, WOOL, strength);
}

/** The pale rim that dye leaves where it has crept up dry yarn. */
export function creptOf(undyedHex: string, dyedHex: string): string {
  return between(undyedHex, dyedHex, 0.5);
}
