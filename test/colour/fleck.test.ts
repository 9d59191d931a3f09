import { describe, expect, test } from "vitest";
import { flecksOn } from "../../shared/colour/fleck.ts";
import { leftoverOn } from "../../shared/colour/leftover.ts";
import { dyes, typed, wool, yarnSeen } from "../scenario/shelf.ts";

const nep = (name: string, hex: string, takesDye = false) => ({
  name,
  colour: yarnSeen(typed(hex)),
  takesDye,
});
const blackNep = nep("soot", "#141d2b");
const whiteNep = nep("chalk", "#f5f2ea");

describe("flecks", () => {
  test("of black sink in a dark ground and white ones show", () => {
    const dark = flecksOn(wool, [{ dye: dyes.deepwater, depthPct: 4 }], [blackNep, whiteNep]);
    expect(dark.flecks.map(({ look }) => look)).toEqual(["sinks", "shows"]);
    expect(dark.say).toContain("soot sinks");
  });

  test("that sink get told what ground lets all of them show, and it does", () => {
    const doses = [{ dye: dyes.deepwater, depthPct: 4 }];
    const { change } = flecksOn(wool, doses, [blackNep, whiteNep]);
    if (!change) throw new Error("no change");
    expect(change.times).toBeLessThan(1);
    const after = doses.map(({ dye, depthPct }) => ({ dye, depthPct: depthPct * change.times }));
    const { flecks, say } = flecksOn(wool, after, [blackNep, whiteNep]);
    expect(flecks.every(({ look }) => look === "shows")).toBe(true);
    expect(say).toBe("Every fleck shows.");
  });

  test("that take dye are dyed with the ground", () => {
    const doses = [{ dye: dyes.slipway, depthPct: 1 }];
    const [keeps] = flecksOn(wool, doses, [whiteNep]).flecks;
    const [takes] = flecksOn(wool, doses, [nep("chalk", "#f5f2ea", true)]).flecks;
    expect(keeps?.colour.hex).toBe("#f5f2ea");
    expect(takes?.difference ?? 99).toBeLessThan(keeps?.difference ?? 0);
  });

  test("of the yarn's own colour that take dye cannot be helped", () => {
    const same = nep("wool", "#efe6d6", true);
    const report = flecksOn(wool, [{ dye: dyes.slipway, depthPct: 1 }], [same]);
    expect(report.flecks[0]?.look).toBe("sinks");
    expect(report.change).toBeUndefined();
  });
});

describe("leftovers on one more skein", () => {
  const rest = (name: keyof typeof dyes, depthPct: number, atLeast?: number) => ({
    id: name,
    name,
    doses: [{ dye: dyes[name], depthPct }],
    ...(atLeast === undefined ? {} : { atLeast }),
  });

  test("have a depth and a predicted colour", () => {
    const plan = leftoverOn(wool, [rest("lantern", 0.2), rest("slipway", 0.1)], []);
    expect(plan.mostPct).toBeCloseTo(0.3, 12);
    expect(plan.leastPct).toBeCloseTo(0.3, 12);
    expect(plan.predicted.hex).toMatch(/^#[0-9a-f]{6}$/);
  });

  test("of every hue make mud, and the bottles that make it are named", () => {
    const all = [rest("lantern", 0.4), rest("slipway", 0.05), rest("saltmarsh", 0.4)];
    const { better, predicted } = leftoverOn(wool, all, []);
    if (!better) throw new Error("nothing better");
    expect(better.heldBack.length).toBeGreaterThan(0);
    const chroma = ({ a, b }: { a: number; b: number }) => Math.hypot(a, b);
    expect(chroma(better.predicted.lab)).toBeGreaterThan(chroma(predicted.lab) + 6);
    expect(better.say).toMatch(/^Hold back /);
  });

  test("of one hue are all poured", () => {
    expect(leftoverOn(wool, [rest("lantern", 0.2)], []).better).toBeUndefined();
  });

  test("in a bath that is not exhausted have a depth that is a range", () => {
    const plan = leftoverOn(wool, [rest("deepwater", 1, 0.1)], []);
    expect(plan.leastPct).toBeCloseTo(0.1, 12);
    expect(plan.mostPct).toBeCloseTo(1, 12);
    expect(plan.palest.lab.l).toBeGreaterThan(plan.predicted.lab.l);
    expect(plan.say).toContain(" to ");
  });

  test("of nothing are the yarn", () => {
    expect(leftoverOn(wool, [], [])).toMatchObject({ mostPct: 0, predicted: { hex: "#efe6d6" } });
  });
});
