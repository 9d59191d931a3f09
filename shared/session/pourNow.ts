import type { StepAmount } from "./act.ts";
import type { Pour, Share, Step } from "./setup.ts";
import { type State, stepAmount } from "./state.ts";

/** A planned pour as it would go in now: the amount as adjusted, the skeins that still lie there. */
export function pourNow(state: State, step: Extract<Step, { kind: "pour" }>): Pour {
  const { pour } = step;
  const shares = step.whole
    ? wholePan(state, pour.pan)
    : pour.shares.filter((share) => state.bench.skeins[share.skein]?.pan === pour.pan);
  return { ...pour, shares, source: withAmount(pour.source, stepAmount(state, step)) };
}

function withAmount(source: Pour["source"], amount: StepAmount | null): Pour["source"] {
  if (source.from === "vessel" && amount?.of === "volume") {
    return { ...source, amount: amount.amount };
  }
  if (source.from === "powder" && amount?.of === "powder") {
    return { ...source, amount: amount.amount };
  }
  return source;
}

/** Every skein in the pan by its weight: the shares of a pour over the whole pan. */
export function wholePan(state: State, pan: string): Share[] {
  return Object.values(state.bench.skeins)
    .filter((skein) => skein.pan === pan)
    .map((skein) => ({ skein: skein.skein.id, parts: skein.skein.massUg }));
}
