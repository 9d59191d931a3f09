import { useMemo } from "preact/hooks";
import type { Pace } from "../../shared/plan/pace.ts";
import type { Plan } from "../../shared/plan/plan.ts";
import { type Prospect, prospectOf } from "../../shared/plan/prospect.ts";
import type { Id } from "../../shared/session/setup.ts";
import type { Shelf } from "../../shared/shelf/shelf.ts";
import { usePreparation } from "./context.tsx";
import { today } from "./today.ts";

export type PlanInHand = { plan: Plan; shelf: Shelf; prospect: Prospect; pace: Pace | undefined };

/** A plan with what lies ahead of it, worked out anew when plan, shelf or pace change. */
export function usePlan(id: Id): PlanInHand | null {
  const { prepared, word } = usePreparation();
  const plan = prepared?.plans[id]?.plan;
  const shelf = prepared?.shelf;
  const pace = word?.pace;
  const prospect = useMemo(
    () => (plan && shelf ? prospectOf(plan, shelf, today(), pace) : null),
    [plan, shelf, pace],
  );
  return plan && shelf && prospect ? { plan, shelf, prospect, pace } : null;
}
