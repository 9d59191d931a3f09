import { showCount } from "../dye/display.ts";
import type { SkeinColour } from "./predicted.ts";

/**
 * What has to be said with predicted colours of skeins: "colours predicted, roughly known, ± 3
 * CIEDE2000", and of how many no screen shows the colour itself. Empty without a skein.
 */
export function sayPredicted(colours: readonly SkeinColour[]): string {
  const tints = colours.flatMap(({ ground, patches }) => [ground, ...patches]);
  if (tints.length === 0) return "";
  const most = Math.max(...tints.map(({ uncertainty }) => uncertainty));
  const worst = colours.reduce((found, one) => (RANK[one.known] > RANK[found.known] ? one : found));
  const what = colours.length === 1 ? "colour" : "colours";
  const off = `±\u202f${Math.max(1, Math.round(most))} CIEDE2000`;
  const beyond = tints.filter(({ inGamut }) => !inGamut).length;
  const vivid = beyond > 0 ? `; ${showCount(beyond, "colour")} more vivid than any screen` : "";
  return `${what} predicted, ${worst.known} known, ${off}${vivid}`;
}

const RANK = { well: 0, fairly: 1, roughly: 2 } as const;
