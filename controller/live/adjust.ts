import type { VolumeAmount } from "../../shared/dye/amount.ts";
import {
  MINUS,
  massParts,
  type Parts,
  showCount,
  showMass,
  showPlusMinus,
  showVolume,
  THIN_SPACE,
  volumeParts,
} from "../../shared/dye/display.ts";
import type { StepAmount } from "../../shared/session/act.ts";
import type { AdditionAmount, Step } from "../../shared/session/setup.ts";
import { doubtFor, scaledDoubt, stepsFor } from "./size.ts";

const leastUl = 50;
const leastUg = 1_000;

/** A button that changes the amount: what it says and what the amount becomes. */
export type Nudge = { label: string; say: string; amount: StepAmount | null };

/** The amount that a step was planned with; `null` for a heat step. */
export function plannedAmount(step: Step): StepAmount | null {
  if (step.kind === "heat") return null;
  if (step.kind === "add") return { of: "addition", amount: step.amount };
  return step.pour.source.from === "vessel"
    ? { of: "volume", amount: step.pour.source.amount }
    : { of: "powder", amount: step.pour.source.amount };
}

/** Size of an amount in the unit it is kept in, uL or ug. */
export function sizeOf(amount: StepAmount): number {
  switch (amount.of) {
    case "volume":
      return amount.amount.volumeUl;
    case "powder":
      return amount.amount.massUg;
    case "addition":
      return "volumeUl" in amount.amount ? amount.amount.volumeUl : amount.amount.massUg;
  }
}

/**
 * Coarse less, fine less, fine more, coarse more. The steps go by what was planned, so that they
 * stay the same however often they are pressed; drops go by one and by five.
 */
export function nudges(planned: StepAmount, now: StepAmount): Nudge[] {
  if (now.of === "volume" && now.amount.drops !== undefined) {
    const { drops } = now.amount;
    return [-5, -1, 1, 5].map((by) => {
      const amount = drops + by > 0 ? withDrops(now.amount, drops + by) : null;
      return {
        label: `${by < 0 ? MINUS : "+"}${Math.abs(by)}`,
        say: `${showCount(Math.abs(by), "drop")} ${by < 0 ? "less" : "more"}`,
        amount: amount && { of: "volume", amount },
      };
    });
  }
  const liquid = isLiquid(now);
  const { fine, coarse } = stepsFor(sizeOf(planned), liquid ? leastUl : leastUg);
  return [-coarse, -fine, fine, coarse].map((by) => {
    const size = sizeOf(now) + by;
    const parts = liquid ? volumeParts(Math.abs(by)) : massInUnitOf(now, Math.abs(by));
    return {
      label: `${by < 0 ? MINUS : "+"}${parts.figure}`,
      say: `${liquid ? showVolume(Math.abs(by)) : showMass(Math.abs(by))} ${by < 0 ? "less" : "more"}`,
      amount: size > 0 ? withSize(now, size) : null,
    };
  });
}

/** A change of mass in the unit in which the mass itself is shown. */
function massInUnitOf(amount: StepAmount, massUg: number): Parts {
  return massParts(sizeOf(amount)).unit === "g" && massUg < 1_000_000
    ? { figure: String(massUg / 1_000_000), unit: "g" }
    : massParts(massUg);
}

function isLiquid(amount: StepAmount): boolean {
  return amount.of === "volume" || (amount.of === "addition" && "volumeUl" in amount.amount);
}

/** Another count of drops of the same size. The doubt stays in proportion. */
export function withDrops(amount: VolumeAmount, drops: number): VolumeAmount {
  const dropUl = amount.volumeUl / (amount.drops ?? 1);
  const volumeUl = Math.max(1, Math.round(dropUl * drops));
  const plusMinusUl = scaledDoubt(amount.plusMinusUl, amount.volumeUl, volumeUl);
  return { ...amount, drops, volumeUl, plusMinusUl };
}

/**
 * The same kind of amount, of another size. The doubt stays in proportion; counted drops are
 * counted no longer.
 */
export function withSize(amount: StepAmount, size: number): StepAmount {
  switch (amount.of) {
    case "volume": {
      const { how, volumeUl } = amount.amount;
      const plusMinusUl = scaledDoubt(amount.amount.plusMinusUl, volumeUl, size);
      return { of: "volume", amount: { how, volumeUl: size, plusMinusUl } };
    }
    case "powder": {
      const { how, massUg } = amount.amount;
      const plusMinusUg = scaledDoubt(amount.amount.plusMinusUg, massUg, size);
      return { of: "powder", amount: { how, massUg: size, plusMinusUg } };
    }
    case "addition": {
      const other: AdditionAmount =
        "volumeUl" in amount.amount ? { volumeUl: size } : { massUg: size };
      return { of: "addition", amount: other };
    }
  }
}

/** How sure an amount is, in the words of the button that changes it. */
export function sayHow(amount: StepAmount): { word: string; more: string } {
  if (amount.of === "addition") return { word: "Measured", more: "" };
  const { how } = amount.amount;
  const doubt =
    amount.of === "volume"
      ? amount.amount.plusMinusUl > 0 && showPlusMinus(amount.amount.plusMinusUl)
      : amount.amount.plusMinusUg > 0 && `±${THIN_SPACE}${showMass(amount.amount.plusMinusUg)}`;
  if (how === "measured") return { word: "Measured", more: doubt || "to the mark" };
  if (how === "estimated") return { word: "About", more: doubt || "by eye" };
  return { word: "About", more: "settle later" };
}

/**
 * The next way of being sure: measured, about, and for liquids to be settled later; then round
 * again. A doubt that was planned is kept in proportion, else it is about a tenth.
 */
export function nextHow(planned: StepAmount, now: StepAmount): StepAmount | null {
  if (now.of === "volume") {
    const { amount } = now;
    const doubt =
      planned.of === "volume" && planned.amount.plusMinusUl > 0
        ? scaledDoubt(planned.amount.plusMinusUl, planned.amount.volumeUl, amount.volumeUl)
        : doubtFor(amount.volumeUl);
    if (amount.how === "measured") {
      return { of: "volume", amount: { ...amount, how: "estimated", plusMinusUl: doubt } };
    }
    if (amount.how === "estimated") {
      return { of: "volume", amount: { ...amount, how: "unsettled", plusMinusUl: doubt } };
    }
    return { of: "volume", amount: { ...amount, how: "measured", plusMinusUl: 0 } };
  }
  if (now.of === "powder") {
    const { amount } = now;
    if (amount.how === "estimated") {
      return { of: "powder", amount: { ...amount, how: "measured", plusMinusUg: 0 } };
    }
    const doubt =
      planned.of === "powder" && planned.amount.plusMinusUg > 0
        ? scaledDoubt(planned.amount.plusMinusUg, planned.amount.massUg, amount.massUg)
        : doubtFor(amount.massUg);
    return { of: "powder", amount: { ...amount, how: "estimated", plusMinusUg: doubt } };
  }
  return null;
}

/** The figure that is the largest thing on screen, and what stands beside it. */
export type Figure = { figure: string; unit: string; before: string; after: string };

export function figureOf(amount: StepAmount): Figure {
  if (amount.of === "addition") {
    const parts =
      "volumeUl" in amount.amount
        ? volumeParts(amount.amount.volumeUl)
        : massParts(amount.amount.massUg);
    return { ...parts, before: "", after: "" };
  }
  const { how } = amount.amount;
  const doubt =
    amount.of === "volume"
      ? amount.amount.plusMinusUl > 0
        ? showPlusMinus(amount.amount.plusMinusUl)
        : ""
      : amount.amount.plusMinusUg > 0
        ? `±${THIN_SPACE}${showMass(amount.amount.plusMinusUg)}`
        : "";
  const before = how === "measured" ? "" : "about";
  const after = how === "unsettled" ? "until it is settled" : doubt;
  if (amount.of === "powder") return { ...massParts(amount.amount.massUg), before, after };
  const { drops, volumeUl } = amount.amount;
  if (drops === undefined) return { ...volumeParts(volumeUl), before, after };
  const count = showCount(drops, "drop").split(" ");
  return {
    figure: count[0] ?? String(drops),
    unit: count[1] ?? "drops",
    before,
    after: [showVolume(volumeUl), after].filter((text) => text !== "").join(" "),
  };
}
