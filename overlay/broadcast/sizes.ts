import type { FitStep } from "./Fit.tsx";

/** Sizes of letters, px, and the lines they may take, from what looks best down to 36 px. */
export const titleSteps: readonly FitStep[] = [
  [60, 1],
  [54, 1],
  [48, 2],
  [44, 2],
  [40, 2],
  [36, 3],
];
export const twoLineTitleSteps: readonly FitStep[] = titleSteps.map(([size, lines]) => [
  size,
  Math.min(lines, 2),
]);
export const lineSteps: readonly FitStep[] = [
  [38, 1],
  [36, 1],
];
export const smallSteps: readonly FitStep[] = [[36, 1]];
export const figureSteps: readonly FitStep[] = [140, 130, 120, 110, 100, 90, 84].map((size) => [
  size,
  1,
]);
