import type { Tool } from "../../shared/dye/tool.ts";
import { TEASPOON_UL } from "../../shared/dye/units.ts";

/** A measuring tool as a viewer chooses it. Marks are the usual ones; common practice, no source. */
export type ToolChoice = { id: string; name: string; say: string; marks: string; tool: Tool };

export const dropperId = "dropper";

export const toolChoices: readonly ToolChoice[] = [
  ...(
    [
      [1, 0.01],
      [5, 0.2],
      [10, 0.5],
      [60, 1],
    ] as const
  ).map(([capacity, division]) => ({
    id: `syringe${capacity}`,
    name: `Syringe ${capacity}\u202fmL`,
    say: `a syringe of ${capacity}\u202fmL`,
    marks: `marks of ${division}\u202fmL`,
    tool: {
      kind: "syringe" as const,
      capacityUl: capacity * 1_000,
      divisionUl: division * 1_000,
    },
  })),
  {
    id: "cylinder100",
    name: "Cylinder 100\u202fmL",
    say: "a cylinder of 100\u202fmL",
    marks: "marks of 1\u202fmL",
    tool: { kind: "cylinder", capacityUl: 100_000, divisionUl: 1_000 },
  },
  {
    id: "spoon5",
    name: "Teaspoon",
    say: "a level teaspoon of 5\u202fmL",
    marks: "level, 5\u202fmL",
    tool: { kind: "liquidSpoon", spoonUl: TEASPOON_UL },
  },
  {
    id: "spoon1",
    name: "Quarter teaspoon",
    say: "a level quarter teaspoon",
    marks: "level, 1.25\u202fmL",
    tool: { kind: "liquidSpoon", spoonUl: TEASPOON_UL / 4 },
  },
  {
    id: "scale001",
    name: "Fine scale",
    say: "a fine scale",
    marks: "shows 0.01\u202fg",
    tool: { kind: "scale", capacityUg: 200_000_000, divisionUg: 10_000 },
  },
  {
    id: "scale01",
    name: "Scale",
    say: "a scale",
    marks: "shows 0.1\u202fg",
    tool: { kind: "scale", capacityUg: 1_000_000_000, divisionUg: 100_000 },
  },
];

/** The tool of a choice; a dropper is one only when its drops were counted, uL each. */
export function toolOf(id: string | null, dropUl: number | null): Tool | null {
  if (id === dropperId) {
    return dropUl === null ? { kind: "dropper" } : { kind: "dropper", dropUl };
  }
  return toolChoices.find((choice) => choice.id === id)?.tool ?? null;
}

/** "a syringe of 10 mL" in the middle of a sentence. */
export function sayTool(id: string | null): string | null {
  if (id === dropperId) return "a dropper";
  return toolChoices.find((choice) => choice.id === id)?.say ?? null;
}
