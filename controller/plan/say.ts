import { showCelsius, showCount, showMass, showVolume } from "../../shared/dye/display.ts";
import type { AddStep, Plan, PlanPour, PlanStep, TimedKind } from "../../shared/plan/plan.ts";
import type { Technique } from "../../shared/session/setup.ts";
import type { Shelf } from "../../shared/shelf/shelf.ts";

export const TIMED_WORDS: Readonly<Record<TimedKind, string>> = {
  wetOut: "Wet out",
  heat: "Heat up",
  hold: "Hold",
  steam: "Steam",
  oven: "Oven",
  cool: "Cool",
  rest: "Rest",
  rinse: "Rinse and bleed check",
  dry: "Dry",
};

export const TECHNIQUES: readonly { value: Technique; label: string }[] = [
  { value: "immersion", label: "Immersion" },
  { value: "lowWater", label: "Low water" },
  { value: "painted", label: "Painted" },
  { value: "dripped", label: "Dripped" },
  { value: "speckled", label: "Speckled, dry" },
];

/** "Saltmarsh", or "Lantern powder". */
export function saySourceOf(source: PlanPour["source"], shelf: Shelf): string {
  if (source.from === "stock") {
    return shelf.stocks.find(({ id }) => id === source.stock)?.name ?? "a bottle that is gone";
  }
  const dye = shelf.dyes.find(({ id }) => id === source.dye)?.name ?? "a dye that is gone";
  return `${dye} powder`;
}

/** "over all", or the names of the skeins, with parts where they are not by weight. */
export function sayOver(over: PlanPour["over"], plan: Plan): string {
  if (over === "all") return "over all";
  const names = over.map(({ skein, parts }) => {
    const name = plan.skeins.find(({ id }) => id === skein)?.name ?? skein;
    return parts === null ? name : `${name} (${showCount(parts, "part")})`;
  });
  return `over ${names.join(", ")}`;
}

/** What is added, as it is planned: "to pH 4", "2 % of fibre", "500 mL". */
export function sayAddition({ amount }: AddStep): string {
  switch (amount.by) {
    case "volume":
      return showVolume(amount.volumeUl);
    case "mass":
      return showMass(amount.massUg);
    case "pctOfFibre":
      return `${amount.pct}\u202f% of fibre`;
    case "ph":
      return `to pH\u202f${amount.ph}`;
    case "ratio":
      return `to ${amount.ratio}:1`;
  }
}

/** A step in one line, without its pan. */
export function sayStepOf(step: PlanStep, plan: Plan, shelf: Shelf): string {
  switch (step.kind) {
    case "pour":
      return `${saySourceOf(step.pour.source, shelf)} ${sayOver(step.pour.over, plan)}`;
    case "add":
      return `${step.label} ${sayAddition(step)}`;
    case "talk":
      return `Talk: ${step.about}`;
    default:
      return step.celsius === undefined
        ? TIMED_WORDS[step.kind]
        : `${TIMED_WORDS[step.kind]}, ${showCelsius(step.celsius)}`;
  }
}
