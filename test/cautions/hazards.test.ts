import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { HAZARDS, hazardsOf, hazardsOfAll, type LiveStep } from "../../shared/cautions/hazards.ts";

describe("hazards of a live step", () => {
  test("dry powder is a hazard of a powder pour and not of a pour of stock", () => {
    expect(hazardsOf({ kind: "pour", powder: true, dyeHazards: [] })).toEqual(["dryPowder"]);
    expect(hazardsOf({ kind: "pour", powder: false, dyeHazards: [] })).toEqual([]);
    expect(hazardsOf({ kind: "stockMade", powder: true, dyeHazards: [] })).toEqual([
      "dryPowder",
      "dyeVessels",
    ]);
  });

  test("what the dye's safety class adds is there as well, each once", () => {
    expect(
      hazardsOf({ kind: "pour", powder: true, dyeHazards: ["acid", "dryPowder", "acid"] }),
    ).toEqual(["dryPowder", "acid"]);
  });

  test("every way of heating has steam and a hot bath, and children and pets in the room", () => {
    for (const how of ["steam", "stove", "oven"] as const) {
      expect(hazardsOf({ kind: "heat", how })).toEqual(["steam", "hotBath", "childrenAndPets"]);
    }
  });

  test("acid is a hazard going in; salt and water are none until the pan is hot", () => {
    expect(hazardsOf({ kind: "add", what: "acid" })).toEqual(["acid"]);
    expect(hazardsOf({ kind: "add", what: "salt" })).toEqual([]);
    expect(hazardsOf({ kind: "add", what: "water", hot: true })).toEqual(["hotBath"]);
    expect(hazardsOf({ kind: "skein", hot: true })).toEqual(["hotBath"]);
  });

  test("tipping and rinsing are waste water", () => {
    expect(hazardsOf({ kind: "tip", hot: true })).toEqual(["hotBath", "wasteWater"]);
    expect(hazardsOf({ kind: "rinse" })).toEqual(["wasteWater"]);
  });

  test("a pan steaming while another is poured keeps its own hazards", () => {
    expect(
      hazardsOfAll([
        { kind: "pour", powder: true, dyeHazards: [] },
        { kind: "heat", how: "steam" },
        { kind: "rest", hot: true },
      ]),
    ).toEqual(["dryPowder", "steam", "hotBath", "childrenAndPets"]);
  });

  test("steps together have every hazard that any of them has", () => {
    const hazards = fc.array(fc.constantFrom(...HAZARDS));
    const steps: fc.Arbitrary<LiveStep> = fc.oneof(
      fc.record({
        kind: fc.constant("pour" as const),
        powder: fc.boolean(),
        dyeHazards: hazards,
        hot: fc.boolean(),
      }),
      fc.record({
        kind: fc.constant("heat" as const),
        how: fc.constantFrom("steam" as const, "stove" as const, "oven" as const),
      }),
      fc.record({
        kind: fc.constant("add" as const),
        what: fc.constantFrom("acid" as const, "salt" as const, "water" as const),
        hot: fc.boolean(),
      }),
      fc.record({ kind: fc.constant("tip" as const), hot: fc.boolean() }),
    );
    fc.assert(
      fc.property(fc.array(steps, { maxLength: 5 }), (list) => {
        const all = hazardsOfAll(list);
        expect(new Set(all).size).toBe(all.length);
        for (const step of list) {
          for (const hazard of hazardsOf(step)) expect(all).toContain(hazard);
        }
        for (const hazard of all) {
          expect(list.some((step) => hazardsOf(step).includes(hazard))).toBe(true);
        }
      }),
      { numRuns: 1000 },
    );
  });
});
