import { useState } from "preact/hooks";
import { emptyPlan } from "../../shared/plan/plan.ts";
import type { Id } from "../../shared/session/setup.ts";
import { Select } from "../form/Select.tsx";
import { newId } from "../link/id.ts";
import { usePreparation } from "./context.tsx";
import { ToBench } from "./ToBench.tsx";

/** What {@link PlanHead} is told. */
export interface PlanHeadProps {
  token: string;
  plan: Id | null;
  onPlan: (plan: Id) => void;
  onBench: () => void;
}

/** Which plan is on the table, undo and redo, and the ways to the bench. */
export function PlanHead({ token, plan, onPlan, onBench }: PlanHeadProps) {
  const { prepared, word, saving, change, undo, redo } = usePreparation();
  const [busy, setBusy] = useState(false);
  const plans = Object.entries(prepared?.plans ?? {}).filter(([, { away }]) => !away);
  const turn = async (work: () => Promise<void>) => {
    setBusy(true);
    await work();
    setBusy(false);
  };
  const begin = () => {
    const id = newId();
    void change({ change: "newPlan", plan: id, content: emptyPlan });
    onPlan(id);
  };
  return (
    <header class="prepare-head">
      <div class="prepare-plans">
        {plan !== null && (
          <Select
            label="Plan"
            options={plans.map(([id, line]) => ({ value: id, label: line.plan.name }))}
            value={plan}
            onValue={onPlan}
          />
        )}
        <button type="button" class="quiet-button" onClick={begin}>
          New plan
        </button>
        {plan !== null && <ToBench token={token} plan={plan} onBench={onBench} />}
      </div>
      <div class="prepare-head-ways">
        <button
          type="button"
          class="quiet-button"
          disabled={busy || saving === "away" || !word?.undo}
          title={word?.undo?.say}
          onClick={() => void turn(undo)}
        >
          Undo
        </button>
        <button
          type="button"
          class="quiet-button"
          disabled={busy || saving === "away" || !word?.redo}
          title={word?.redo?.say}
          onClick={() => void turn(redo)}
        >
          Redo
        </button>
        <button type="button" class="quiet-button" onClick={onBench}>
          The bench
        </button>
      </div>
    </header>
  );
}
