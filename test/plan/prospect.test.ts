import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { Plan } from "../../shared/plan/plan.ts";
import { prospectOf } from "../../shared/plan/prospect.ts";
import { onePan, pan, plan, pour, shelf, skein, timed, vinegar } from "../scenario/prepare.ts";

const today = "2031-05-17";

/** A plan of so many pours over twelve skeins in six pans. */
function large(pours: number): Plan {
  const pans = ["A", "B", "C", "D", "E", "F"];
  const skeins = pans.flatMap((id) => [skein(`${id}1`, id), skein(`${id}2`, id, "creel")]);
  const stocks = ["lantern", "slipway", "deepwater"];
  return plan({
    pans: pans.map((id) => pan(id)),
    skeins,
    steps: [
      ...pans.map((id) => vinegar(`v${id}`, id, { ph: 4 })),
      ...Array.from({ length: pours }, (_, at) =>
        pour(
          `p${at}`,
          stocks[at % 3] ?? "lantern",
          pans[at % 6] ?? "A",
          at % 2 === 0 ? { ml: 1 + (at % 7) } : { depthPct: 0.01 },
          at % 4 === 0 ? [`${pans[at % 6]}1`] : undefined,
        ),
      ),
      ...pans.flatMap((id) => [timed(`h${id}`, "heat", id), timed(`k${id}`, "hold", id)]),
    ],
  });
}

describe("a plan recomputed", () => {
  test("has all its figures from one walk", () => {
    const prospect = prospectOf(onePan, shelf, today);
    expect(prospect.walked.problems).toEqual([]);
    expect(prospect.warnings).toEqual([]);
    expect(prospect.baths).toHaveLength(1);
    const [first, second] = prospect.depths;
    expect(first?.depthPct).toBeCloseTo(0.5, 9);
    expect(second?.depthPct).toBeCloseTo(0.7, 9);
    expect(prospect.schedule).toMatchObject({ ok: true });
  });

  test("with 200 pours, says how long an edit takes", () => {
    const of = large(200);
    for (let warm = 0; warm < 20; warm++) prospectOf(of, shelf, today);
    const times = Array.from({ length: 40 }, () => {
      const start = performance.now();
      prospectOf(of, shelf, today);
      return performance.now() - start;
    }).sort((a, b) => a - b);
    const [middle = 0, worst = 0] = [times[20], times.at(-1)];
    console.log(
      `200 pours recomputed in ${middle.toFixed(1)} ms (median of 40), ${worst.toFixed(1)} ms at the most`,
    );
    const prospect = prospectOf(of, shelf, today);
    expect(prospect.walked.problems).toEqual([]);
    expect(prospect.walked.setup.steps).toHaveLength(218);
    expect(prospect.foresight.shortages.length).toBeGreaterThan(0);
  });

  test("with no steps, or with thousands, is still answered", () => {
    expect(prospectOf(plan({}), shelf, today).warnings.map((one) => one.code)).toEqual([
      "plan.noPours",
    ]);
    const codes = prospectOf(large(2_000), shelf, today).warnings.map((one) => one.code);
    expect(codes).toContain("plan.tooManyPours");
  });

  test("whatever is missing from the shelf, nothing is thrown", () => {
    const parts = fc.record({
      dyes: fc.subarray([...shelf.dyes]),
      bases: fc.subarray([...shelf.bases]),
      stocks: fc.subarray([...shelf.stocks]),
    });
    fc.assert(
      fc.property(parts, fc.integer({ min: 0, max: 30 }), (some, pours) => {
        const prospect = prospectOf(large(pours), { ...some, tools: [], swatches: [] }, today);
        for (const problem of prospect.walked.problems) expect(problem.say).toMatch(/\.$/);
      }),
      { numRuns: 100 },
    );
  });
});
