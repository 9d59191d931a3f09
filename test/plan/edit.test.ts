import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { refused } from "../../shared/dye/refusal.ts";
import { type Edit, edited as editedOf } from "../../shared/plan/edit.ts";
import { type Plan, planProblems, planSchema } from "../../shared/plan/plan.ts";
import { onePan, pan, plan, pour, skein, timed } from "../scenario/prepare.ts";

const two: Plan = plan({
  ...onePan,
  colourways: [{ id: "rust", name: "Rust ladder" }],
  skeins: [
    { ...skein("1", "A"), colourway: "rust" },
    { ...skein("2", "A"), colourway: "rust" },
    skein("3", "B"),
  ],
  pans: [pan("A"), pan("B")],
  steps: [...onePan.steps, pour("p3", "deepwater", "B", { ml: 5 }), timed("s", "steam", "B", 25)],
});

const edited = (edit: Edit, of = two): Plan => {
  const answer = editedOf(of, edit);
  if (refused(answer)) throw new Error(answer.say);
  return answer.plan;
};
const stepIds = (of: Plan) => of.steps.map((step) => step.id);

describe("an edit", () => {
  test("moves a step to a place", () => {
    const next = edited({ edit: "move", part: "steps", id: "h", to: 0 });
    expect(stepIds(next).slice(0, 3)).toEqual(["h", "v", "p1"]);
  });

  test("puts in a new thing at a place, or in the place of the one that has its name", () => {
    const item = pour("p9", "lantern", "B", { ml: 3 });
    const next = edited({ edit: "put", part: "steps", item, at: 1 });
    expect(stepIds(next).slice(0, 3)).toEqual(["v", "p9", "p1"]);
    const changed = pour("p1", "lantern", "B", { ml: 3 });
    const same = edited({ edit: "put", part: "steps", item: changed });
    expect(stepIds(same)).toEqual(stepIds(two));
    expect(same.steps[1]).toBe(changed);
  });

  test("duplicates a pour right behind it", () => {
    const next = edited({ edit: "duplicate", part: "steps", id: "p1", as: "p1b" });
    expect(stepIds(next).slice(1, 3)).toEqual(["p1", "p1b"]);
  });

  test("duplicates a skein with the pours that are over it alone", () => {
    const next = edited({ edit: "duplicate", part: "skeins", id: "2", as: "2b" });
    expect(next.skeins.map((one) => one.name)).toEqual([
      "Skein 1",
      "Skein 2",
      "Skein 4",
      "Skein 3",
    ]);
    expect(stepIds(next)).toContain("2b.p2");
    const copy = next.steps.find((step) => step.id === "2b.p2");
    expect(copy).toMatchObject({ pour: { over: [{ skein: "2b", parts: null }] } });
  });

  test("duplicates a colourway with its skeins and their pours", () => {
    const next = edited({ edit: "duplicate", part: "colourways", id: "rust", as: "rust2" });
    expect(next.colourways.map((one) => one.name)).toEqual(["Rust ladder", "Rust ladder 2"]);
    expect(next.skeins.filter((one) => one.colourway === "rust2")).toHaveLength(2);
    expect(next.steps).toHaveLength(two.steps.length + 1);
  });

  test("takes a pan out with its steps, and leaves its skeins on the table", () => {
    const edit: Edit = { edit: "remove", part: "pans", id: "B" };
    expect(editedOf(two, edit)).toMatchObject({ say: "took out pan B with its 2 steps" });
    const next = edited(edit);
    expect(next.skeins[2]).not.toHaveProperty("pan");
    expect(stepIds(next)).toEqual(stepIds(onePan));
  });

  test("a skein put into another pan is left out of the pours it cannot meet there", () => {
    const item = { ...skein("2", "B"), colourway: "rust" };
    const next = edited({ edit: "put", part: "skeins", item });
    expect(next.steps.find((step) => step.id === "p2")).toMatchObject({ pour: { over: "all" } });
  });

  test.each<[string, Edit, string]>([
    ["of what is gone", { edit: "remove", part: "pans", id: "Z" }, "edit.gone"],
    [
      "into a pan that is not there",
      { edit: "put", part: "skeins", item: skein("9", "Z") },
      "edit.unknown",
    ],
    [
      "under a name that is taken",
      { edit: "duplicate", part: "skeins", id: "1", as: "2" },
      "edit.twice",
    ],
  ])("%s is refused", (_, edit, code) => {
    expect(editedOf(two, edit)).toMatchObject({ code });
  });
});

describe("whatever is edited", () => {
  const ids = fc.constantFrom(
    "A",
    "B",
    "C",
    "1",
    "2",
    "3",
    "4",
    "p1",
    "p2",
    "p3",
    "h",
    "s",
    "rust",
  );
  const parts = fc.constantFrom(
    "colourways" as const,
    "skeins" as const,
    "pans" as const,
    "steps" as const,
  );
  const edits: fc.Arbitrary<Edit> = fc.oneof(
    fc.record({ edit: fc.constant("remove" as const), part: parts, id: ids }),
    fc.record({
      edit: fc.constant("move" as const),
      part: parts,
      id: ids,
      to: fc.integer({ min: -2, max: 12 }),
    }),
    fc.record({ edit: fc.constant("duplicate" as const), part: parts, id: ids, as: ids }),
    fc
      .tuple(ids, fc.option(ids, { nil: undefined }))
      .map(([id, inPan]): Edit => ({ edit: "put", part: "skeins", item: skein(id, inPan) })),
    ids.map((id): Edit => ({ edit: "put", part: "pans", item: pan(id) })),
    fc
      .tuple(
        ids,
        ids,
        fc.option(fc.uniqueArray(ids, { minLength: 1, maxLength: 3 }), { nil: undefined }),
      )
      .map(
        ([id, inPan, over]): Edit => ({
          edit: "put",
          part: "steps",
          item: pour(id, "lantern", inPan, { ml: 2 }, over),
        }),
      ),
    fc
      .string({ minLength: 1, maxLength: 10 })
      .map((name): Edit => ({ edit: "name", name: `n${name}` })),
  );

  test("no name in the plan leads nowhere, and the plan stays one that a file can hold", () => {
    fc.assert(
      fc.property(fc.array(edits, { maxLength: 30 }), (list) => {
        let plan = two;
        for (const edit of list) {
          const next = editedOf(plan, edit);
          if (!refused(next)) plan = next.plan;
        }
        expect(planProblems(plan)).toEqual([]);
        const parsed = planSchema.safeParse(plan);
        expect(parsed.error?.issues ?? []).toEqual([]);
      }),
      { numRuns: 400 },
    );
  });
});
