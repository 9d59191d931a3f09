import type { Refusal } from "../dye/refusal.ts";

/** Something that begins at a moment of the video, ms from its first frame. */
export type Mark = { atMs: number; title: string };

/** The rules for chapters in a video's description: how many, and how far apart, ms. */
export const fewestChapters = 3;
export const shortestMs = 10_000;

/**
 * Chapters as a video's description may list them: the first at 0:00, each at least ten seconds
 * long as its whole seconds are written, in ascending order. Marks that stand too close are said
 * under the first of them. `lengthMs` is the video's, where it is known.
 */
export function chaptersOf(
  marks: readonly Mark[],
  opening: string,
  lengthMs: number | null,
): Mark[] {
  const inside = marks
    .filter(({ atMs }) => lengthMs === null || atMs < lengthMs)
    .map(({ atMs, title }) => ({ atMs: Math.max(0, atMs), title }))
    .sort((a, b) => a.atMs - b.atMs);
  const groups: { atMs: number; titles: string[] }[] = [{ atMs: 0, titles: [] }];
  for (const { atMs, title } of inside) {
    const last = groups.at(-1);
    if (last && whole(atMs) - whole(last.atMs) < shortestMs) last.titles.push(title);
    else groups.push({ atMs, titles: [title] });
  }
  const end = groups.at(-1);
  const before = groups.at(-2);
  if (lengthMs !== null && end && before && lengthMs - whole(end.atMs) < shortestMs) {
    before.titles.push(...end.titles);
    groups.pop();
  }
  return groups.map(({ atMs, titles }) => ({ atMs, title: titleOf(titles, opening) }));
}

function titleOf(titles: readonly string[], opening: string): string {
  const [first, second] = titles;
  if (first === undefined) return opening;
  if (second === undefined) return first;
  return titles.length === 2
    ? `${first}, then ${second}`
    : `${first}, and ${titles.length - 1} more`;
}

/** One chapter a line, or why there are none. */
export function descriptionOf(chapters: readonly Mark[]): string | Refusal {
  if (chapters.length < fewestChapters) {
    return {
      code: "tooFew",
      say: `A video's description needs at least ${fewestChapters} chapters ten seconds apart, and there ${chapters.length === 1 ? "is 1" : `are ${chapters.length}`} so far.`,
    };
  }
  return `${chapters.map(({ atMs, title }) => `${timeText(atMs)} ${oneLine(title)}`).join("\n")}\n`;
}

/** "4:07", or "1:04:07" from an hour on; whole seconds, never later than the moment itself. */
export function timeText(atMs: number): string {
  const seconds = Math.floor(Math.max(0, atMs) / 1000);
  const hours = Math.floor(seconds / 3600);
  const minutes = Math.floor(seconds / 60) % 60;
  const rest = String(seconds % 60).padStart(2, "0");
  return hours === 0
    ? `${minutes}:${rest}`
    : `${hours}:${String(minutes).padStart(2, "0")}:${rest}`;
}

function whole(ms: number): number {
  return Math.floor(ms / 1000) * 1000;
}

export function oneLine(text: string): string {
  return text.replaceAll(/\s*[\r\n\u2028\u2029]+\s*/g, " ").trim();
}
