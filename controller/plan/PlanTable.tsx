import "./plan.css";
import { useState } from "preact/hooks";
import type { Edit } from "../../shared/plan/edit.ts";
import type { Place } from "../../shared/plan/plan.ts";
import type { Id } from "../../shared/session/setup.ts";
import { usePreparation } from "../prepare/context.tsx";
import { usePlan } from "../prepare/usePlan.ts";
import { AddPour } from "./AddPour.tsx";
import { AddSkeins } from "./AddSkeins.tsx";
import { Ahead } from "./Ahead.tsx";
import { PanEditor } from "./PanEditor.tsx";
import { SkeinEditor } from "./SkeinEditor.tsx";
import { StepEditor } from "./StepEditor.tsx";
import { StepList } from "./StepList.tsx";
import { Stove } from "./Stove.tsx";
import type { Table } from "./table.ts";

/** A plan on the table: the stove as a picture, the pour sheet in order, and what lies ahead. */
export function PlanTable({ plan: id }: { plan: Id }) {
  const { change } = usePreparation();
  const inHand = usePlan(id);
  const [place, setPlace] = useState<Place | null>(null);
  if (!inHand) return null;
  const { plan, shelf, prospect, pace } = inHand;
  const table: Table = {
    plan,
    shelf,
    prospect,
    pace,
    edit: (edit: Edit) => void change({ change: "plan", plan: id, edit }),
    both: (edit, next, because) =>
      void change({
        change: "several",
        changes: [
          ...(next === shelf ? [] : [{ change: "shelf" as const, shelf: next, because }]),
          ...(edit === null ? [] : [{ change: "plan" as const, plan: id, edit }]),
        ],
        because,
      }),
    place,
    look: setPlace,
  };
  const step = place?.part === "steps" ? plan.steps.find((one) => one.id === place.id) : undefined;
  const skein =
    place?.part === "skeins" ? plan.skeins.find((one) => one.id === place.id) : undefined;
  const pan = place?.part === "pans" ? plan.pans.find((one) => one.id === place.id) : undefined;
  return (
    <div class="plan">
      <div class="plan-name">
        <label class="unseen" for="plan-name">
          Name of the plan
        </label>
        <input
          id="plan-name"
          class="plan-title"
          type="text"
          maxLength={80}
          value={plan.name}
          onChange={(event) => {
            const name = event.currentTarget.value.trim();
            if (name !== "" && name !== plan.name) table.edit({ edit: "name", name });
            else event.currentTarget.value = plan.name;
          }}
        />
      </div>
      <Stove table={table} />
      <div class="plan-body">
        <div class="plan-sheet">
          <AddSkeins table={table} />
          <StepList table={table} />
          <AddPour table={table} />
        </div>
        <aside class="plan-side" aria-label="What is in hand">
          {step && <StepEditor key={step.id} table={table} step={step} />}
          {skein && <SkeinEditor key={skein.id} table={table} skein={skein} />}
          {pan && <PanEditor key={pan.id} table={table} pan={pan} />}
          <Ahead table={table} />
        </aside>
      </div>
    </div>
  );
}
