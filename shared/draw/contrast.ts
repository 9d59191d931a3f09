import { modeLrgb, modeOklab, modeRgb, useMode, wcagContrast, wcagLuminance } from "culori/fn";

useMode(modeRgb);
useMode(modeLrgb);
useMode(modeOklab);

/**
 * Relative luminance of an sRGB colour, 0 (black) to 1 (white), as WCAG 2.2 defines it (W3C).
 * @param hex `#rrggbb`
 */
export function luminance(hex: string): number {
  return wcagLuminance(hex);
}

/**
 * Contrast ratio of two colours, 1 to 21, in either order, as WCAG 2.2 defines it (W3C):
 * (lighter + 0.05) / (darker + 0.05).
 * @param hex `#rrggbb`
 * @param other `#rrggbb`
 */
export function contrast(hex: string, other: string): number {
  return wcagContrast(hex, other);
}
