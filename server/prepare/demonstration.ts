import { planOfSetup } from "../../shared/plan/planOfSetup.ts";
import type { Change } from "../../shared/prepare/change.ts";
import type { Setup } from "../../shared/session/setup.ts";
import type { Shelf } from "../../shared/shelf/shelf.ts";

/** Short name of the plan that the demonstration is. */
export const demonstrationPlan = "harbour-at-dusk";

const tools: Shelf["tools"] = [
  {
    id: "scale",
    name: "Pocket scale",
    tool: { kind: "scale", capacityUg: 200_000_000, divisionUg: 10_000 },
    retired: false,
  },
  {
    id: "syringe",
    name: "Syringe 10 mL",
    tool: { kind: "syringe", capacityUl: 10_000, divisionUl: 200 },
    retired: false,
  },
  {
    id: "cylinder",
    name: "Cylinder 100 mL",
    tool: { kind: "cylinder", capacityUl: 100_000, divisionUl: 1_000 },
    retired: false,
  },
];

/** What a new record begins with: the demonstration's dyes and yarns on the shelf, and its plan. */
export function demonstrationOf(setup: Setup): Change {
  const { plan, shelf } = planOfSetup(setup);
  return {
    change: "several",
    changes: [
      { change: "shelf", shelf: { ...shelf, tools }, because: "filled the shelf" },
      { change: "newPlan", plan: demonstrationPlan, content: plan },
    ],
    because: "began with the demonstration",
  };
}
