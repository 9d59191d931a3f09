import { expect, test } from "vitest";
import { leftAfter, leftNow } from "../../controller/colour/left.ts";
import { pourable, pourRecipes, pourRests } from "../../controller/colour/pour.ts";
import { sayList, sayMeasured } from "../../controller/colour/say.ts";
import { knownDyes, matchDyes } from "../../controller/colour/shelf.ts";
import { hexAt, spotOf } from "../../controller/picture/spot.ts";
import { emptyShelf } from "../../shared/shelf/shelf.ts";
import { dye, onePan, pan, plan, pour, quay, shelf, skein, stock } from "../scenario/prepare.ts";

test("a mark stands where its colour is, and takes that colour there", () => {
  const data = new Uint8ClampedArray(4 * 100 * 50);
  for (let at = 0; at < 5_000; at++) {
    data.set(at % 100 < 80 ? [200, 30, 30, 255] : [20, 90, 120, 255], 4 * at);
  }
  const picture = { width: 100, height: 50, data };
  const spot = spotOf(picture, "#145a78");
  expect(spot.x).toBeGreaterThan(0.8);
  expect(hexAt(picture, spot)).toBe("#145a78");
  expect(hexAt(picture, { x: 0.2, y: 1 })).toBe("#c81e1e");
  expect(hexAt({ width: 1, height: 1, data: new Uint8ClampedArray(4) }, spot)).toBeNull();
});

test("a recipe is poured by depth; a dye with no bottle of its own gets one of 1 % to make up", () => {
  const ours = {
    ...emptyShelf,
    bases: [quay],
    dyes: [dye("saltmarsh"), dye("lantern", { limitPct: 2 }), dye("old", { retired: true })],
    stocks: [
      stock("small", "saltmarsh", 10, 1),
      stock("large", "saltmarsh", 90, 2),
      { ...stock("mixed", "lantern", 50, 1), dyes: { lantern: 500_000, saltmarsh: 500_000 } },
    ],
  };
  const known = knownDyes(ours, 4);
  expect(known.map(({ id, limitPct, bottle }) => [id, limitPct, bottle?.id])).toEqual([
    ["saltmarsh", 4, "large"],
    ["lantern", 2, undefined],
  ]);
  expect(matchDyes(ours, known, 50_000_000)[0]?.means?.strengthPct).toBeCloseTo(2, 9);
  const poured = { id: "s", name: "A", base: quay.id, massUg: 100_000_000, pan: "p" };
  const content = plan({
    pans: [pan("p")],
    skeins: [poured, { id: "t", name: "B", base: quay.id, massUg: 1 }],
  });
  expect(pourable(content).map(({ id }) => id)).toEqual(["s"]);
  let n = 0;
  const recipes = [{ skein: poured, depths: { saltmarsh: 0.8, lantern: 0.6 } }];
  const change = pourRecipes("plan", known, recipes, () => `new-${++n}`);
  if (change.change !== "several") throw new Error("It is not one step.");
  const [made, ...pours] = change.changes;
  // 0.6 % of 100 g is 0.6 g, 60 mL of 1 %: the bottle is made in steps of 50 mL.
  expect(made).toMatchObject({
    part: "stocks",
    item: { volumeUl: 100_000, dyes: { lantern: 1_000_000 }, toMake: true },
  });
  const id = made?.change === "shelve" ? made.item.id : "";
  expect(pours).toMatchObject([
    { edit: { item: { pour: { source: { stock: "large" }, amount: { by: "depth", pct: 0.8 } } } } },
    { edit: { item: { pour: { source: { stock: id }, amount: { by: "depth", pct: 0.6 } } } } },
  ]);
});

test("all that is left is poured over one more skein as one step back", () => {
  const left = { ...skein("9", "A"), pan: "A" };
  const change = pourRests("plan", left, [{ stock: "lantern", volumeUl: 12_300 }], () => "new");
  expect(change).toMatchObject({
    change: "several",
    changes: [
      { edit: { part: "skeins", item: { id: "9", pan: "A" } } },
      {
        edit: {
          part: "steps",
          item: {
            pour: {
              source: { from: "stock", stock: "lantern" },
              over: [{ skein: "9" }],
              amount: { by: "volume", volumeUl: 12_300 },
            },
          },
        },
      },
    ],
  });
});

test("what is left is told as bottles stand, and once the plan has run", () => {
  expect(leftNow(shelf).map(({ id, volumeUl }) => [id, volumeUl])).toEqual([
    ["lantern", 150_000],
    ["slipway", 200_000],
  ]);
  // 0.5 % on two skeins of 50 g takes 50 mL of 1 %; a bottle that is never drawn from is not made.
  const after = leftAfter(onePan, shelf);
  expect(after.map(({ id, volumeUl }) => [id, volumeUl])).toEqual([
    ["lantern", 100_000],
    ["slipway", 180_000],
  ]);
  expect(after[0]?.dyes.lantern).toBeCloseTo(1_000_000, 6);
  const dry = plan({
    skeins: [skein("1", "A")],
    pans: [pan("A")],
    steps: [pour("p", "lantern", "A", { ml: 150 })],
  });
  expect(leftAfter(dry, shelf).map(({ id }) => id)).toEqual(["slipway"]);
});

test("a dose says its bottle, how it is thinned, and where the bottle does not hold as much", () => {
  const [lantern, slipway, deepwater] = knownDyes(shelf, 4);
  if (!lantern || !slipway || !deepwater) throw new Error("The shelf has three dyes.");
  const dose = (ml: number, factor = 1) => ({ depthPct: 1, volumeUl: ml * 1_000, factor });
  expect(sayMeasured(lantern, dose(12.5))).toBe("12.5\u202fmL of Lantern");
  expect(sayMeasured(lantern, dose(160))).toBe("160\u202fmL of Lantern: it holds 150\u202fmL");
  expect(sayMeasured(lantern, dose(160, 2))).toBe(
    "160\u202fmL of Lantern, diluted 1 part to\u00a02",
  );
  expect(sayMeasured({ ...slipway, bottle: null }, dose(3))).toMatch(/1\u202f%, still to make up$/);
  expect(sayMeasured(deepwater, undefined)).toBe("");
});

test.each([
  [[], ""],
  [["Lantern"], "Lantern"],
  [["Lantern", "Slipway"], "Lantern and Slipway"],
  [["Lantern", "Slipway", "Gullwing"], "Lantern, Slipway and Gullwing"],
])("names %j as %j", (names, said) => {
  expect(sayList(names)).toBe(said);
});
