import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { momentsOf } from "../../shared/broadcast/moment.ts";
import { left } from "../../shared/dye/vessel.ts";
import { openFile, writeFile } from "../../shared/plan/file.ts";
import { planOfSetup } from "../../shared/plan/planOfSetup.ts";
import { lastDrawnAt, nextFrom } from "../../shared/prepare/nextFrom.ts";
import { changed } from "../../shared/prepare/preparation.ts";
import type { Bench } from "../../shared/session/bench.ts";
import type { AfterCommand, Command } from "../../shared/session/command.ts";
import { commandSchema } from "../../shared/session/command.ts";
import { type Json, merge, patchOf } from "../../shared/session/mergePatch.ts";
import { fold } from "../../shared/session/state.ts";
import { publicView, recapView } from "../../shared/session/views/publicView.ts";
import { bookOf, present } from "../scenario/book.ts";
import { Desk, pourOf } from "../scenario/desk.ts";

const off = (command: AfterCommand): Command => ({ type: "after", command });
const skein = (id: string, pan: string) => ({
  id,
  name: id,
  base: "quay",
  massUg: 50_000_000,
  pan,
});

/** A session that poured 20 mL on air, closed. */
function closed(): { desk: Desk; poured: number } {
  const desk = Desk.live();
  const poured = desk.must({ type: "pour", pour: pourOf("saltmarsh", 20_000) });
  desk.must({ type: "close" });
  return { desk, poured };
}

/** The account book balances, and the record folds to the same state at once and one by one. */
function balanced(desk: Desk): void {
  const { bench } = desk.state;
  const book = bookOf(bench);
  expect(present(book.dyes)).toEqual(present(bench.brought.dyes));
  expect(book.volumeUl).toBe(bench.brought.volumeUl);
  expect(fold("session", desk.events)).toEqual(desk.state);
}

const heldBy = ({ vessels }: Bench, id: string) => {
  const there = vessels[id];
  if (!there) throw new Error(`There is no bottle ${id}.`);
  return left(there.vessel);
};

const volumeOf = (desk: Desk, act: number) => {
  const source = desk.state.bench.poured.find((one) => one.act === act)?.pour.source;
  return source?.from === "vessel" ? source.amount.volumeUl : null;
};

describe("after the close", () => {
  test("a plain command is refused as before, and one for afterwards is refused before", () => {
    const { desk } = closed();
    expect(desk.refusal({ type: "pour", pour: pourOf("saltmarsh", 1_000) }).code).toBe("closed");
    const open = Desk.live();
    const rinse = { type: "rinse", skeins: ["1"], water: "clear", words: "" } as const;
    expect(open.refusal(off(rinse)).code).toBe("stillOpen");
    const never = new Desk();
    never.must({ type: "close" });
    expect(never.refusal(off(rinse)).code).toBe("neverLive");
  });

  test("a correction needs a reason, changes what was poured, and is told beside what was written", () => {
    const { desk, poured } = closed();
    const to = { kind: "pour" as const, pour: pourOf("saltmarsh", 12_500) };
    const bare = { type: "correct" as const, act: poured, to, reason: "" };
    expect(desk.refusal(off(bare)).code).toBe("noReason");
    // Blanks are none: the reason is trimmed where it comes in.
    const blank = commandSchema.parse(off({ ...bare, reason: "   " }));
    expect(desk.refusal(blank).code).toBe("noReason");
    const seq = desk.must(off({ ...bare, reason: "misread the syringe" }));
    expect(volumeOf(desk, poured)).toBe(12_500);
    const view = publicView(desk.state);
    expect(view.poured[poured]).toMatchObject({ corrected: true, volumeUl: 12_500 });
    expect(view.corrections).toEqual({
      [seq]: {
        at: expect.any(Number),
        act: poured,
        was: "20\u202fmL Saltmarsh 1\u202f% into pan A",
        now: "12.5\u202fmL Saltmarsh 1\u202f% into pan A",
        reason: "misread the syringe",
      },
    });
    balanced(desk);
  });

  test("corrections of one pour follow on one another, and the last one counts", () => {
    const { desk, poured } = closed();
    const correct = (volumeUl: number | null, reason: string) =>
      desk.must(
        off({
          type: "correct",
          act: poured,
          to: volumeUl === null ? null : { kind: "pour", pour: pourOf("saltmarsh", volumeUl) },
          reason,
        }),
      );
    const heldUl = heldBy(desk.state.bench, "saltmarsh").volumeUl;
    correct(15_000, "first look");
    correct(18_000, "second look");
    expect(volumeOf(desk, poured)).toBe(18_000);
    expect(heldBy(desk.state.bench, "saltmarsh").volumeUl).toBe(heldUl + 2_000);
    correct(null, "it never went in");
    expect(volumeOf(desk, poured)).toBeNull();
    expect(heldBy(desk.state.bench, "saltmarsh").volumeUl).toBe(heldUl + 20_000);
    const told = Object.values(publicView(desk.state).corrections ?? {});
    expect(told.map(({ was, now }) => [was.slice(0, 4), now?.slice(0, 4)])).toEqual([
      ["20\u202fm", "15\u202fm"],
      ["15\u202fm", "18\u202fm"],
      ["18\u202fm", undefined],
    ]);
    balanced(desk);
  });

  test("a pour is not corrected onto a skein that was not there yet", () => {
    const { desk, poured } = closed();
    desk.must(off({ type: "skeinNew", skein: skein("late", "C") }));
    const onto = (skeins?: string[]) =>
      off({
        type: "correct",
        act: poured,
        to: {
          kind: "pour",
          pour: pourOf("saltmarsh", 20_000, { pan: "C", ...(skeins ? { skeins } : {}) }),
        },
        reason: "it was pan C",
      });
    expect(desk.refusal(onto(["late"])).code).toBe("skeinNotThere");
    desk.must(onto());
    expect(desk.state.bench.skeins.late?.dyes).toEqual({});
    const doses = desk.state.bench.poured.find(({ act }) => act === poured)?.doses ?? [];
    expect(doses.length).toBeGreaterThan(0);
    balanced(desk);
  });

  test("a reason that was given on air stays on the bench", () => {
    const desk = Desk.live();
    const act = desk.must({ type: "pour", pour: pourOf("saltmarsh", 20_000) });
    const to = { kind: "pour" as const, pour: pourOf("saltmarsh", 12_500) };
    desk.must({ type: "correct", act, to, reason: "a private reason" });
    expect(JSON.stringify(publicView(desk.state))).not.toContain("private reason");
  });

  test("undo takes back what was written since, and never what was done on air", () => {
    const { desk, poured } = closed();
    desk.must(off({ type: "skeinNew", skein: skein("late", "A") }));
    const undo = () => desk.must(off({ type: "undo", expect: desk.state.acts.at(-1)?.seq ?? 0 }));
    undo();
    expect(desk.state.bench.skeins.late).toBeUndefined();
    expect(desk.refusal(off({ type: "undo", expect: poured })).code).toBe("onAir");
    balanced(desk);
  });
});

describe("skeins that are dyed the next day", () => {
  test("are off air, with their pours; on-air ones and the video's chapters are not", () => {
    const { desk, poured } = closed();
    desk.must(off({ type: "skeinMove", skein: "1", to: null }));
    desk.must(off({ type: "skeinNew", skein: skein("late", "C") }));
    const late = desk.must(
      off({ type: "pour", pour: pourOf("lantern", 5_000, { pan: "C", skeins: ["late"] }) }),
    );
    const view = publicView(desk.state);
    expect(view.skeins.late).toMatchObject({ offAir: true, depthPct: 0.1 });
    expect(view.skeins["1"]?.offAir).toBeUndefined();
    expect(view.poured[late]?.offAir).toBe(true);
    expect(view.poured[poured]?.offAir).toBeUndefined();
    expect(momentsOf("session", desk.events).map(({ act }) => act)).toEqual([poured]);
    balanced(desk);
  });

  test("are on air where the session was reopened for them", () => {
    const { desk } = closed();
    desk.must({ type: "reopen" });
    const act = desk.must({ type: "pour", pour: pourOf("lantern", 5_000) });
    expect(publicView(desk.state).poured[act]?.offAir).toBeUndefined();
    balanced(desk);
  });

  test("cannot be poured on with more than a bottle holds", () => {
    const { desk } = closed();
    const pour = pourOf("lantern", 99_000_000);
    expect(desk.refusal(off({ type: "pour", pour })).code).toBe("tooMuch");
  });
});

describe("rinse and result", () => {
  test("stand with the skein, the last one of each; undo brings the one before back", () => {
    const { desk } = closed();
    desk.must(off({ type: "rinse", skeins: ["1", "2", "1"], water: "much", words: "" }));
    desk.must(
      off({ type: "rinse", skeins: ["1"], water: "clear", cloth: "some", words: "third rinse" }),
    );
    const { skeins } = desk.state.bench;
    expect(skeins["1"]?.rinse).toMatchObject({ water: "clear", cloth: "some" });
    expect(skeins["2"]?.rinse).toMatchObject({ water: "much" });
    const view = publicView(desk.state);
    expect(view.skeins["1"]?.rinse).toEqual({ water: "clear", cloth: "some" });
    expect(JSON.stringify(view)).not.toContain("third rinse");
    desk.must(off({ type: "undo", expect: desk.state.acts.at(-1)?.seq ?? 0 }));
    expect(desk.state.bench.skeins["1"]?.rinse).toMatchObject({ water: "much" });
    balanced(desk);
  });

  test("need a skein of the session, and something to tell", () => {
    const { desk } = closed();
    const result = { type: "result" as const, skein: "1", words: "" };
    expect(desk.refusal(off(result)).code).toBe("noResult");
    expect(desk.refusal(off({ ...result, skein: "99", photograph: "a".repeat(64) })).code).toBe(
      "unknownSkein",
    );
    const glowing = { how: "spectrum" as const, reflectance: new Array<number>(31).fill(1.5) };
    expect(desk.refusal(off({ ...result, seen: glowing })).code).toBe("colour.fluorescent");
    const rinse = {
      type: "rinse" as const,
      skeins: ["1", "99"],
      water: "clear" as const,
      words: "",
    };
    expect(desk.refusal(off(rinse)).code).toBe("unknownSkein");
    expect(commandSchema.safeParse(off({ ...result, photograph: "../record.db" })).success).toBe(
      false,
    );
  });

  test("a measured or photographed colour stands in for the prediction; one by eye does not", () => {
    const { desk } = closed();
    const lotOf = () => recapView(desk.state).lots.find(({ skeins }) => skeins.includes("1"));
    const predicted = lotOf()?.colour;
    expect(predicted?.how).toBe("predicted");
    const result = (seen: Extract<AfterCommand, { type: "result" }>["seen"] & object) =>
      desk.must(off({ type: "result", skein: "1", seen, words: "" }));
    result({ how: "typed", hex: "#112233" });
    expect(lotOf()?.colour).toEqual(predicted);
    expect(publicView(desk.state).skeins["1"]?.seen).toBeUndefined();
    result({ how: "photographed", hex: "#4a7f96", spread: 1.2 });
    expect(lotOf()?.colour).toMatchObject({ how: "photographed", hex: "#4a7f96" });
    expect(publicView(desk.state).skeins["1"]?.seen).toEqual({
      how: "photographed",
      hex: "#4a7f96",
    });
    // CIELAB 53.24, 80.09, 67.20 is sRGB red (IEC 61966-2-1 by way of CIE 15, from memory).
    result({ how: "measured", lab: { l: 53.24, a: 80.09, b: 67.2 } });
    expect(lotOf()?.colour).toMatchObject({ how: "measured" });
    expect(lotOf()?.colour.hex).toMatch(/^#f[ef]0[0-2]0[0-2]$/);
    balanced(desk);
  });
});

describe("leftovers on one last skein", () => {
  const empty = (vessels: readonly string[], pan = "A") =>
    off({ type: "empty", vessels, skein: skein("last", pan) });

  test("are all that the bottles hold, to the last unit, and nothing of it falls on others", () => {
    const { desk } = closed();
    const before = desk.state.bench;
    desk.must(empty(["saltmarsh", "lantern", "lantern"]));
    const { bench } = desk.state;
    for (const id of ["saltmarsh", "lantern"]) {
      expect(heldBy(bench, id).volumeUl).toBe(0);
    }
    const heldUg = ["saltmarsh", "lantern"].map(
      (id) => Object.values(heldBy(before, id).dyes)[0] ?? 0,
    );
    expect(Object.values(bench.skeins.last?.dyes ?? {}).sort()).toEqual(heldUg.sort());
    expect(bench.skeins["1"]?.dyes).toEqual(before.skeins["1"]?.dyes);
    expect(bench.skeins["1"]?.pan).toBeNull();
    expect(bench.skeins.last).toMatchObject({ pan: "A", offAir: true });
    balanced(desk);
  });

  test("are as much in doubt as the pours before them were", () => {
    const desk = Desk.live();
    desk.must({
      type: "pour",
      pour: pourOf("saltmarsh", 20_000, {
        source: {
          from: "vessel",
          vessel: "saltmarsh",
          amount: { how: "estimated", volumeUl: 20_000, plusMinusUl: 3_000 },
        },
      }),
    });
    desk.must({ type: "close" });
    desk.must(empty(["saltmarsh", "gullwing"]));
    const amounts = desk.state.bench.poured
      .slice(-2)
      .flatMap(({ pour: { source } }) => (source.from === "vessel" ? [source.amount] : []));
    expect(amounts).toMatchObject([
      { how: "estimated", plusMinusUl: 3_000 },
      { how: "measured", plusMinusUl: 0 },
    ]);
    balanced(desk);
  });

  test("are as much in doubt as the level was last read, and the pours since", () => {
    const guessed = (how: "estimated" | "unsettled", volumeUl: number, plusMinusUl: number) => ({
      type: "pour" as const,
      pour: pourOf("saltmarsh", volumeUl, {
        source: { from: "vessel", vessel: "saltmarsh", amount: { how, volumeUl, plusMinusUl } },
      }),
    });
    const read = (desk: Desk, gone: number) => {
      const leftUl = heldBy(desk.state.bench, "saltmarsh").volumeUl - gone;
      const reading = { by: "level" as const, leftUl, plusMinusUl: 500 };
      desk.must({ type: "read", vessel: "saltmarsh", reading });
    };
    const doubtOf = (desk: Desk) => {
      desk.must({ type: "close" });
      desk.must(empty(["saltmarsh"]));
      const source = desk.state.bench.poured.at(-1)?.pour.source;
      return source?.from === "vessel" ? source.amount.plusMinusUl : undefined;
    };
    const settled = Desk.live();
    settled.must(guessed("estimated", 20_000, 3_000));
    settled.must(guessed("unsettled", 10_000, 5_000));
    settled.must(guessed("unsettled", 10_000, 5_000));
    read(settled, 0);
    settled.must(guessed("estimated", 5_000, 200));
    expect(doubtOf(settled)).toBe(700);
    const spilled = Desk.live();
    spilled.must(guessed("estimated", 20_000, 3_000));
    read(spilled, 9_000);
    expect(doubtOf(spilled)).toBe(500);
    balanced(spilled);
  });

  test("are refused from empty bottles, on a skein that there is, and into an unknown pan", () => {
    const { desk } = closed();
    expect(desk.refusal(empty(["saltmarsh"], "Z")).code).toBe("unknownPan");
    expect(desk.refusal(empty(["nothing"])).code).toBe("unknownVessel");
    desk.must(empty(["saltmarsh"]));
    expect(desk.refusal(empty(["lantern"])).code).toBe("taken");
    const another = off({ type: "empty", vessels: ["saltmarsh"], skein: skein("next", "B") });
    expect(desk.refusal(another).code).toBe("nothingLeft");
  });

  test("leave the next session the levels that are left, and a jug that holds something", () => {
    const { desk } = closed();
    desk.must(
      off({
        type: "mix",
        into: "dusk",
        made: { name: "Dusk", as: "jug" },
        parts: [{ vessel: "gullwing", volumeUl: 30_000 }],
        powder: [],
        waterUl: 30_000,
      }),
    );
    desk.must(empty(["saltmarsh"]));
    const { shelf, plan } = planOfSetup(desk.state.setup);
    const prepared = { shelf, plans: { harbour: { plan, away: false } } };
    const next = changed(prepared, nextFrom(desk.state, prepared, "next").change);
    if (!("prepared" in next)) throw new Error(next.say);
    const levels = new Map(next.prepared.shelf.stocks.map((one) => [one.id, one.volumeUl]));
    expect(levels.get("saltmarsh")).toBe(0);
    expect(levels.get("dusk")).toBe(60_000);
    expect(levels.get("lantern")).toBe(heldBy(desk.state.bench, "lantern").volumeUl);
  });

  test("count as the last draw on a bottle; what is only noted later does not", () => {
    const { desk } = closed();
    expect(lastDrawnAt(new Desk().state)).toBeNull();
    const before = lastDrawnAt(desk.state) ?? 0;
    desk.must(off({ type: "rinse", skeins: ["1"], water: "clear", words: "" }));
    expect(lastDrawnAt(desk.state)).toBe(before);
    desk.must(empty(["lantern"]));
    expect(lastDrawnAt(desk.state)).toBeGreaterThan(before);
  });
});

test("the after-part goes through a file and through merge patches as it is", () => {
  const { desk, poured } = closed();
  let view = publicView(desk.state) as unknown as Json;
  const commands: AfterCommand[] = [
    { type: "correct", act: poured, to: null, reason: "it never went in" },
    { type: "rinse", skeins: ["1"], water: "some", cloth: "clear", words: "twice" },
    {
      type: "result",
      skein: "1",
      seen: { how: "photographed", hex: "#4a7f96", spread: 1 },
      photograph: "0a".repeat(32),
      words: "in daylight",
    },
    { type: "empty", vessels: ["lantern"], skein: skein("last", "A") },
    { type: "undo", expect: 0 },
  ];
  for (const command of commands) {
    const own =
      command.type === "undo" ? { ...command, expect: desk.state.acts.at(-1)?.seq ?? 0 } : command;
    const parsed = commandSchema.parse(off(own));
    desk.must(parsed);
    const next = publicView(desk.state) as unknown as Json;
    view = merge(view, patchOf(view, next) ?? {});
    expect(view).toEqual(next);
  }
  const { events } = desk;
  const opened = openFile(writeFile({ pourside: "session", session: "session", events }));
  if (!opened.ok || opened.file.pourside !== "session") throw new Error("not a session");
  expect(fold("session", opened.file.events)).toEqual(desk.state);
  // What is told of a photograph is its colour; the photograph itself stays at the bench.
  expect(JSON.stringify(view)).not.toContain("0a0a0a");
  expect(JSON.stringify(view)).not.toContain("in daylight");
});

test("after any corrections, pours and undos off air the account book balances, and what was on air stays", () => {
  const volumeUl = fc.integer({ min: 1, max: 60_000 });
  const bottle = fc.constantFrom("lantern", "saltmarsh", "gullwing");
  const pan = fc.constantFrom("A", "B", "C");
  const doing = fc.oneof(
    fc.record({ bottle, pan, volumeUl }).map((of) => ({ does: "pour" as const, ...of })),
    fc.record({ nth: fc.nat(9), volumeUl }).map((of) => ({ does: "correct" as const, ...of })),
    fc.constant({ does: "undo" as const }),
    fc.record({ bottle, pan, n: fc.nat(20) }).map((of) => ({ does: "empty" as const, ...of })),
  );
  let taken = 0;
  fc.assert(
    fc.property(fc.array(doing, { minLength: 3, maxLength: 20 }), (doings) => {
      const { desk, poured } = closed();
      const onAir = desk.state.acts;
      for (const what of doings) {
        const command = (): AfterCommand => {
          switch (what.does) {
            case "pour":
              return { type: "pour", pour: pourOf(what.bottle, what.volumeUl, { pan: what.pan }) };
            case "correct": {
              const pours = desk.state.acts.filter(({ act }) => act.kind === "pour");
              const act = pours[what.nth % pours.length]?.seq ?? poured;
              const to = { kind: "pour" as const, pour: pourOf("lantern", what.volumeUl) };
              return { type: "correct", act, to: what.nth === 0 ? null : to, reason: "misread" };
            }
            case "undo":
              return { type: "undo", expect: desk.state.acts.at(-1)?.seq ?? 0 };
            case "empty":
              return {
                type: "empty",
                vessels: [what.bottle],
                skein: skein(`last ${what.n}`, what.pan),
              };
          }
        };
        if (desk.try(off(command())).ok) taken += 1;
      }
      balanced(desk);
      expect(desk.state.acts.slice(0, onAir.length)).toEqual(onAir);
      expect(desk.state.acts.slice(onAir.length).every(({ offAir }) => offAir)).toBe(true);
    }),
    { numRuns: 150 },
  );
  expect(taken).toBeGreaterThan(500);
});
