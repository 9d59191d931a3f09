/** What can hurt somebody at a step. A caution is bound to one of these, never to a screen. */
export const HAZARDS = [
  "dryPowder",
  "acid",
  "steam",
  "hotBath",
  "wasteWater",
  "dyeVessels",
  "childrenAndPets",
] as const;

export type Hazard = (typeof HAZARDS)[number];

/**
 * A step of the session as far as hazards go. `hot`: the pan or the liquid is hot. `dyeHazards`:
 * what the safety class of the dyes in it adds.
 */
export type LiveStep =
  | { kind: "pour"; powder: boolean; dyeHazards: readonly Hazard[]; hot?: boolean }
  | { kind: "stockMade"; powder: boolean; dyeHazards: readonly Hazard[] }
  | { kind: "heat"; how: "steam" | "stove" | "oven" }
  | { kind: "rest"; hot?: boolean }
  | { kind: "add"; what: "acid" | "salt" | "water"; hot?: boolean }
  | { kind: "skein"; hot?: boolean }
  | { kind: "tip"; hot?: boolean }
  | { kind: "rinse" };

/**
 * The hazards of a step, the most urgent first, each once. Covered pans steam on a stove and in an
 * oven as well as in a steamer, so every kind of heat has both. Which hazards a step has is common
 * practice, no source; a dye's own safety data sheet may name more, and those come in through
 * `dyeHazards`.
 */
export function hazardsOf(step: LiveStep): Hazard[] {
  const found = new Set<Hazard>(hazardsOfKind(step));
  if ("hot" in step && step.hot === true) found.add("hotBath");
  return HAZARDS.filter((hazard) => found.has(hazard));
}

/** The hazards of all steps under way at once, the most urgent first, each once. */
export function hazardsOfAll(steps: readonly LiveStep[]): Hazard[] {
  const found = new Set(steps.flatMap(hazardsOf));
  return HAZARDS.filter((hazard) => found.has(hazard));
}

function hazardsOfKind(step: LiveStep): readonly Hazard[] {
  switch (step.kind) {
    case "pour":
      return step.powder ? ["dryPowder", ...step.dyeHazards] : step.dyeHazards;
    case "stockMade":
      return step.powder
        ? ["dryPowder", "dyeVessels", ...step.dyeHazards]
        : ["dyeVessels", ...step.dyeHazards];
    case "heat":
      return ["steam", "hotBath", "childrenAndPets"];
    case "rest":
      return ["childrenAndPets"];
    case "add":
      return step.what === "acid" ? ["acid"] : [];
    case "skein":
      return [];
    case "tip":
    case "rinse":
      return ["wasteWater"];
  }
}
