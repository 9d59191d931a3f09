import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { foresee } from "../../shared/plan/foresight.ts";
import type { Plan } from "../../shared/plan/plan.ts";
import { walk } from "../../shared/plan/walk.ts";
import { takeWayOut } from "../../shared/plan/wayOut.ts";
import type { Shelf } from "../../shared/shelf/shelf.ts";
import { Desk } from "../scenario/desk.ts";
import { onePan, plan, pour, shelf, skein, stock } from "../scenario/prepare.ts";
import { aheadOf } from "./ahead.ts";

const shortOf = (of: Plan, on: Shelf) => foresee(walk(of, on).setup).shortages;

describe("a way out of a shortage, taken in the plan", () => {
  const plans = fc
    .record({
      bottles: fc.array(
        fc.record({
          dye: fc.constantFrom("lantern", "slipway"),
          ml: fc.integer({ min: 1, max: 60 }),
          pct: fc.integer({ min: 1, max: 400 }).map((n) => n / 100),
        }),
        { minLength: 1, maxLength: 4 },
      ),
      pours: fc.array(
        fc.record({ from: fc.nat(3), n: fc.integer({ min: 1, max: 300 }), depth: fc.boolean() }),
        { maxLength: 10 },
      ),
    })
    .map(({ bottles, pours }) => {
      const stocks = bottles.map(({ dye, ml, pct }, at) => stock(`b${at}`, dye, ml, pct));
      const steps = pours.map(({ from, n, depth }, at) =>
        pour(
          `p${at}`,
          `b${from % stocks.length}`,
          "A",
          depth ? { depthPct: n / 1_000 } : { ml: n / 10 },
        ),
      );
      const of = plan({
        ...onePan,
        skeins: [skein("1", "A"), skein("2", "A", "creel", 37)],
        steps,
      });
      return { of, on: { ...shelf, stocks } };
    });

  test("really removes it, whether pours are by depth or by mL", () => {
    let taken = 0;
    fc.assert(
      fc.property(plans, ({ of, on }) => {
        const before = shortOf(of, on);
        for (const shortage of before) {
          for (const way of shortage.ways) {
            taken += 1;
            const after = takeWayOut(of, on, way);
            const short = shortOf(after.plan, after.shelf).map((one) => one.stock);
            expect(short).not.toContain(shortage.stock);
            expect(walk(after.plan, after.shelf).problems).toEqual([]);
          }
        }
      }),
      { numRuns: 500 },
    );
    expect(taken).toBeGreaterThan(300);
  });
});

describe("foresight while live", () => {
  test("goes by what is left in the bottles and what is still to pour", () => {
    const desk = Desk.live();
    expect(foresee(aheadOf(desk.state)).shortages).toEqual([]);
    const first = desk.state.setup.steps.findIndex(
      (step) => step.kind === "pour" && step.pour.source.from === "vessel",
    );
    const step = desk.state.setup.steps[first];
    if (step?.kind !== "pour" || step.pour.source.from !== "vessel") throw new Error("no pour");
    const { vessel } = step.pour.source;
    const held = desk.state.setup.stocks[vessel]?.volumeUl ?? 0;
    desk.must({ type: "discard", vessel, volumeUl: held - 100, how: "spilled" });
    const [shortage] = foresee(aheadOf(desk.state)).shortages;
    expect(shortage).toMatchObject({ stock: vessel, step: step.id, heldUl: 100 });
    const makeUp = shortage?.ways.find((way) => way.way === "makeUp");
    if (makeUp?.way !== "makeUp") throw new Error("no way out");
    desk.must({
      type: "mix",
      into: vessel,
      parts: [],
      powder: Object.entries(makeUp.powderUg).map(([dye, massUg]) => ({ dye, massUg })),
      waterUl: makeUp.volumeUl,
    });
    expect(foresee(aheadOf(desk.state)).shortages).toEqual([]);
  });

  test("leaves out what is done", () => {
    const desk = Desk.live();
    const before = aheadOf(desk.state).steps.length;
    desk.must({ type: "advance", expect: desk.state.setup.steps[0]?.id ?? "" });
    expect(aheadOf(desk.state).steps).toHaveLength(before - 1);
  });
});
