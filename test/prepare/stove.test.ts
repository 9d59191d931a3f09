import { describe, expect, test } from "vitest";
import { standingsOf } from "../../controller/plan/stove.ts";
import { stockHex } from "../../controller/stocks/bottle.ts";
import type { PlanStep } from "../../shared/plan/plan.ts";
import { walk } from "../../shared/plan/walk.ts";
import { liquorTint, skeinColour } from "../../shared/session/predicted.ts";
import { Desk } from "../scenario/desk.ts";
import { onePan, plan, pour, shelf as undyed } from "../scenario/prepare.ts";

const speckled = (step: PlanStep): PlanStep =>
  step.kind === "pour"
    ? { ...step, pour: { ...step.pour, technique: "speckled", coverage: 0.2 } }
    : step;

const shelf = {
  ...undyed,
  dyes: undyed.dyes.map((dye, at) => ({
    ...dye,
    hex: ["#d39a2c", "#a8332f", "#22344f"][at] ?? dye.hex,
  })),
  swatches: [
    {
      id: "s1",
      dye: "lantern",
      base: "quay",
      depthPct: 0.5,
      seen: { how: "measured" as const, lab: { l: 74, a: 9, b: 48 } },
      retired: false,
    },
  ],
};
const planned = plan({
  ...onePan,
  steps: [
    pour("p1", "lantern", "A", { depthPct: 0.5 }),
    pour("p2", "slipway", "A", { ml: 20 }, ["2"]),
    speckled(pour("p3", "deepwater", "A", { ml: 4 })),
  ],
});

describe("the picture of a plan", () => {
  const walked = walk(planned, shelf);
  const [pan] = standingsOf(planned, shelf, walked, null);

  test("shows each skein as the session shows it once all is poured", () => {
    const desk = Desk.live(walked.setup);
    for (const _ of walked.setup.steps) desk.advance();
    expect(desk.state.bench.poured).toHaveLength(3);
    expect(pan?.hanks).toHaveLength(2);
    for (const { skein, dyedHex, patches } of pan?.hanks ?? []) {
      const { ground, patches: own } = skeinColour(desk.state, skein);
      expect(dyedHex).toBe(ground.hex);
      expect(patches).toEqual(own.map(({ hex, coverage, specks }) => ({ hex, coverage, specks })));
      expect(patches).toHaveLength(1);
    }
    expect(new Set(pan?.hanks.map(({ dyedHex }) => dyedHex)).size).toBe(2);
  });

  test("shows a bottle as the session shows it, but on the undyed yarn of every bottle", () => {
    const state = Desk.live({ ...walked.setup, bases: {} }).state;
    for (const stock of shelf.stocks) {
      expect(stockHex(shelf, stock)).toBe(liquorTint(state, stock.dyes).hex);
    }
    expect(pan?.pours[0]?.hex).toBe(stockHex(shelf, shelf.stocks[0] ?? { dyes: {} }));
  });
});
