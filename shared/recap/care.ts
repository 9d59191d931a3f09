import { deferral } from "../cautions/cautions.ts";
import { type Hazard, hazardsOfAll, type LiveStep } from "../cautions/hazards.ts";
import type { State } from "../session/state.ts";

/**
 * Hazards of everything in a session's recipe: who repeats it makes up its stocks, pours, heats,
 * rinses and tips the bath.
 */
export function hazardsOfRepeating(state: State): Hazard[] {
  const { setup, bench, acts } = state;
  const dyeHazards = Object.values(setup.dyes).flatMap(({ hazards }) => hazards);
  const steps: LiveStep[] = [
    { kind: "stockMade", powder: true, dyeHazards },
    { kind: "rinse" },
    { kind: "tip" },
  ];
  for (const step of setup.steps) {
    if (step.kind === "add") steps.push({ kind: "add", what: step.what });
    if (step.kind === "heat" && step.how !== "rest") steps.push({ kind: "heat", how: step.how });
  }
  for (const { act } of acts) if (act.kind === "add") steps.push({ kind: "add", what: act.what });
  for (const { how } of Object.values(bench.timers)) {
    if (how !== "rest") steps.push({ kind: "heat", how });
  }
  return hazardsOfAll(steps);
}

/** How dyed yarn is cared for; common practice, no source, and said to be no more. */
export function careOf(superwash: boolean): string[] {
  return [
    superwash
      ? "Wash by hand in cool water with a mild soap: superwash yarn bears a machine, its colour lasts longer without."
      : "Wash by hand in cool water with a mild soap, and do not rub or wring: this yarn felts.",
    "Wash it by itself the first times, for a strong colour may give off some dye.",
    "Dry it flat, out of the sun.",
  ];
}

/** What is done with the bath and with what is left in the bottles; ends with the deferral. */
export function disposalOf(): string[] {
  return [
    "Stock that is left keeps in a closed bottle, labelled with dye, strength and date and out of reach; or empty the bottles together over one last skein.",
    "Let the bath cool and use up what dye is in it. What may go down a drain differs from place to place: follow your local water authority.",
    deferral,
  ];
}
