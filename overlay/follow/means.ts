import type { Choices } from "./kept.ts";
import { sayKitchen } from "./kitchen.ts";
import { sayTool } from "./tools.ts";

/** What the viewer measures with, as far as amounts are said for it. */
export type Means = {
  /** "a syringe of 10 mL"; `null` for exact amounts. */
  tool: string | null;
  /** An amount in teaspoons and ounces besides; `null` where that is not asked for. */
  also: ((of: "volume" | "mass", amount: number) => string) | null;
};

export function meansOf({ toolId, kitchen }: Pick<Choices, "toolId" | "kitchen">): Means {
  return { tool: sayTool(toolId), also: kitchen ? sayKitchen : null };
}
