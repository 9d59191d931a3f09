import { describe, expect, test } from "vitest";
import { foresee } from "../../shared/plan/foresight.ts";
import { type Plan, usualWorkroom } from "../../shared/plan/plan.ts";
import { walk } from "../../shared/plan/walk.ts";
import { powderToWeigh, warningsOf } from "../../shared/plan/warnings.ts";
import type { Shelf } from "../../shared/shelf/shelf.ts";
import {
  onePan,
  pan,
  plan,
  pour,
  quay,
  shelf,
  skein,
  stock,
  timed,
  vinegar,
} from "../scenario/prepare.ts";

const warned = (of: Plan, on: Shelf = shelf, today = "2031-05-17") => {
  const walked = walk(of, on);
  return warningsOf({ plan: of, shelf: on, walked, foresight: foresee(walked.setup), today });
};
const codes = (...args: Parameters<typeof warned>) => warned(...args).map((one) => one.code);

test("a plan without fault has no warning", () => {
  expect(warned(onePan)).toEqual([]);
});

const sour = vinegar("v", "A", { pct: 2 });
const some = pour("p", "lantern", "A", { ml: 20 });
const tweed = [skein("1", "A", "creel", 100)];

describe("a warning stands where", () => {
  test.each<[string, string, Plan]>([
    [
      "a pan of 0 L has no measure",
      "pan.noCapacity",
      plan({ ...onePan, pans: [pan("A", { capacityUl: 0 })] }),
    ],
    [
      "a pan overflows",
      "pan.overflows",
      plan({ ...onePan, pans: [pan("A", { capacityUl: 2_050_000 })] }),
    ],
    [
      "the yarn fills a pan to the brim",
      "pan.brimful",
      plan({ ...onePan, pans: [pan("A", { capacityUl: 2_150_000 })] }),
    ],
    [
      "dye goes into a pan without skein",
      "pan.empty",
      plan({
        ...onePan,
        pans: [pan("A"), pan("B")],
        steps: [pour("p", "lantern", "B", { ml: 1 })],
      }),
    ],
    [
      "an immersion has less than 10:1",
      "pan.ratioLow",
      plan({ ...onePan, pans: [pan("A", { water: { by: "volume", volumeUl: 500_000 } })] }),
    ],
    [
      "an immersion has more than 60:1",
      "pan.ratioHigh",
      plan({
        ...onePan,
        pans: [pan("A", { capacityUl: 9e6, water: { by: "volume", volumeUl: 7e6 } })],
      }),
    ],
    [
      "low water has more than 8:1",
      "pan.ratioHigh",
      plan({ ...onePan, pans: [pan("A", { method: "lowWater" })] }),
    ],
    ["no acid goes in", "pan.noAcid", plan({ ...onePan, steps: [some] })],
    ["a skein lies in no pan", "skein.noPan", plan({ ...onePan, skeins: [skein("1")] })],
    [
      "a fibre takes no acid dye",
      "skein.fibreTakesNone",
      plan({ ...onePan, skeins: tweed, steps: [sour, some] }),
    ],
    [
      "a depth is above 2 % on nylon",
      "skein.tooDeep",
      plan({ ...onePan, steps: [sour, pour("p", "lantern", "A", { depthPct: 2.1 })] }),
    ],
    [
      "pours miss their target",
      "skein.offTarget",
      plan({ ...onePan, skeins: [{ ...skein("1", "A"), targetPct: 1 }], steps: [sour, some] }),
    ],
    [
      "untreated wool warms too fast",
      "step.felts",
      plan({ ...onePan, skeins: tweed, steps: [timed("h", "heat", "A", 10, { celsius: 90 })] }),
    ],
    [
      "untreated wool goes from hot to cold",
      "step.felts",
      plan({
        ...onePan,
        skeins: tweed,
        steps: [timed("h", "heat", "A"), timed("r", "rinse", "A")],
      }),
    ],
    [
      "a pour strikes in a hot bath",
      "step.strikesUnevenly",
      plan({ ...onePan, steps: [sour, timed("h", "heat", "A"), some] }),
    ],
    ["there is no pour", "plan.noPours", plan({ ...onePan, steps: [] })],
    [
      "there are 2,000 pours",
      "plan.tooManyPours",
      plan({
        ...onePan,
        steps: Array.from({ length: 2_000 }, (_, at) => ({ ...some, id: `p${at}` })),
      }),
    ],
    [
      "a bottle runs short",
      "stock.short",
      plan({ ...onePan, steps: [sour, pour("p", "lantern", "A", { ml: 151 })] }),
    ],
    [
      "a pan is to be warmed that is warm",
      "step.noTime",
      plan({ ...onePan, steps: [sour, some, timed("h", "heat", "A"), timed("g", "heat", "A")] }),
    ],
    [
      "there is no ring",
      "step.noRing",
      plan({ ...onePan, workroom: { ...usualWorkroom, rings: 0 } }),
    ],
    [
      "there is no oven",
      "step.noOven",
      plan({ ...onePan, steps: [sour, some, timed("o", "oven", "A", 30)] }),
    ],
  ])("%s: %s", (_, code, of) => {
    expect(codes(of)).toContain(code);
  });

  test("a bottle is older than a year, and not on its birthday", () => {
    const made = (madeOn: string) => ({
      ...shelf,
      stocks: [stock("lantern", "lantern", 150, 1, { madeOn }), ...shelf.stocks.slice(1)],
    });
    expect(codes(onePan, made("2030-05-16"))).toEqual(["stock.old"]);
    expect(codes(onePan, made("2030-05-17"))).toEqual([]);
    expect(codes(onePan, made("2031-05-01"))).toEqual([]);
  });

  test.each([99, 101])("fibres add to %s", (sum) => {
    const fibres = [{ fibre: "wool", pct: sum - 25 }, ...quay.fibres.slice(1)];
    const odd = { ...shelf, bases: [{ ...quay, fibres }] };
    const [warning] = warned(onePan, odd);
    expect(warning).toMatchObject({ code: "base.fibres" });
    expect(warning?.say).toContain(`add to ${sum}`);
  });

  test("there is too little powder for what is to be weighed", () => {
    const of = plan({ ...onePan, setOut: ["deepwater"] });
    const little = {
      ...shelf,
      dyes: shelf.dyes.map((dye) =>
        dye.id === "deepwater" ? { ...dye, onHandUg: 1_000_000 } : dye,
      ),
    };
    expect(codes(of, little)).toEqual(["dye.short"]);
    expect(codes(of)).toEqual([]);
  });
});

test("a lower limit of one dye's own counts where that dye goes", () => {
  const pale = {
    ...shelf,
    dyes: shelf.dyes.map((dye) => (dye.id === "lantern" ? { ...dye, limitPct: 0.4 } : dye)),
  };
  expect(codes(onePan, pale)).toEqual(["skein.tooDeep", "skein.tooDeep"]);
});

test("powder to weigh is what goes into bottles still to make, and what is poured dry", () => {
  const dry: Plan["steps"][number] = {
    id: "d",
    kind: "pour",
    onAir: true,
    seconds: null,
    pour: {
      source: { from: "powder", dye: "slipway" },
      pan: "A",
      over: "all",
      amount: { by: "mass", massUg: 120_000, how: "estimated", plusMinusUg: 20_000 },
      technique: "speckled",
      coverage: 0.1,
    },
  };
  const of = plan({ ...onePan, steps: [dry, pour("p", "deepwater", "A", { ml: 3 })] });
  const walked = walk(of, shelf);
  // The bottle to make is 200 mL at 1 %, whatever of it is poured.
  expect(powderToWeigh(shelf, walked, foresee(walked.setup))).toEqual({
    slipway: 120_000,
    deepwater: 2_000_000,
  });
});

test("every warning is a sentence that names what it is about", () => {
  const bad = plan({
    ...onePan,
    skeins: [...tweed, skein("2")],
    pans: [pan("A", { capacityUl: 1_000_000 })],
    steps: [pour("p", "lantern", "A", { ml: 900 }), timed("h", "heat", "A", 5, { celsius: 90 })],
  });
  const warnings = warned(bad);
  expect(warnings.length).toBeGreaterThan(4);
  for (const { say } of warnings) expect(say).toMatch(/^[A-Z].*\.$/);
});
