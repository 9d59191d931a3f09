import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { totalUg } from "../../shared/dye/vessel.ts";
import type { Command } from "../../shared/session/command.ts";
import { commandSchema } from "../../shared/session/command.ts";
import { type Json, merge, patchOf } from "../../shared/session/mergePatch.ts";
import { currentStep, fold } from "../../shared/session/state.ts";
import { publicView } from "../../shared/session/views/publicView.ts";
import { bookOf, present } from "../scenario/book.ts";
import { Desk, pourOf } from "../scenario/desk.ts";

const vessel = fc.constantFrom("lantern", "slipway", "saltmarsh", "gullwing", "jug1", "jug2");
const pan = fc.constantFrom("A", "B", "C");
const skein = fc.constantFrom("1", "2", "3", "4", "5", "6", "tweed");
const volumeUl = fc.oneof(fc.integer({ min: 1, max: 60_000 }), fc.constantFrom(1, 50, 333, 7777));
const how = fc.constantFrom("measured" as const, "estimated" as const, "unsettled" as const);
const plusMinusUl = fc.integer({ min: 0, max: 9000 });

const pourWish = fc
  .record({ vessel, pan, volumeUl, how, plusMinusUl, coverage: fc.constantFrom(1, 0.3, 0.05) })
  .map(({ vessel, pan, volumeUl, how, plusMinusUl, coverage }) =>
    pourOf(vessel, volumeUl, {
      pan,
      coverage,
      source: {
        from: "vessel",
        vessel,
        amount: { how, volumeUl, plusMinusUl: how === "measured" ? 0 : plusMinusUl },
      },
    }),
  );
const powderWish = fc.record({ pan, massUg: fc.integer({ min: 1, max: 90_000 }) }).map((of) =>
  pourOf("", 1, {
    pan: of.pan,
    technique: "speckled",
    source: {
      from: "powder",
      dye: "slipway",
      amount: { how: "measured", massUg: of.massUg, plusMinusUg: 0 },
    },
  }),
);

/** What the dyer does next; numbers that must name an act are picked from those in force. */
type Doing = { command: Command } | { undo: true } | { advance: true } | { correctNth: number };

const doing: fc.Arbitrary<Doing> = fc.oneof(
  { weight: 5, arbitrary: pourWish.map((pour) => ({ command: { type: "pour" as const, pour } })) },
  {
    weight: 1,
    arbitrary: powderWish.map((pour) => ({ command: { type: "pour" as const, pour } })),
  },
  { weight: 3, arbitrary: fc.constant({ advance: true as const }) },
  { weight: 3, arbitrary: fc.constant({ undo: true as const }) },
  { weight: 2, arbitrary: fc.nat(50).map((correctNth) => ({ correctNth })) },
  {
    weight: 2,
    arbitrary: fc
      .record({
        into: vessel,
        fresh: fc.boolean(),
        parts: fc.array(fc.record({ vessel, volumeUl }), { maxLength: 3 }),
        powder: fc.array(
          fc.record({
            dye: fc.constant("deepwater"),
            massUg: fc.integer({ min: 1, max: 500_000 }),
          }),
          { maxLength: 1 },
        ),
        waterUl: fc.integer({ min: 0, max: 80_000 }),
      })
      .map(({ fresh, into, ...rest }) => ({
        command: {
          type: "mix" as const,
          into,
          ...rest,
          ...(fresh ? { made: { name: into, as: "jug" as const } } : {}),
        },
      })),
  },
  {
    weight: 1,
    arbitrary: fc
      .record({ vessel, volumeUl, how: fc.constantFrom("tipped" as const, "spilled" as const) })
      .map((of) => ({ command: { type: "discard" as const, ...of } })),
  },
  {
    weight: 2,
    arbitrary: fc
      .record({ skein, to: fc.option(pan) })
      .map((of) => ({ command: { type: "skeinMove" as const, ...of } })),
  },
  {
    weight: 1,
    arbitrary: fc
      .record({ pan, fate: fc.constantFrom("kept" as const, "tipped" as const) })
      .map((of) => ({ command: { type: "bath" as const, ...of } })),
  },
  {
    weight: 1,
    arbitrary: fc
      .record({ vessel, leftUl: fc.integer({ min: 0, max: 250_000 }), plusMinusUl })
      .map(({ vessel, ...of }) => ({
        command: { type: "read" as const, vessel, reading: { by: "level" as const, ...of } },
      })),
  },
);

function perform(desk: Desk, what: Doing): void {
  if ("command" in what) desk.try(what.command);
  else if ("undo" in what) desk.try({ type: "undo", expect: desk.state.acts.at(-1)?.seq ?? 1 });
  else if ("advance" in what) {
    desk.try({ type: "advance", expect: currentStep(desk.state)?.id ?? "none" });
  } else {
    const pours = desk.state.acts.filter(({ act }) => act.kind === "pour");
    const entry = pours[what.correctNth % Math.max(1, pours.length)];
    if (!entry) return;
    const pour = pourOf("saltmarsh", 1 + what.correctNth * 317, { pan: "B" });
    const to = what.correctNth % 5 === 0 ? null : { kind: "pour" as const, pour };
    desk.try({ type: "correct", act: entry.seq, to, reason: "" });
  }
}

describe("after any sequence of acts, corrections and undos", () => {
  test("the account book balances per dye and in volume, and both ways of folding agree", () => {
    let accepted = 0;
    fc.assert(
      fc.property(fc.array(doing, { minLength: 10, maxLength: 40 }), (doings) => {
        const desk = Desk.live();
        for (const what of doings) perform(desk, what);
        const { bench } = desk.state;
        const book = bookOf(bench);
        expect(present(book.dyes)).toEqual(present(bench.brought.dyes));
        expect(book.volumeUl).toBe(bench.brought.volumeUl);
        expect(fold("session", desk.events)).toEqual(desk.state);
        accepted += desk.events.length - 2;
      }),
      { numRuns: 1000 },
    );
    // The sequences have to be mostly possible ones for this to mean anything.
    expect(accepted).toBeGreaterThan(4000);
  });

  test("the doses of a pour over its skeins sum to the pour", () => {
    fc.assert(
      fc.property(fc.array(doing, { minLength: 1, maxLength: 25 }), (doings) => {
        const desk = Desk.live();
        for (const what of doings) perform(desk, what);
        for (const poured of desk.state.bench.poured) {
          if (poured.doses.length === 0) continue;
          const doses = poured.doses.reduce((sum, dose) => sum + totalUg(dose.dyes), 0);
          expect(doses).toBe(totalUg(poured.dyes));
        }
      }),
      { numRuns: 1000 },
    );
  });

  test("undoing everything leaves the bench as it was laid out", () => {
    fc.assert(
      fc.property(fc.array(doing, { minLength: 1, maxLength: 15 }), (doings) => {
        const desk = Desk.live();
        const before = desk.state.bench;
        for (const what of doings) perform(desk, what);
        while (desk.state.acts.length > 0) desk.undo();
        expect(desk.state.bench).toEqual(before);
      }),
      { numRuns: 300 },
    );
  });

  test("viewers who apply each patch see what a newcomer sees", () => {
    fc.assert(
      fc.property(fc.array(doing, { minLength: 1, maxLength: 15 }), (doings) => {
        const desk = Desk.live();
        const wire = () => JSON.parse(JSON.stringify(publicView(desk.state))) as Json;
        let before = wire();
        let held = before;
        for (const what of doings) {
          perform(desk, what);
          const after = wire();
          const patch = patchOf(before, after);
          if (patch !== undefined) held = merge(held, patch);
          before = after;
          expect(held).toEqual(after);
        }
      }),
      { numRuns: 200 },
    );
  });
});

test("if every pour was within its own ±, every skein's depth is within the ± that is stated", () => {
  const pours = fc.array(
    fc.record({
      vessel: fc.constantFrom("lantern", "saltmarsh", "deepwater"),
      pan,
      volumeUl: fc.integer({ min: 100, max: 15_000 }),
      plusMinusUl: fc.integer({ min: 0, max: 100 }),
      /** Where in its range the pour truly was. */
      truly: fc.double({ min: -1, max: 1, noNaN: true }),
    }),
    { minLength: 1, maxLength: 10 },
  );
  fc.assert(
    fc.property(pours, (list) => {
      const told = Desk.live();
      const truth = Desk.live();
      for (const { vessel, pan, volumeUl, plusMinusUl, truly } of list) {
        const amount = (volumeUl: number, plusMinusUl: number) =>
          pourOf(vessel, volumeUl, {
            pan,
            source: {
              from: "vessel",
              vessel,
              amount: { how: "estimated", volumeUl, plusMinusUl },
            },
          });
        const really = Math.round(volumeUl + truly * plusMinusUl);
        told.try({ type: "pour", pour: amount(volumeUl, plusMinusUl) });
        truth.try({ type: "pour", pour: amount(really, 0) });
      }
      for (const [id, skein] of Object.entries(told.state.bench.skeins)) {
        for (const [dye, ug] of Object.entries(skein.dyes)) {
          const really = truth.state.bench.skeins[id]?.dyes[dye] ?? 0;
          // Two pours may each be a microgram off by the rounding of shares.
          const doubt = (skein.plusMinusUg[dye] ?? 0) + 2 * list.length;
          expect(Math.abs(really - ug)).toBeLessThanOrEqual(doubt);
        }
      }
    }),
    { numRuns: 1000 },
  );
});

test("no JSON makes the command schema throw, and nothing in it counts as a command by chance", () => {
  fc.assert(
    fc.property(fc.jsonValue(), (json) => {
      expect(commandSchema.safeParse(json).success).toBe(false);
    }),
    { numRuns: 1000 },
  );
});
