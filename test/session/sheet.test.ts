import { describe, expect, test } from "vitest";
import { openSheet, type Sheet } from "../../shared/session/sheet.ts";
import { harbourSheet, setupOf } from "../scenario/desk.ts";

function problemsOf(change: (sheet: Sheet) => void) {
  const sheet = harbourSheet();
  change(sheet);
  const opened = openSheet(sheet);
  return opened.ok ? [] : opened.problems;
}

describe("the demonstration sheet", () => {
  const setup = setupOf(harbourSheet());

  test("is a six-skein fade in three pans, six dyes, and a tweed with flecks beside them", () => {
    expect(Object.keys(setup.dyes)).toHaveLength(6);
    expect(Object.keys(setup.pans)).toEqual(["A", "B", "C"]);
    const fade = Object.values(setup.skeins).filter((skein) => skein.base === "quay");
    expect(fade.map((skein) => skein.massUg)).toEqual(Array(6).fill(50_000_000));
    expect(setup.bases.creel).toMatchObject({ superwash: false });
    expect(setup.bases.creel?.flecks).toHaveLength(3);
  });

  test("is held in exact units", () => {
    expect(setup.stocks.lantern).toMatchObject({ volumeUl: 150_000, dyes: { lantern: 1_500_000 } });
    const pour = setup.steps.find((step) => step.id === "s11");
    expect(pour).toMatchObject({
      kind: "pour",
      pour: {
        source: { from: "vessel", vessel: "saltmarsh", amount: { volumeUl: 37_500 } },
        shares: [
          { skein: "3", parts: 50_000_000 },
          { skein: "4", parts: 50_000_000 },
        ],
      },
    });
  });
});

describe("an amount given as depth of shade", () => {
  test("becomes the volume that reaches it with this bottle", () => {
    const sheet = harbourSheet();
    sheet.steps = [
      {
        kind: "pour",
        stock: "slipway",
        pan: "A",
        amount: { depthPct: 0.3 },
        by: "measured",
        technique: "immersion",
        coveragePct: 100,
      },
    ];
    const [step] = setupOf(sheet).steps;
    // 0.3 % of 100 g is 0.3 g of dye, which is 60 mL at 0.5 g in 100 mL.
    expect(step).toMatchObject({ pour: { source: { amount: { volumeUl: 60_000 } } } });
  });
});

describe("a sheet that cannot be is refused line by line", () => {
  const first = <T>(list: T[]): T => list[0] as T;

  test.each<[string, (sheet: Sheet) => void, RegExp, RegExp]>([
    [
      "an unknown stock",
      (sheet) => {
        Object.assign(sheet.steps[1] as object, { stock: "kelp" });
      },
      /^steps 2$/,
      /no stock "kelp".*lantern, slipway/,
    ],
    [
      "a skein of 0 g",
      (sheet) => Object.assign(first(sheet.skeins), { g: 0 }),
      /^skeins 1, g$/,
      /more than 0/,
    ],
    [
      "a stock of 0 %",
      (sheet) => Object.assign(first(first(sheet.stocks).dyes), { strengthPct: 0 }),
      /^stocks 1, dyes 1, strengthPct$/,
      /more than 0 %/,
    ],
    [
      "a stock of 101 %",
      (sheet) => Object.assign(first(first(sheet.stocks).dyes), { strengthPct: 101 }),
      /strengthPct$/,
      /more than 100 %/,
    ],
    [
      "two dyes of 60 % in one stock",
      (sheet) => {
        first(sheet.stocks).dyes = [
          { dye: "lantern", strengthPct: 60 },
          { dye: "slipway", strengthPct: 60 },
        ];
      },
      /^stocks 1$/,
      /add to 120 %/,
    ],
    [
      "fibres that add to 99",
      (sheet) => Object.assign(first(first(sheet.bases).fibres), { pct: 74 }),
      /^bases 1, fibres$/,
      /add to 99 %/,
    ],
    [
      "a negative amount",
      (sheet) => Object.assign(sheet.steps[1] as object, { amount: { mL: -3 } }),
      /^steps 2, amount/,
      /more than 0/,
    ],
    [
      "an amount that is no number",
      (sheet) => Object.assign(sheet.steps[1] as object, { amount: { mL: "abc" } }),
      /^steps 2, amount/,
      /amount/,
    ],
    [
      "a skein that lies in another pan",
      (sheet) => Object.assign(sheet.steps[1] as object, { skeins: ["3"] }),
      /^steps 2$/,
      /does not lie in pan/,
    ],
    [
      "a short name that stands twice",
      (sheet) => Object.assign(sheet.skeins[1] as object, { id: "1" }),
      /^skeins 2$/,
      /stands twice/,
    ],
    [
      "a short name that means something to objects",
      (sheet) => Object.assign(first(sheet.dyes), { id: "constructor" }),
      /^dyes 1, id$/,
      /is taken/,
    ],
    [
      "a volume beyond any pan",
      (sheet) => Object.assign(sheet.steps[1] as object, { amount: { mL: 1e9 } }),
      /^steps 2, amount/,
      /larger than 100000/,
    ],
    [
      "a stock of next to no mL",
      (sheet) => Object.assign(first(sheet.stocks), { mL: 0.0001 }),
      /^stocks 1$/,
      /next to nothing/,
    ],
    [
      "a pour of next to no mL",
      (sheet) => Object.assign(sheet.steps[1] as object, { amount: { mL: 0.0004 } }),
      /^steps 2$/,
      /next to nothing/,
    ],
    [
      "a pour more in doubt than it is large",
      (sheet) => Object.assign(sheet.steps[1] as object, { amount: { mL: 1, plusMinusMl: 2 } }),
      /^steps 2$/,
      /larger than the amount/,
    ],
    [
      "a skein named twice in a pour",
      (sheet) => Object.assign(sheet.steps[1] as object, { skeins: ["1", "1", "2"] }),
      /^steps 2$/,
      /stands twice/,
    ],
    [
      "more water than the pan holds",
      (sheet) => Object.assign(first(sheet.pans), { waterMl: 3001 }),
      /^pans 1, waterMl$/,
      /holds 3000 mL/,
    ],
  ])("%s", (_what, change, at, say) => {
    const problems = problemsOf(change);
    const told = problems.find((problem) => at.test(problem.at) && say.test(problem.say));
    expect(told, JSON.stringify(problems)).toBeDefined();
  });

  test.each([
    [null],
    [42],
    ["text"],
    [[]],
    [{}],
    [{ pourSheet: 2 }],
    [{ pourSheet: 1, name: "x" }],
  ])("%j is not a sheet", (json) => {
    const opened = openSheet(json);
    expect(opened.ok).toBe(false);
    if (!opened.ok) expect(opened.problems.length).toBeGreaterThan(0);
  });
});

test("a name may hold markup, emoji or right-to-left letters, and stays as it is", () => {
  const sheet = harbourSheet();
  const names = ["<b>Kelp</b>", "🧶 Kelp", "أخضر البحر"];
  names.forEach((name, i) => {
    Object.assign(sheet.dyes[i] as object, { name });
  });
  expect(
    Object.values(setupOf(sheet).dyes)
      .slice(0, 3)
      .map((dye) => dye.name),
  ).toEqual(names);
});
