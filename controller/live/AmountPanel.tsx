import { useState } from "preact/hooks";
import type { StepAmount } from "../../shared/session/act.ts";
import type { Step } from "../../shared/session/setup.ts";
import { type State, stepAmount } from "../../shared/session/state.ts";
import { Keypad } from "../bench/Keypad.tsx";
import { sizeOf, withDrops, withSize } from "./adjust.ts";
import { Panel } from "./Panel.tsx";
import { stepWords } from "./StepHead.tsx";

/** What an {@link AmountPanel} is told. */
export interface AmountPanelProps {
  state: State;
  step: Extract<Step, { kind: "pour" | "add" }>;
  onAmount: (amount: StepAmount) => void;
  onClose: () => void;
}

/** Another amount for the step in hand, on a keypad. */
export function AmountPanel({ state, step, onAmount, onClose }: AmountPanelProps) {
  const now = stepAmount(state, step);
  const [typed, setTyped] = useState<number | null>(now && typedOf(now));
  if (now === null) return null;
  const unit = unitOf(now);
  return (
    <Panel title="How much?" close="Back to the pour" onClose={onClose}>
      <div class="live-panel-body live-keypad">
        <Keypad label={stepWords(state, step)} unit={unit} value={typed} onChange={setTyped} />
        <button
          type="button"
          class="live-go"
          aria-disabled={typed === null}
          onClick={() => {
            if (typed === null) return;
            onAmount(withValue(now, typed));
            onClose();
          }}
        >
          Take this amount
        </button>
      </div>
    </Panel>
  );
}

function unitOf(amount: StepAmount): "mL" | "g" | "drops" {
  if (amount.of === "powder") return "g";
  if (amount.of === "addition") return "volumeUl" in amount.amount ? "mL" : "g";
  return amount.amount.drops === undefined ? "mL" : "drops";
}

function typedOf(amount: StepAmount): number {
  return amount.of === "volume" ? (amount.amount.drops ?? sizeOf(amount)) : sizeOf(amount);
}

function withValue(amount: StepAmount, value: number): StepAmount {
  if (amount.of !== "volume" || amount.amount.drops === undefined) return withSize(amount, value);
  return { of: "volume", amount: withDrops(amount.amount, value) };
}
