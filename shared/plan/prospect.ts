import type { Refusal } from "../dye/refusal.ts";
import type { Shelf } from "../shelf/shelf.ts";
import { type Bath, bathsOf, type Depths, depthsOf } from "./bath.ts";
import { type Foresight, foresee } from "./foresight.ts";
import type { Pace } from "./pace.ts";
import type { Plan } from "./plan.ts";
import { placesOf, type Schedule, schedule, tasksOf } from "./schedule.ts";
import { type Walk, walk } from "./walk.ts";
import { powderToWeigh, type Warning, warningsOf } from "./warnings.ts";

/** All that is worked out of a plan on every edit. */
export type Prospect = {
  walked: Walk;
  baths: readonly Bath[];
  depths: readonly Depths[];
  foresight: Foresight;
  powderUg: Readonly<Record<string, number>>;
  schedule: Schedule | Refusal;
  warnings: readonly Warning[];
};

/**
 * Everything a plan shows, from one walk through it.
 *
 * @param today a date such as 2031-05-31, for the age of bottles
 */
export function prospectOf(plan: Plan, shelf: Shelf, today: string, pace?: Pace): Prospect {
  const walked = walk(plan, shelf, pace);
  const foresight = foresee(walked.setup);
  return {
    walked,
    baths: bathsOf(plan, shelf, walked),
    depths: depthsOf(plan, shelf, walked),
    foresight,
    powderUg: powderToWeigh(shelf, walked, foresight),
    schedule: schedule(tasksOf(walked), placesOf(plan.workroom)),
    warnings: warningsOf({ plan, shelf, walked, foresight, today }),
  };
}
