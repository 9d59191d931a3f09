import type { Slot } from "../../shared/plan/schedule.ts";

/** Places that steps wait for, by their name. */
export const places = [
  ["ring", "Ring"],
  ["steamer", "Steamer"],
  ["oven", "Oven"],
] as const;

/** Where a step goes on: "Ring 2", "your hands", "by itself". */
export function whereText({ task, place }: Slot): string {
  const name = places.find(([need]) => need === task.need)?.[1];
  if (name) return `${name} ${(place ?? 0) + 1}`;
  return task.need === "dyer" ? "your hands" : "by itself";
}
