import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { refused } from "../../shared/dye/refusal.ts";
import { type Change, prepareSchema } from "../../shared/prepare/change.ts";
import { nothingPrepared, type Preparation, prepare } from "../../shared/prepare/preparation.ts";
import { shelfProblems } from "../../shared/shelf/shelf.ts";
import { dye, onePan, pan, quay, shelf, skein, stock } from "../scenario/prepare.ts";

const must = (answer: ReturnType<typeof prepare>): Preparation => {
  if (refused(answer)) throw new Error(answer.say);
  return answer.preparation;
};
const make = (before: Preparation, change: Change) => prepare(before, { type: "change", change });
const begun = must(
  make(nothingPrepared, {
    change: "several",
    changes: [
      { change: "shelf", shelf, because: "filled the shelf" },
      { change: "newPlan", plan: "one", content: onePan },
    ],
    because: "began",
  }),
);

describe("a change", () => {
  test("of the plan and one of the shelf are taken back one after the other", () => {
    const named = must(
      make(begun, { change: "plan", plan: "one", edit: { edit: "name", name: "Dusk" } }),
    );
    const both = must(make(named, { change: "shelve", part: "dyes", item: dye("kelp") }));
    const undone = prepare(both, { type: "undo", expect: both.seq });
    expect(undone).toMatchObject({ say: "undid: added the dye Kelp" });
    const back = must(undone);
    expect(back.prepared).toBe(named.prepared);
    const twice = must(prepare(back, { type: "undo", expect: named.seq }));
    expect(twice.prepared).toBe(begun.prepared);
    const again = must(prepare(twice, { type: "redo", expect: named.seq }));
    expect(again.prepared).toEqual(named.prepared);
  });

  test("that another tablet made meanwhile is not taken back by mistake", () => {
    const next = must(make(begun, { change: "shelve", part: "dyes", item: dye("kelp") }));
    expect(prepare(next, { type: "undo", expect: begun.seq })).toMatchObject({
      code: "prepare.meanwhile",
    });
  });

  test("of several things is all or nothing, and one step back", () => {
    const several = (id: string): Change => ({
      change: "several",
      changes: [
        { change: "shelve", part: "stocks", item: stock("thin", "lantern", 50, 0.1) },
        { change: "retire", part: "dyes", id, out: true },
      ],
      because: "made a thin Lantern",
    });
    expect(make(begun, several("nobody"))).toMatchObject({ code: "shelf.gone" });
    const done = must(make(begun, several("slipway")));
    expect(done.past).toHaveLength(begun.past.length + 1);
  });

  test.each<[string, Change, string]>([
    [
      "a shelf from which something would vanish",
      { change: "shelf", shelf: { ...shelf, bases: [quay] }, because: "x" },
      "shelf.vanishes",
    ],
    [
      "a dye off the shelf that a bottle holds",
      { change: "remove", part: "dyes", id: "lantern" },
      "shelf.used",
    ],
    ["a yarn that a plan dyes", { change: "remove", part: "bases", id: "quay" }, "shelf.used"],
    [
      "a bottle of a dye that is not there",
      { change: "shelve", part: "stocks", item: stock("x", "nobody", 10, 1) },
      "stock.unknownDye",
    ],
    [
      "fibres that add to 101",
      {
        change: "shelve",
        part: "bases",
        item: {
          ...quay,
          id: "odd",
          fibres: [
            { fibre: "wool", pct: 100 },
            { fibre: "silk", pct: 1 },
          ],
        },
      },
      "base.fibres",
    ],
    [
      "a plan whose pours lead nowhere",
      {
        change: "newPlan",
        plan: "two",
        content: { ...onePan, pans: [] },
      },
      "plan.unknown",
    ],
  ])("to %s is refused and changes nothing", (_, change, code) => {
    expect(make(begun, change)).toMatchObject({ code });
  });

  test("that takes off the shelf what nothing uses is made", () => {
    const next = must(make(begun, { change: "shelve", part: "dyes", item: dye("kelp") }));
    const after = must(make(next, { change: "remove", part: "dyes", id: "kelp" }));
    expect(after.prepared.shelf.dyes).toEqual(begun.prepared.shelf.dyes);
  });
});

const ids = fc.constantFrom(
  "lantern",
  "slipway",
  "deepwater",
  "kelp",
  "quay",
  "1",
  "A",
  "one",
  "two",
);
const changes: fc.Arbitrary<Change> = fc.oneof(
  ids.map((id): Change => ({ change: "shelve", part: "dyes", item: dye(id) })),
  fc
    .tuple(ids, ids)
    .map(([id, of]): Change => ({ change: "shelve", part: "stocks", item: stock(id, of, 20, 1) })),
  fc
    .tuple(ids, fc.boolean())
    .map(([id, out]): Change => ({ change: "retire", part: "dyes", id, out })),
  ids.map((id): Change => ({ change: "remove", part: "dyes", id })),
  ids.map((id): Change => ({ change: "newPlan", plan: id, content: onePan })),
  fc.tuple(ids, fc.boolean()).map(([plan, away]): Change => ({ change: "putAway", plan, away })),
  fc.tuple(ids, ids).map(
    ([plan, id]): Change => ({
      change: "plan",
      plan,
      edit: { edit: "put", part: "pans", item: pan(id) },
    }),
  ),
  fc.tuple(ids, ids).map(
    ([plan, id]): Change => ({
      change: "plan",
      plan,
      edit: { edit: "put", part: "skeins", item: skein(id) },
    }),
  ),
);

test("whatever is changed, undo leads back to the start and redo to the end", () => {
  fc.assert(
    fc.property(fc.array(changes, { maxLength: 15 }), (list) => {
      const seen = [begun.prepared];
      let now = begun;
      for (const change of list) {
        const next = make(now, change);
        if (refused(next)) continue;
        now = next.preparation;
        seen.push(now.prepared);
        expect(shelfProblems(now.prepared.shelf)).toEqual([]);
      }
      for (const was of seen.slice(0, -1).reverse()) {
        now = must(prepare(now, { type: "undo", expect: now.past.at(-1)?.seq ?? -1 }));
        expect(now.prepared).toBe(was);
      }
      for (const was of seen.slice(1)) {
        now = must(prepare(now, { type: "redo", expect: now.future.at(-1)?.seq ?? -1 }));
        expect(now.prepared).toBe(was);
      }
      expect(prepare(now, { type: "redo", expect: 0 })).toMatchObject({ code: "prepare.newest" });
    }),
    { numRuns: 200 },
  );
});

test("every change a tablet makes is one that the server reads, and reads back equal", () => {
  fc.assert(
    fc.property(changes, (change) => {
      const envelope = { id: "a", prepare: { type: "change" as const, change } };
      expect(prepareSchema.parse(JSON.parse(JSON.stringify(envelope)))).toEqual(envelope);
    }),
    { numRuns: 200 },
  );
});
