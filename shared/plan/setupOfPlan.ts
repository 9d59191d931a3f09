import type { Setup } from "../session/setup.ts";
import type { Shelf } from "../shelf/shelf.ts";
import type { Pace } from "./pace.ts";
import { mostPours, type Plan } from "./plan.ts";
import { type PlanProblem, type Walk, walk } from "./walk.ts";

export type SetOut = { ok: true; setup: Setup } | { ok: false; problems: readonly PlanProblem[] };

/**
 * What a plan is on the bench: the setup that a session is opened with. Everything a line names must
 * be there; nothing is guessed and nothing left out in silence. A talk is no step of the record.
 */
export function setupOfPlan(plan: Plan, shelf: Shelf, pace?: Pace): SetOut {
  return setupOfWalk(walk(plan, shelf, pace));
}

/** As `setupOfPlan`, of a plan that was walked already. */
export function setupOfWalk(walked: Walk): SetOut {
  const { setup } = walked;
  const problems = [...walked.problems];
  const pours = setup.steps.filter((step) => step.kind === "pour").length;
  const add = (code: string, say: string) =>
    problems.push({ place: { part: "steps", id: null }, code, say });
  if (Object.keys(setup.pans).length === 0) {
    problems.push({
      place: { part: "pans", id: null },
      code: "plan.noPan",
      say: "There is no pan in this plan. Add one.",
    });
  }
  if (Object.keys(setup.skeins).length === 0) {
    problems.push({
      place: { part: "skeins", id: null },
      code: "plan.noSkein",
      say: "There is no skein in this plan. Add one.",
    });
  }
  if (pours > mostPours) {
    add("plan.tooManyPours", `A plan has ${mostPours} pours at the most, this one ${pours}.`);
  }
  return problems.length > 0 ? { ok: false, problems } : { ok: true, setup };
}
