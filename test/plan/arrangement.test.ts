import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { totalUg } from "../../shared/dye/vessel.ts";
import { arrangementsOf, inPans, runningOf } from "../../shared/plan/arrangement.ts";
import { type Plan, planProblems, planSchema, usualWorkroom } from "../../shared/plan/plan.ts";
import { planOfSetup } from "../../shared/plan/planOfSetup.ts";
import { walk } from "../../shared/plan/walk.ts";
import { harbourSheet, setupOf } from "../scenario/desk.ts";
import { pan, plan, pour, shelf, skein, timed, vinegar } from "../scenario/prepare.ts";

/** Four skeins, each in its own pan with one pour and one heating. */
const four: Plan = plan({
  colourways: [1, 2, 3, 4].map((n) => ({ id: `c${n}`, name: `C${n}` })),
  pans: ["A", "B", "C", "D"].map((id) => pan(id, { capacityUl: 3_000_000 })),
  skeins: ["A", "B", "C", "D"].map((id, at) => ({
    ...skein(`${at + 1}`, id),
    colourway: `c${at + 1}`,
  })),
  steps: ["A", "B", "C", "D"].flatMap((id, at) => [
    vinegar(`v${id}`, id, { ml: 20 }),
    pour(`p${id}`, "lantern", id, { ml: 10 * (at + 1) }),
    timed(`h${id}`, "heat", id, 40, { celsius: 90 }),
    timed(`k${id}`, "hold", id, 30),
  ]),
  workroom: { ...usualWorkroom, rings: 2 },
});

describe("the same skeins in fewer pans", () => {
  const found = new Map(arrangementsOf(four, shelf).map((one) => [one.name, one]));

  test("are compared as planned, one pan each, two, three and all in one", () => {
    expect([...found.keys()]).toEqual([
      "asPlanned",
      "onePanEach",
      "twoPans",
      "threePans",
      "allInOne",
    ]);
    expect([...found.values()].map((one) => one.pans)).toEqual([4, 4, 2, 3, 1]);
  });

  test("four pans on two rings take twice the heat of two", () => {
    // On two rings, 4 pans of 70 min: two after two. Two pans: side by side.
    const minutes = (name: "onePanEach" | "twoPans") =>
      (found.get(name)?.schedule?.streamSeconds ?? 0) / 60;
    expect(minutes("onePanEach")).toBeGreaterThan(140);
    expect(minutes("twoPans")).toBeLessThan(90);
    expect(found.get("onePanEach")?.rings).toBe(2);
    expect(found.get("allInOne")?.rings).toBe(1);
  });

  test("their colours run together, and a pan too small for all overflows", () => {
    expect(found.get("onePanEach")?.running).toBe("none");
    expect(found.get("twoPans")?.running).toBe("high");
    expect(found.get("allInOne")?.overflows).toEqual(["A"]);
    expect(found.get("allInOne")?.say).toMatch(
      /^1 pan: .*; 1 ring; colours run together .*overflows\.$/,
    );
  });

  test("water and vinegar given in mL grow with the fibre", () => {
    const [only] = inPans(four, 1).pans;
    expect(only?.water).toEqual({ by: "volume", volumeUl: 8_000_000 });
    const added = inPans(four, 1).steps.filter((step) => step.kind === "add");
    expect(added).toHaveLength(1);
    expect(added[0]).toMatchObject({ amount: { volumeUl: 80_000 } });
  });

  test("pours stay over their own skeins, before the heat", () => {
    const { steps } = inPans(four, 1);
    expect(steps.map((step) => step.kind)).toEqual([
      "add",
      "pour",
      "pour",
      "pour",
      "pour",
      "heat",
      "hold",
    ]);
    expect(steps[2]).toMatchObject({ pour: { over: [{ skein: "2", parts: null }] } });
  });

  test("painted skeins side by side may touch", () => {
    const painted = {
      ...four,
      pans: four.pans.map((one) => ({ ...one, method: "painted" as const })),
    };
    expect(runningOf(inPans(painted, 2))).toBe("some");
  });
});

describe("whatever the plan", () => {
  const plans = fc
    .record({
      skeins: fc.array(
        fc.record({ at: fc.nat(2), g: fc.integer({ min: 5, max: 150 }), cw: fc.nat(2) }),
        { minLength: 1, maxLength: 7 },
      ),
      pours: fc.array(
        fc.record({ at: fc.nat(2), ml: fc.integer({ min: 1, max: 30 }), some: fc.boolean() }),
        { maxLength: 10 },
      ),
    })
    .map(({ skeins, pours }): Plan => {
      const ids = ["A", "B", "C"];
      const lying = skeins.map(({ at, g, cw }, n) => ({
        ...skein(`${n}`, ids[at], "quay", g),
        colourway: `c${cw}`,
      }));
      return plan({
        colourways: [0, 1, 2].map((n) => ({ id: `c${n}`, name: `C${n}` })),
        pans: ids.map((id) => pan(id)),
        skeins: lying,
        steps: [
          ...pours.map(({ at, ml, some }, n) => {
            const here = lying.filter((one) => one.pan === ids[at]).map((one) => one.id);
            const over = some && here.length > 1 ? here.slice(1) : undefined;
            return pour(`p${n}`, "lantern", ids[at] ?? "A", { ml }, over);
          }),
          ...ids.map((id) => timed(`h${id}`, "heat", id, 30, { celsius: 80 })),
        ],
      });
    });

  test("every arrangement is a whole plan, gives each skein the same dye, and keeps every skein", () => {
    fc.assert(
      fc.property(plans, fc.integer({ min: 1, max: 7 }), (of, count) => {
        const next = inPans(of, count);
        expect(planProblems(next)).toEqual([]);
        expect(planSchema.safeParse(next).error?.issues ?? []).toEqual([]);
        expect(next.skeins.map((one) => one.id)).toEqual(of.skeins.map((one) => one.id));
        const inUse = new Set(next.skeins.map((one) => one.pan));
        expect(inUse.size).toBe(Math.min(count, of.skeins.length));
        const [was, is] = [walk(of, shelf), walk(next, shelf)];
        expect(is.problems).toEqual([]);
        for (const { id } of of.skeins) {
          const before = totalUg(was.skeins.get(id)?.dyes ?? {});
          const after = totalUg(is.skeins.get(id)?.dyes ?? {});
          // A uL of a 1 % stock is 10 ug, and each pour is rounded to one.
          expect(Math.abs(after - before)).toBeLessThanOrEqual(11 * of.steps.length);
        }
      }),
      { numRuns: 300 },
    );
  });

  test("the demonstration plan can be arranged, and every choice says what it costs", () => {
    const { plan: harbour, shelf: own } = planOfSetup(setupOf(harbourSheet()));
    const all = arrangementsOf(harbour, own);
    expect(all.length).toBe(5);
    for (const one of all) {
      expect(one.walked.problems).toEqual([]);
      expect(one.say).toMatch(/pan.*min on air; \d rings?; colours/);
    }
  });
});
