import { describe, expect, test } from "vitest";
import { difference } from "../../shared/colour/difference.ts";
import { EVEN, type FadeOrder, fade } from "../../shared/colour/fade.ts";
import { predict } from "../../shared/colour/predict.ts";
import { differenceSeenBy } from "../../shared/colour/vision.ts";
import { refused } from "../../shared/dye/refusal.ts";
import { fadeRatios } from "../bench/colour/fade.ts";
import { dyes, wool } from "../scenario/shelf.ts";

const means = { fibreUg: 50_000_000, strengthPct: 1, divisionUl: 100, dilute: true };
const { lantern, slipway, deepwater } = dyes;
const order: FadeOrder = {
  yarn: wool,
  dyes: [
    { id: "lantern", dye: lantern, means },
    { id: "deepwater", dye: deepwater, means },
    { id: "slipway", dye: slipway, means },
  ],
  stops: [{ lantern: 0.5 }, { slipway: 0.3, deepwater: 0.4 }],
  skeins: 6,
};

function planned(change: Partial<FadeOrder> = {}) {
  const plan = fade({ ...order, ...change });
  if (refused(plan)) throw new Error(plan.say);
  return plan;
}

describe("a fade", () => {
  test("has even steps on the yarn, before and after rounding", () => {
    const plan = planned();
    expect(plan.skeins).toHaveLength(6);
    expect(plan.exactRatio).toBeLessThan(1.01);
    expect(plan.ratio).toBeLessThan(1.25);
    expect(plan.steps).toHaveLength(5);
    for (const [n, step] of plan.steps.entries()) {
      const here = plan.skeins[n]?.predicted.lab ?? wool.lab;
      const next = plan.skeins[n + 1]?.predicted.lab ?? wool.lab;
      expect(difference(here, next)).toBeCloseTo(step, 9);
    }
  });

  test("begins and ends with its recipes", () => {
    const { skeins } = planned();
    expect(skeins[0]?.doses.map(({ id, exactPct }) => [id, exactPct])).toEqual([["lantern", 0.5]]);
    expect(skeins.at(-1)?.doses.map(({ id, exactPct }) => [id, exactPct])).toEqual([
      ["deepwater", 0.4],
      ["slipway", 0.3],
    ]);
  });

  test("between made recipes keeps within 1.10 before rounding and 1.25 after", () => {
    const { exact, measurable } = fadeRatios(40);
    expect(Math.max(...exact)).toBeLessThanOrEqual(1.1);
    expect(Math.max(...measurable)).toBeLessThanOrEqual(1.25);
  });

  test("breaks where a break is wanted, as wide as it was asked", () => {
    const { exactSteps, exactRatio } = planned({ breaks: [{ after: 3, times: 2.5 }] });
    expect(exactRatio).toBeLessThan(1.01);
    const [first = 0] = exactSteps;
    expect((exactSteps[2] ?? 0) / first).toBeCloseTo(2.5, 2);
    expect((exactSteps[4] ?? 0) / first).toBeCloseTo(1, 2);
  });

  test("runs through a third recipe, and says when it passes one by", () => {
    const plan = planned({
      stops: [{ lantern: 0.5 }, { slipway: 0.4 }, { deepwater: 0.6 }],
      skeins: 4,
    });
    expect(plan.exactRatio).toBeLessThan(1.1);
    const stop = predict(wool, [{ dye: slipway, depthPct: 0.4 }]).lab;
    const nearest = Math.min(
      ...plan.skeins.map(({ predicted }) => difference(predicted.lab, stop)),
    );
    expect(plan.notes.some(({ code }) => code === "fade.passed")).toBe(nearest > 1);
  });

  test("that turns back on itself is even all the same", () => {
    const plan = planned({
      stops: [{ lantern: 0.2 }, { lantern: 2 }, { lantern: 0.2 }],
      skeins: 5,
    });
    expect(plan.exactRatio).toBeLessThan(1.1);
  });

  test("says what coarse tools cannot reach", () => {
    const coarse = { ...means, divisionUl: 5_000, dilute: false };
    const plan = planned({
      dyes: [{ id: "lantern", dye: lantern, means: coarse }],
      stops: [{ lantern: 0.05 }, { lantern: 0.5 }],
      skeins: 7,
    });
    expect(plan.ratio).toBeGreaterThan(EVEN);
    const note = plan.notes.find(({ code }) => code === "fade.uneven");
    expect(note?.say).toContain("5\u202FmL");
  });

  test("says when neighbours are too near to be told apart", () => {
    const plan = planned({ stops: [{ lantern: 0.5 }, { lantern: 0.6 }] });
    expect(plan.notes.map(({ code }) => code)).toContain("fade.tooFine");
  });

  test("says which eyes cannot tell two neighbours apart", () => {
    const plan = planned({
      stops: [{ slipway: 0.5 }, { deepwater: 0.15, lantern: 0.9 }],
      skeins: 5,
    });
    for (const vision of ["protan", "deutan", "tritan"] as const) {
      const close = plan.seenBy[vision].some((step, n) => step < 2 && (plan.steps[n] ?? 0) >= 2);
      expect(plan.notes.some(({ code }) => code === `fade.${vision}`)).toBe(close);
    }
  });

  test.each([
    [{ stops: [{ lantern: 1 }] }, "fade.oneStop"],
    [{ stops: [{ lantern: 1 }, { lantern: 1 }] }, "fade.noWay"],
    [{ stops: [{ lantern: -1 }, { lantern: 1 }] }, "fade.depth"],
    [{ skeins: 1 }, "fade.skeins"],
    [{ skeins: 2.5 }, "fade.skeins"],
    [{ breaks: [{ after: 6, times: 2 }] }, "fade.break"],
    [{ breaks: [{ after: 2, times: 0 }] }, "fade.break"],
  ])("is refused with a sentence: %j", (change, code) => {
    expect(fade({ ...order, ...change })).toMatchObject({ code });
  });

  test("of two skeins is its two recipes", () => {
    expect(planned({ skeins: 2 }).steps).toHaveLength(1);
  });
});

describe("an eye that lacks a cone", () => {
  test("tells red from green less, and yellow from blue as well", () => {
    for (const vision of ["protan", "deutan"] as const) {
      const red = differenceSeenBy(vision, "#a8332f", "#5d6b3a");
      expect(red).toBeLessThan(33 / 2);
      expect(differenceSeenBy(vision, "#d39a2c", "#22344f")).toBeGreaterThan(30);
    }
  });

  test("sees black and white as they are", () => {
    expect(differenceSeenBy("tritan", "#000000", "#ffffff")).toBeCloseTo(100, 0);
  });
});
