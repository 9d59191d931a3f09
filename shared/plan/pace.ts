import type { Entry } from "../session/act.ts";

/** How long the dyer takes over what she does by hand, s. */
export type Pace = { pourSeconds: number; addSeconds: number; talkSeconds: number };

/** Until there is a past session to go by (common practice, no source). */
export const usualPace: Pace = { pourSeconds: 90, addSeconds: 60, talkSeconds: 180 };

/** A gap as long as this is a break, not a pour. */
const longestSeconds = 900;
/** A gap this many times the usual one holds talk besides the pour; our own rule, no source. */
const talkFrom = 2;

/**
 * The dyer's own pace over her past sessions: the median time from any act to the pour, or addition,
 * that follows it. Where that took at least twice its median, what is above the median was talk; of
 * that, too, the median. What was never done keeps its usual time.
 *
 * @param sessions acts of each session in force, in order
 */
export function paceOf(sessions: readonly (readonly Entry[])[], usual: Pace = usualPace): Pace {
  const pours: number[] = [];
  const adds: number[] = [];
  for (const entries of sessions) {
    entries.forEach((entry, at) => {
      const before = entries[at - 1];
      if (!before) return;
      const seconds = (entry.at - before.at) / 1_000;
      if (!(seconds > 0) || seconds > longestSeconds) return;
      if (entry.act.kind === "pour") pours.push(seconds);
      if (entry.act.kind === "add") adds.push(seconds);
    });
  }
  const pourSeconds = median(pours) ?? usual.pourSeconds;
  const addSeconds = median(adds) ?? usual.addSeconds;
  const talk = [...above(pours, pourSeconds), ...above(adds, addSeconds)];
  return { pourSeconds, addSeconds, talkSeconds: median(talk) ?? usual.talkSeconds };
}

function above(gaps: readonly number[], usual: number): number[] {
  return gaps.filter((gap) => gap >= usual * talkFrom).map((gap) => gap - usual);
}

/** The middle value, of an even number the upper of the two, in whole seconds; null of none. */
function median(values: number[]): number | null {
  const middle = values.sort((a, b) => a - b)[Math.floor(values.length / 2)];
  return middle === undefined ? null : Math.max(1, Math.round(middle));
}
