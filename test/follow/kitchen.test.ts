import { expect, test } from "vitest";
import { sayKitchen } from "../../overlay/follow/kitchen.ts";
import { UNITS } from "../reference/amounts.ts";

const oz = Number(UNITS.gPerOz.value) * 1_000_000;
const flOz = Number(UNITS.mlPerUsFlOz.value) * 1_000;
const tsp = UNITS.labelledTeaspoonMl.value * 1_000;

test.each([
  ["volume", tsp, "1 tsp"],
  ["volume", tsp * 1.5, "1 1/2 tsp"],
  ["volume", 2_000, "about 3/8 tsp"],
  ["volume", tsp / 8, "1/8 tsp"],
  ["volume", 624, ""],
  ["volume", 400, ""],
  ["volume", flOz, "about 5 7/8 tsp, 1.00 fl oz"],
  ["volume", flOz * 8, "8.00 fl oz"],
  ["mass", oz, "1.00 oz"],
  ["mass", oz / 1000, "0.001 oz"],
] as const)("%s of %d is %s in the kitchen's measures", (of, amount, said) => {
  expect(sayKitchen(of, amount).replace(/\u202f/g, " ")).toBe(said);
});
