import { type Tick, ticksTo } from "./graduation.ts";

/** The graduations of a wait, from 0 to its end. */
export interface MinuteScale {
  /** Length of the rule in seconds: the whole wait, up to the next fine graduation. */
  readonly endS: number;
  readonly mainS: number;
  readonly halfS: number;
  readonly fineS: number;
  /** Seconds from 0 to the end. */
  readonly ticks: readonly Tick[];
}

/** Longest wait a row serves, and its numbered, longer and fine steps; all seconds. */
const ROWS: readonly (readonly [number, number, number, number])[] = [
  [120, 60, 30, 10],
  [600, 60, 60, 30],
  [1800, 300, 60, 60],
  [3600, 600, 300, 60],
  [7200, 900, 300, 300],
  [21600, 3600, 1800, 600],
  [86400, 14400, 3600, 3600],
];
const LONGEST: readonly [number, number, number] = [86400, 43200, 14400];

/**
 * Graduations for a wait: minutes where they can be told apart, longer marks each 5 or 10 minutes.
 * @param totalS the whole wait in seconds, more than 0
 */
export function minuteScale(totalS: number): MinuteScale {
  const row = ROWS.find(([longest]) => totalS <= longest);
  const [mainS, halfS, fineS] = row === undefined ? LONGEST : [row[1], row[2], row[3]];
  const endS = Math.max(1, Math.ceil(totalS / fineS)) * fineS;
  return { endS, mainS, halfS, fineS, ticks: ticksTo(endS, mainS, halfS, fineS) };
}
