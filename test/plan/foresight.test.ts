import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { strengthPct } from "../../shared/dye/strength.ts";
import { totalUg } from "../../shared/dye/vessel.ts";
import { applyWayOut, foresee } from "../../shared/plan/foresight.ts";
import { isProblem, replay } from "../../shared/session/bench.ts";
import type { Setup, Step } from "../../shared/session/setup.ts";
import { harbourSheet, setupOf } from "../scenario/desk.ts";

const skeinUg = 50_000_000;

type PlannedPour = { stock: string; volumeUl: number; drops?: number };

/** Bottles of so much at a strength of one dye, and pours from them into one pan of one skein. */
function setupWith(
  bottles: readonly { id: string; dye: string; volumeUl: number; pct: number }[],
  pours: readonly PlannedPour[],
): Setup {
  const stocks = bottles.map(({ id, dye, volumeUl, pct }) => ({
    id,
    name: id,
    volumeUl,
    dyes: { [dye]: Math.round(volumeUl * pct * 10) },
  }));
  return {
    name: "Ebb",
    dyes: {},
    bases: {},
    stocks: Object.fromEntries(stocks.map((stock) => [stock.id, stock])),
    colourways: {},
    pans: { A: { id: "A", name: "A", capacityUl: 9e7, waterUl: 0, method: "immersion" } },
    skeins: { s: { id: "s", name: "s", base: "quay", massUg: skeinUg, pan: "A" } },
    steps: pours.map(
      ({ stock, volumeUl, drops }, at): Step => ({
        id: `p${at + 1}`,
        kind: "pour",
        pour: {
          source: {
            from: "vessel",
            vessel: stock,
            amount: {
              how: "measured",
              volumeUl,
              plusMinusUl: 0,
              ...(drops === undefined ? {} : { drops }),
            },
          },
          pan: "A",
          shares: [{ skein: "s", parts: skeinUg }],
          technique: "immersion",
          coverage: 1,
        },
      }),
    ),
    presetsUl: [],
  };
}

/** Whether the bench itself, pouring everything in order, runs a bottle dry, and which. */
function overdrawn(setup: Setup): string | null {
  const entries = setup.steps.flatMap((step, at) =>
    step.kind === "pour"
      ? [{ seq: at + 1, at: 0, act: { kind: "pour" as const, step: step.id, pour: step.pour } }]
      : [],
  );
  const bench = replay(setup, entries);
  return isProblem(bench) ? bench.vessel : null;
}

describe("a bottle that runs short", () => {
  const setup = setupWith(
    [
      { id: "lantern", dye: "lantern", volumeUl: 30_000, pct: 1 },
      { id: "lantern strong", dye: "lantern", volumeUl: 50_000, pct: 4 },
      { id: "slipway", dye: "slipway", volumeUl: 50_000, pct: 1 },
    ],
    [
      { stock: "lantern", volumeUl: 20_000 },
      { stock: "slipway", volumeUl: 20_000 },
      { stock: "lantern", volumeUl: 12_000 },
      { stock: "lantern", volumeUl: 8_000 },
    ],
  );
  const { shortages, uses } = foresee(setup);
  const [shortage] = shortages;
  if (!shortage) throw new Error("no shortage was foreseen");

  test("is told at the pour where it does, with what is missing there and in all", () => {
    expect(shortages).toHaveLength(1);
    expect(shortage).toMatchObject({
      stock: "lantern",
      step: "p3",
      stepNumber: 3,
      pourNumber: 3,
      shortAtPourUl: 2_000,
      shortUl: 10_000,
      heldUl: 30_000,
      drawnUl: 40_000,
    });
    expect(uses.find((use) => use.stock === "slipway")?.leftUl).toBe(30_000);
  });

  test("has three ways out, in figures worked by hand", () => {
    // 10 mL at 1 % hold 0.1 g, which is 2.5 mL at 4 %; 30 of 40 mL is three quarters of each pour.
    expect(shortage.ways).toMatchObject([
      { way: "makeUp", volumeUl: 10_000, powderUg: { lantern: 100_000 } },
      { way: "dilute", from: "lantern strong", fromUl: 2_500, waterUl: 7_500 },
      {
        way: "cut",
        keptShare: 0.75,
        pours: [
          { step: "p1", volumeUl: 15_000 },
          { step: "p3", volumeUl: 9_000 },
          { step: "p4", volumeUl: 6_000 },
        ],
      },
    ]);
    expect(shortage.ways.map((way) => way.say)).toEqual([
      "Make up 10\u202fmL more of lantern: 100\u202fmg of lantern powder, with water to 10\u202fmL.",
      "Dilute 2.5\u202fmL of lantern strong with 7.5\u202fmL of water.",
      "Cut its 3 pours of lantern to 75\u202f% of what was planned.",
    ]);
  });

  test("drops are cut to whole drops", () => {
    const dripped = setupWith(
      [{ id: "lantern", dye: "lantern", volumeUl: 500, pct: 1 }],
      [{ stock: "lantern", volumeUl: 1_000, drops: 20 }],
    );
    const way = foresee(dripped).shortages[0]?.ways.find((one) => one.way === "cut");
    if (!way) throw new Error("no cut");
    expect(applyWayOut(dripped, way).steps[0]).toMatchObject({
      pour: { source: { amount: { volumeUl: 500, drops: 10 } } },
    });
  });
});

describe("ways that would not help are not offered", () => {
  const ways = (setup: Setup) =>
    foresee(setup).shortages.flatMap((shortage) => shortage.ways.map((way) => way.way));

  test("no dilution from a bottle of other dye, a weaker one, or one that is needed itself", () => {
    const short = { id: "lantern", dye: "lantern", volumeUl: 10_000, pct: 2 };
    const pours = [{ stock: "lantern", volumeUl: 40_000 }];
    const weaker = { id: "weak", dye: "lantern", volumeUl: 90_000, pct: 1 };
    const other = { id: "slipway", dye: "slipway", volumeUl: 90_000, pct: 4 };
    expect(ways(setupWith([short, weaker, other], pours))).toEqual(["makeUp", "cut"]);
    const strong = { id: "strong", dye: "lantern", volumeUl: 20_000, pct: 4 };
    const needed = [...pours, { stock: "strong", volumeUl: 10_000 }];
    expect(ways(setupWith([short, strong], needed))).toEqual(["makeUp", "cut"]);
  });

  test("no cut below a uL a pour", () => {
    const bottles = [{ id: "lantern", dye: "lantern", volumeUl: 1, pct: 1 }];
    const pours = [
      { stock: "lantern", volumeUl: 5 },
      { stock: "lantern", volumeUl: 5 },
    ];
    expect(ways(setupWith(bottles, pours))).toEqual(["makeUp"]);
  });
});

describe("whatever the plan", () => {
  const dyes = ["lantern", "slipway"] as const;
  const bottles = fc.array(
    fc.record({
      dye: fc.constantFrom(...dyes),
      volumeUl: fc.oneof(fc.integer({ min: 1, max: 50 }), fc.integer({ min: 1, max: 300_000 })),
      pct: fc.integer({ min: 1, max: 1_000 }).map((n) => n / 100),
    }),
    { minLength: 1, maxLength: 5 },
  );
  const setups = bottles.chain((list) => {
    const named = list.map((bottle, at) => ({ ...bottle, id: `b${at}` }));
    const pours = fc.array(
      fc.record({
        stock: fc.constantFrom(...named.map((bottle) => bottle.id)),
        volumeUl: fc.oneof(fc.integer({ min: 1, max: 40 }), fc.integer({ min: 1, max: 120_000 })),
      }),
      { maxLength: 20 },
    );
    return pours.map((planned) => setupWith(named, planned));
  });

  test("a shortage is foreseen exactly where the bench would run dry", () => {
    fc.assert(
      fc.property(setups, (setup) => {
        expect(foresee(setup).shortages[0]?.stock ?? null).toBe(overdrawn(setup));
      }),
      { numRuns: 600 },
    );
  });

  test("each way out, applied, removes the shortage and makes no other", () => {
    let tried = 0;
    fc.assert(
      fc.property(setups, (setup) => {
        const before = foresee(setup).shortages;
        for (const shortage of before) {
          for (const way of shortage.ways) {
            tried += 1;
            const after = applyWayOut(setup, way);
            const short = foresee(after).shortages.map((one) => one.stock);
            expect(short).not.toContain(shortage.stock);
            for (const stock of short) {
              expect(before.map((one) => one.stock)).toContain(stock);
            }
          }
        }
      }),
      { numRuns: 1_000 },
    );
    expect(tried).toBeGreaterThan(1_000);
  });

  test("making up and diluting keep the strength, to the rounding of a ug, and no dye is lost", () => {
    fc.assert(
      fc.property(setups, (setup) => {
        for (const shortage of foresee(setup).shortages) {
          for (const way of shortage.ways) {
            if (way.way === "cut") continue;
            const after = applyWayOut(setup, way);
            const [was, is] = [setup.stocks[way.stock], after.stocks[way.stock]];
            if (!was || !is) throw new Error("no stock");
            const slack =
              way.way === "dilute"
                ? strengthPct(
                    totalUg(setup.stocks[way.from]?.dyes ?? {}),
                    setup.stocks[way.from]?.volumeUl ?? 1,
                  ) / Math.max(1, way.fromUl)
                : 0;
            const before = strengthPct(totalUg(was.dyes), was.volumeUl);
            const now = strengthPct(totalUg(is.dyes), is.volumeUl);
            expect(Math.abs(now - before)).toBeLessThanOrEqual(before * 0.002 + slack + 0.001);
            if (way.way === "dilute") {
              const sum = (one: Setup) =>
                Object.values(one.stocks).reduce((all, stock) => all + totalUg(stock.dyes), 0);
              expect(sum(after)).toBe(sum(setup));
            }
          }
        }
      }),
      { numRuns: 400 },
    );
  });

  test("nothing is short in the demonstration plan", () => {
    expect(foresee(setupOf(harbourSheet())).shortages).toEqual([]);
  });
});
