/** How much a graduation stands out: numbered, halfway, or the finest. */
export type TickRank = "main" | "half" | "fine";

/** One graduation of a rule. */
export interface Tick {
  /** Where it stands, in the rule's own unit. */
  readonly at: number;
  readonly rank: TickRank;
}

/** The graduations of a vessel laid on its side, from 0 to its end. */
export interface RuleScale {
  /** The vessel's capacity, microlitres: 1, 2 or 5 times a power of ten. */
  readonly endUl: number;
  /** From one numbered graduation to the next, microlitres. */
  readonly mainUl: number;
  /** From one longer graduation to the next, microlitres. */
  readonly halfUl: number;
  /** From one graduation to the next, microlitres. */
  readonly fineUl: number;
  /** Every graduation, from 0 to the end, microlitres. */
  readonly ticks: readonly Tick[];
}

/** The smallest rule holds one drop: 50 microlitres, 0.05 mL. */
const SMALLEST_END_UL = 50;

const STEPS = {
  1: { main: 0.2, half: 0.1, fine: 0.02 },
  2: { main: 0.5, half: 0.1, fine: 0.05 },
  5: { main: 1, half: 0.5, fine: 0.1 },
} as const;

/**
 * The vessel a volume is measured in: the smallest 1-2-5 capacity that holds it, so that 37.5 mL
 * stands on a 50 mL rule, with numbered, longer and fine graduations that are 1-2-5 steps too.
 * @param volumeUl microlitres, 0 or more; a drop (50) is the smallest rule there is
 */
export function ruleScale(volumeUl: number): RuleScale {
  const least = Math.max(SMALLEST_END_UL, volumeUl);
  let decade = 10 ** Math.floor(Math.log10(least));
  let lead: 1 | 2 | 5 = 1;
  if (least > 5 * decade) decade *= 10;
  else if (least > 2 * decade) lead = 5;
  else if (least > decade) lead = 2;
  const step = STEPS[lead];
  const mainUl = Math.round(step.main * decade);
  const halfUl = Math.round(step.half * decade);
  const fineUl = Math.round(step.fine * decade);
  const endUl = lead * decade;
  return { endUl, mainUl, halfUl, fineUl, ticks: ticksTo(endUl, mainUl, halfUl, fineUl) };
}

/** Graduations from 0 to `end` in whole steps of `fine`, each with its rank. */
export function ticksTo(end: number, main: number, half: number, fine: number): Tick[] {
  const ticks: Tick[] = [];
  for (let at = 0; at <= end; at += fine) {
    ticks.push({ at, rank: at % main === 0 ? "main" : at % half === 0 ? "half" : "fine" });
  }
  return ticks;
}

/**
 * The graduations that can be told apart on a rule this long: where the finest, or the halfway
 * ones, would stand closer than `gap` they are left out, as on a smaller vessel.
 * @param length of the whole rule, px
 * @param gap least distance between neighbours, px
 */
export function readableTicks(
  ticks: readonly Tick[],
  end: number,
  length: number,
  gap: number,
): Tick[] {
  const keeps = (count: number) => length / Math.max(1, count - 1) >= gap;
  if (keeps(ticks.length)) return [...ticks];
  const coarse = ticks.filter((tick) => tick.rank !== "fine");
  if (keeps(coarse.length)) return coarse;
  return ticks.filter((tick) => tick.rank === "main" || tick.at === end);
}

/**
 * The numbered graduations that fit: every one, or every second, or fifth, so that no two
 * numbers touch. The first and, where the step allows, the last always keep theirs.
 * @param width widest number, px
 */
export function numberedTicks(
  ticks: readonly Tick[],
  end: number,
  length: number,
  width: number,
): Tick[] {
  const mains = ticks.filter((tick) => tick.rank === "main");
  const every = [1, 2, 5, 10].find((skip) => (length / (mains.length - 1)) * skip >= width);
  if (every === undefined) return mains.filter((tick) => tick.at === 0 || tick.at === end);
  return mains.filter((_, index) => index % every === 0);
}
