import { CAUTIONS, shortDeferral } from "../../shared/cautions/cautions.ts";
import type { Hazard } from "../../shared/cautions/hazards.ts";
import { readMs } from "../../shared/cautions/read.ts";

/** Caution strips that stand on screen together. */
export const mostStrips = 3;

/** A caution on screen. Until `until` (server's ms) it stays, whatever happens. */
export type Strip = { hazard: Hazard; since: number; until: number };

export type Strips = {
  shown: readonly Strip[];
  /** When each hazard that still runs was last on screen, for those that take turns. */
  seen: Readonly<Partial<Record<Hazard, number>>>;
};

export const noStrips: Strips = { shown: [], seen: {} };

/**
 * The cautions on screen after `now`. A new one stays for as long as all that stands there takes
 * to read, even when its step has gone by; more than fit take turns, each for its time to read.
 *
 * @param hazards what is under way, the most urgent first
 * @param now the server's clock, ms
 */
export function dwell(before: Strips, hazards: readonly Hazard[], now: number): Strips {
  const kept = before.shown.filter(({ hazard, until }) => hazards.includes(hazard) || now < until);
  const seen = seenOf(before, hazards, now);
  const turn = (hazard: Hazard) => seen[hazard] ?? 0;
  const waiting = hazards
    .filter((hazard) => kept.every((strip) => strip.hazard !== hazard))
    .sort((a, b) => turn(a) - turn(b));

  const slots: (Strip | Hazard)[] = [...kept];
  for (const hazard of waiting) {
    if (slots.length < mostStrips) slots.push(hazard);
    else {
      const at = givesWay(slots, hazards, now);
      if (at < 0) break;
      slots[at] = hazard;
    }
  }
  const lines = slots.map((slot) => CAUTIONS[typeof slot === "string" ? slot : slot.hazard].line);
  const until = now + readMs([...lines, shortDeferral].join(" "));
  const shown = slots.map((slot) =>
    typeof slot === "string" ? { hazard: slot, since: now, until } : slot,
  );
  return {
    shown,
    seen: { ...seen, ...Object.fromEntries(shown.map(({ hazard }) => [hazard, now])) },
  };
}

function seenOf({ shown, seen }: Strips, hazards: readonly Hazard[], now: number): Strips["seen"] {
  const marks: Partial<Record<Hazard, number>> = {};
  for (const hazard of hazards) {
    const last = shown.some((strip) => strip.hazard === hazard) ? now : seen[hazard];
    if (last !== undefined) marks[hazard] = last;
  }
  return marks;
}

/** The slot that has been read and may be given to another: one whose step has ended, else the oldest. */
function givesWay(
  slots: readonly (Strip | Hazard)[],
  hazards: readonly Hazard[],
  now: number,
): number {
  let best = -1;
  let bestSince = Number.POSITIVE_INFINITY;
  slots.forEach((slot, at) => {
    if (typeof slot === "string" || now < slot.until) return;
    const since = hazards.includes(slot.hazard) ? slot.since : Number.NEGATIVE_INFINITY;
    // Of those that came together the less urgent goes first.
    if (since <= bestSince) [best, bestSince] = [at, since];
  });
  return best;
}
