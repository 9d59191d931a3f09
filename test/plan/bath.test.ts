import { describe, expect, test } from "vitest";
import { acidPcts, bathsOf, depthsOf } from "../../shared/plan/bath.ts";
import type { Plan } from "../../shared/plan/plan.ts";
import { usualWorkroom } from "../../shared/plan/plan.ts";
import { walk } from "../../shared/plan/walk.ts";
import { onePan, pan, plan, pour, shelf, skein, vinegar } from "../scenario/prepare.ts";

const bathOf = (of: Plan) => {
  const [bath] = bathsOf(of, shelf, walk(of, shelf));
  if (!bath) throw new Error("no bath");
  return bath;
};

describe("the bath of a pan", () => {
  const bath = bathOf(onePan);

  test("adds up water, acid and pours, and is held against the fibre", () => {
    // 2 L water, 40 mL vinegar, 50 mL and 20 mL of stock on 100 g.
    expect(bath.peakUl).toBe(2_110_000);
    expect(bath.ratio).toBeCloseTo(21.1, 6);
    expect(bath.depthPct).toBeCloseTo(0.6, 6);
  });

  test("knows its acid by weight of fibre and its pH before the yarn", () => {
    expect(acidPcts(bath)).toEqual({ acetic: 2 });
    // 2 g in 2.11 L is 0.0158 mol/L; sqrt(Ka C) is 10^-3.28, worked by hand.
    expect(bath.ph).toBeCloseTo(3.28, 1);
    expect(bath.titratableMol).toBeCloseTo(2 / 60.052, 6);
  });

  test("is run as its slowest dye is, and says the usual acid and citric in its place", () => {
    expect(bath.classes).toEqual(["levelling", "milling"]);
    expect(bath.practice).toMatchObject({ targetPh: 4.5, rampPerMin: 1.5, aceticPct: 2 });
    expect(bath.usualAceticUg).toBe(2_000_000);
    // At pH 4.5 a gram of citric is about 1.2 g of acetic, 0.94 g by titration.
    expect(bath.usualCitricUg.atPhUg / 1e6).toBeCloseTo(2 / 1.16, 2);
    expect(bath.usualCitricUg.titratableUg / 1e6).toBeCloseTo(2 / 0.9377, 2);
  });

  test("acid to a pH brings the bath there, in hard water too", () => {
    const workroom = { ...usualWorkroom, alkalinityMgPerL: 200 };
    const hard = plan({ ...onePan, workroom, steps: [vinegar("v", "A", { ph: 4.5 })] });
    expect(bathOf(hard).ph).toBeCloseTo(4.5, 1);
  });

  test("water to a ratio fills up what pours have not", () => {
    const steps: Plan["steps"] = [
      pour("p", "lantern", "A", { ml: 100 }),
      {
        id: "w",
        kind: "add",
        onAir: true,
        seconds: null,
        pan: "A",
        what: "water",
        label: "Water",
        amount: { by: "ratio", ratio: 30 },
      },
    ];
    expect(bathOf(plan({ ...onePan, steps })).finalUl).toBe(3_000_000);
  });

  test("a pan's water may be given as a ratio", () => {
    const pans = [pan("A", { water: { by: "ratio", ratio: 40 } })];
    // 10 g take 400 mL at 40:1, so 100 g take 4 L.
    expect(bathOf(plan({ ...onePan, pans, steps: [] })).waterUl).toBe(4_000_000);
  });
});

describe("depths of skeins", () => {
  test("stand beside their targets, and beside the depth of the fibre that takes dye", () => {
    const tweed = { ...skein("1", "A", "creel", 100), targetPct: 1 };
    const of = plan({ ...onePan, skeins: [tweed], steps: [pour("p", "lantern", "A", { ml: 80 })] });
    const [depths] = depthsOf(of, shelf, walk(of, shelf));
    // 0.8 g on 100 g, of which 80 g is wool.
    expect(depths?.depthPct).toBeCloseTo(0.8, 9);
    expect(depths?.dyeablePct).toBeCloseTo(1, 9);
    expect(depths?.targetPct).toBe(1);
  });

  test("what a pour touches alone is deeper there", () => {
    const painted = pour("p", "lantern", "A", { ml: 10 }, ["1"]);
    if (painted.kind !== "pour") throw new Error("no pour");
    const step = { ...painted, pour: { ...painted.pour, coverage: 0.25 } };
    const of = plan({ ...onePan, steps: [step] });
    const [depths] = depthsOf(of, shelf, walk(of, shelf));
    expect(depths?.depthPct).toBeCloseTo(0.2, 9);
    expect(depths?.localPct).toBeCloseTo(0.8, 9);
  });
});
