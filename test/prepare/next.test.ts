import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  comingPlan,
  comingShelf,
  fileName,
  planFile,
  sayParts,
} from "../../controller/files/coming.ts";
import { addMasses, type DyeMasses, left } from "../../shared/dye/vessel.ts";
import { openFile, writeFile } from "../../shared/plan/file.ts";
import { planOfSetup } from "../../shared/plan/planOfSetup.ts";
import { setupOfPlan } from "../../shared/plan/setupOfPlan.ts";
import { mergeShelves, neededBy } from "../../shared/prepare/merge.ts";
import { nextFrom, nextName } from "../../shared/prepare/nextFrom.ts";
import { changed, nothingPrepared, type Prepared } from "../../shared/prepare/preparation.ts";
import { SHELF_PARTS, type Shelf, shelfProblems } from "../../shared/shelf/shelf.ts";
import { present } from "../scenario/book.ts";
import { Desk, harbourSheet, pourOf, setupOf } from "../scenario/desk.ts";
import { onePan, shelf } from "../scenario/prepare.ts";
import { shelves } from "../shelf/arbitrary.ts";

const harbour = planOfSetup(setupOf(harbourSheet()));
const prepared: Prepared = {
  shelf: harbour.shelf,
  plans: { harbour: { plan: harbour.plan, away: false } },
};
const made = (before: Prepared, change: Parameters<typeof changed>[1]): Prepared => {
  const next = changed(before, change);
  if (!("prepared" in next)) throw new Error(next.say);
  return next.prepared;
};
const shortNames = (of: Shelf) => SHELF_PARTS.flatMap((part) => of[part].map(({ id }) => id));

const volumeUl = fc.integer({ min: 1, max: 60_000 });
const vessel = fc.constantFrom("lantern", "slipway", "saltmarsh", "gullwing", "jug1");
const doing = fc.oneof(
  fc
    .record({ vessel, volumeUl })
    .map(({ vessel: from, volumeUl: ul }) => ({ type: "pour" as const, pour: pourOf(from, ul) })),
  fc
    .record({ vessel, volumeUl })
    .map((of) => ({ type: "discard" as const, how: "spilled" as const, ...of })),
  fc.record({ vessel, volumeUl }).map((of) => ({
    type: "mix" as const,
    into: "jug1",
    parts: [of],
    powder: [],
    waterUl: 5_000,
  })),
);

describe("the next plan from a session", () => {
  test("has on its shelf, to the last uL and ug, what the session left in bottles and jugs", () => {
    let moved = 0;
    fc.assert(
      fc.property(fc.array(doing, { maxLength: 12 }), (doings) => {
        const desk = Desk.live();
        desk.must({
          type: "mix",
          into: "jug1",
          made: { name: "Dusk", as: "jug" },
          parts: [{ vessel: "lantern", volumeUl: 3_000 }],
          powder: [],
          waterUl: 2_000,
        });
        for (const command of doings) if (desk.try(command).ok) moved += 1;
        const state = { ...desk.state, plan: "harbour" };
        const next = made(prepared, nextFrom(state, prepared, "next").change);
        let book: DyeMasses = {};
        let bookUl = 0;
        for (const bottle of next.shelf.stocks) {
          book = addMasses(book, bottle.dyes);
          bookUl += bottle.volumeUl;
        }
        let bench: DyeMasses = {};
        let benchUl = 0;
        for (const one of Object.values(state.bench.vessels)) {
          const liquor = left(one.vessel);
          bench = addMasses(bench, liquor.dyes);
          benchUl += liquor.volumeUl;
          const bottle = next.shelf.stocks.find(({ id }) => id === one.id);
          if (liquor.volumeUl > 0) expect(bottle).toMatchObject(liquor);
        }
        expect(present(book)).toEqual(present(bench));
        expect(bookUl).toBe(benchUl);
        expect(shelfProblems(next.shelf)).toEqual([]);
      }),
      { numRuns: 40 },
    );
    expect(moved).toBeGreaterThan(100);
  });

  test("is the plan as it was, under the next name, and nothing of the record", () => {
    const desk = Desk.live();
    desk.advance();
    desk.must({ type: "note", text: "A note of the evening", seen: "private" });
    const { change, plan } = nextFrom({ ...desk.state, plan: "harbour" }, prepared, "next");
    const next = made(prepared, change);
    expect(next.plans.next?.plan).toEqual({ ...harbour.plan, name: "Harbour at dusk 2" });
    expect(next.plans.harbour).toEqual(prepared.plans.harbour);
    expect(plan.name).toBe("Harbour at dusk 2");
    expect(JSON.stringify(change)).not.toContain("A note of the evening");
    const again = nextFrom({ ...desk.state, plan: "harbour" }, next, "third");
    expect(again.plan.name).toBe("Harbour at dusk 3");
  });

  test("of a session whose plan is not here is made of what it was opened with", () => {
    const { state } = Desk.live();
    const next = made(
      nothingPrepared.prepared,
      nextFrom(state, nothingPrepared.prepared, "n").change,
    );
    expect(next.plans.n?.plan).toEqual({ ...harbour.plan, name: "Harbour at dusk 2" });
    expect(new Set(shortNames(next.shelf))).toEqual(new Set(shortNames(harbour.shelf)));
  });

  test("leaves dyes and yarns as they stand on the shelf, and a bottle's own name", () => {
    const named: Prepared = {
      ...prepared,
      shelf: {
        ...harbour.shelf,
        dyes: harbour.shelf.dyes.map((one) => ({ ...one, onHandUg: 5_000_000 })),
        stocks: harbour.shelf.stocks.map((one) => ({ ...one, name: `${one.name} (tall)` })),
      },
    };
    const desk = Desk.live();
    desk.advance();
    const next = made(named, nextFrom(desk.state, named, "next").change);
    expect(next.shelf.dyes).toEqual(named.shelf.dyes);
    expect(next.shelf.stocks.map(({ name }) => name)).toEqual(
      named.shelf.stocks.map(({ name }) => name),
    );
  });

  test("takes a bottle's level from a later session that poured from it", () => {
    const first = Desk.live();
    first.must({ type: "pour", pour: pourOf("lantern", 10_000) });
    const second = Desk.live();
    second.must({ type: "pour", pour: pourOf("lantern", 25_000) });
    const next = made(
      prepared,
      nextFrom(first.state, prepared, "next", [second.state.bench]).change,
    );
    const full = harbour.shelf.stocks.find(({ id }) => id === "lantern")?.volumeUl ?? 0;
    expect(next.shelf.stocks.find(({ id }) => id === "lantern")?.volumeUl).toBe(full - 25_000);
  });

  test("finds a name that is not taken and not too long", () => {
    expect(nextName("Harbour", new Set())).toBe("Harbour 2");
    expect(nextName("Harbour 9", new Set(["Harbour 10"]))).toBe("Harbour 11");
    expect(nextName("2031", new Set())).toBe("2031 2");
    const long = nextName("x".repeat(80), new Set());
    expect([long.length, long.endsWith(" 2")]).toEqual([80, true]);
  });
});

describe("a file put onto what is here", () => {
  test("brings a shelf back equal onto an empty one, and changes nothing the second time", () => {
    fc.assert(
      fc.property(shelves, (of) => {
        const opened = openFile(writeFile({ pourside: "shelf", shelf: of }));
        if (!opened.ok || opened.file.pourside !== "shelf") throw new Error("not a shelf");
        const { change } = comingShelf(opened.file, nothingPrepared.prepared);
        const next = change ? made(nothingPrepared.prepared, change) : nothingPrepared.prepared;
        expect(next.shelf).toEqual(of);
        expect(comingShelf(opened.file, next).change).toBeNull();
      }),
      { numRuns: 25 },
    );
  });

  test("lets nothing leave the shelf, and takes the file's word for what is in both", () => {
    fc.assert(
      fc.property(shelves, shelves, (onto, from) => {
        for (const same of ["replace", "keep"] as const) {
          const merged = mergeShelves(onto, from, same);
          const ids = new Set(shortNames(merged.shelf));
          for (const id of [...shortNames(onto), ...shortNames(from)]) expect(ids).toContain(id);
          const winner = same === "replace" ? from : onto;
          for (const part of SHELF_PARTS) {
            for (const item of winner[part]) expect(merged.shelf[part]).toContain(item);
            const told = merged.added[part] + merged.replaced[part] + merged.kept[part];
            expect(told).toBe(from[part].length);
          }
          expect(shelfProblems(merged.shelf)).toEqual([]);
        }
      }),
      { numRuns: 25 },
    );
  });

  test("brings a plan back equal, with all that it needs of the shelf", () => {
    for (const [plan, on] of [
      [harbour.plan, harbour.shelf],
      [onePan, shelf],
    ] as const) {
      const from: Prepared = { shelf: on, plans: { p: { plan, away: false } } };
      const file = planFile(from, "p");
      if (!file) throw new Error("no plan");
      const opened = openFile(writeFile(file));
      if (!opened.ok || opened.file.pourside !== "plan") throw new Error("not a plan");
      const { change } = comingPlan(opened.file, nothingPrepared.prepared, "new");
      if (!change) throw new Error("no change");
      const next = made(nothingPrepared.prepared, change);
      expect(next.plans.new?.plan).toEqual(plan);
      expect(setupOfPlan(plan, next.shelf)).toEqual(setupOfPlan(plan, on));
    }
  });

  test("takes nothing along that a plan does not need", () => {
    const bare = neededBy({ ...onePan, steps: [], skeins: [], setOut: [] }, shelf);
    expect(shortNames(bare)).toEqual([]);
  });

  test("of a plan leaves the shelf's own things as they are, and says so", () => {
    const file = { pourside: "plan" as const, plan: harbour.plan, shelf: harbour.shelf };
    const mine: Prepared = {
      ...prepared,
      shelf: {
        ...harbour.shelf,
        stocks: harbour.shelf.stocks.map((one) => ({ ...one, volumeUl: one.volumeUl * 2 })),
      },
    };
    const { change, says } = comingPlan(file, mine, "new");
    if (!change) throw new Error("no change");
    const next = made(mine, change);
    expect(next.shelf).toEqual(mine.shelf);
    expect(next.plans.new?.plan.name).toBe("Harbour at dusk 2");
    expect(says.join(" ")).toMatch(/under the same short names, and left so: 6 dyes, 2 yarns/);
  });

  test("is told in counts, and saved under a name that any computer takes", () => {
    expect(sayParts({ dyes: 6, bases: 1, stocks: 0, tools: 0, swatches: 2 })).toBe(
      "6 dyes, 1 yarn and 2 swatches",
    );
    expect(fileName("Harbour at dusk: 2/3", "plan")).toBe("harbour-at-dusk-2-3.plan.json");
    expect(fileName("…", "session")).toBe("pourside.session.json");
  });
});
