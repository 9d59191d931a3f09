import { describe, expect, test } from "vitest";
import { planProblems, planSchema } from "../../shared/plan/plan.ts";
import { planOfSetup } from "../../shared/plan/planOfSetup.ts";
import { setupOfPlan } from "../../shared/plan/setupOfPlan.ts";
import { walk } from "../../shared/plan/walk.ts";
import { shelfProblems, shelfSchema } from "../../shared/shelf/shelf.ts";
import { Desk, harbourSheet, setupOf } from "../scenario/desk.ts";
import { onePan, pan, plan, pour, shelf, skein, timed, vinegar } from "../scenario/prepare.ts";

const readied = (of: typeof onePan) => {
  const answer = setupOfPlan(of, shelf);
  if (!answer.ok) throw new Error(answer.problems.map((problem) => problem.say).join("\n"));
  return answer.setup;
};
const codes = (of: typeof onePan) => {
  const answer = setupOfPlan(of, shelf);
  return answer.ok ? [] : answer.problems.map((problem) => problem.code);
};

describe("a plan on the bench", () => {
  const setup = readied(onePan);

  test("pours by depth become the volume that reaches it, pours by mL stay", () => {
    // 0.5 % of 100 g is 0.5 g, 50 mL at 1 %.
    expect(setup.steps[1]).toMatchObject({
      id: "p1",
      pour: { source: { amount: { volumeUl: 50_000 } }, shares: [{ skein: "1" }, { skein: "2" }] },
    });
    expect(setup.steps[2]).toMatchObject({
      pour: { source: { amount: { volumeUl: 20_000 } }, shares: [{ skein: "2" }] },
    });
  });

  test("acid by weight of fibre becomes vinegar to measure", () => {
    // 2 % of 100 g is 2 g of acetic acid, 40 mL at 5 g in 100 mL.
    expect(setup.steps[0]).toMatchObject({ kind: "add", amount: { volumeUl: 40_000 } });
  });

  test("heat takes its time from the bath, hold from the class of the dyes in it", () => {
    const [, , , heat, hold, cool] = setup.steps;
    // 15 to 90 C at the 1.5 degrees a minute of a milling dye is 50 min.
    expect(heat).toMatchObject({ kind: "heat", how: "stove", celsius: 90, seconds: 3_000 });
    expect(hold).toMatchObject({ how: "stove", seconds: 2_700 });
    expect(cool).toMatchObject({ how: "rest" });
  });

  test("can be opened and gone live with", () => {
    const desk = Desk.live(setup);
    expect(desk.state.phase).toBe("live");
    expect(desk.state.setup.steps).toHaveLength(6);
  });

  test("a talk is no step of the record, and keeps its time in the plan", () => {
    const talking = plan({
      ...onePan,
      steps: [
        { id: "t", kind: "talk", onAir: true, seconds: 240, about: "Why acid" },
        ...onePan.steps,
      ],
    });
    expect(readied(talking).steps).toHaveLength(6);
    expect(walk(talking, shelf).steps[0]?.seconds).toBe(240);
  });

  test("bottles that are set out are there to improvise with", () => {
    expect(Object.keys(setup.stocks)).toEqual(["lantern", "slipway"]);
    expect(readied({ ...onePan, setOut: ["deepwater"] }).stocks).toHaveProperty("deepwater");
  });

  test("the demonstration session makes a plan whose setup is the session's own", () => {
    const harbour = setupOf(harbourSheet());
    const next = planOfSetup(harbour);
    expect(planProblems(next.plan)).toEqual([]);
    expect(planSchema.safeParse(next.plan).success).toBe(true);
    expect(shelfSchema.safeParse(next.shelf).success).toBe(true);
    expect(shelfProblems(next.shelf)).toEqual([]);
    const again = setupOfPlan(next.plan, next.shelf);
    if (!again.ok) throw new Error(again.problems.map((problem) => problem.say).join("\n"));
    expect(again.setup).toEqual(harbour);
  });
});

describe("what a plan cannot say is told at its line, and the rest still stands", () => {
  test.each<[string, typeof onePan, string]>([
    ["no pan", plan({ skeins: [skein("1")] }), "plan.noPan"],
    ["no skein", plan({ pans: [pan("A")] }), "plan.noSkein"],
    [
      "a bottle that is not there",
      plan({ ...onePan, steps: [pour("p", "kelp", "A", { ml: 1 })] }),
      "pour.noStock",
    ],
    [
      "a skein of another pan",
      plan({
        ...onePan,
        skeins: [skein("1", "A"), skein("2")],
        steps: [pour("p", "lantern", "A", { ml: 1 }, ["2"])],
      }),
      "pour.skeinNotThere",
    ],
    [
      "a depth with no fibre",
      plan({
        ...onePan,
        skeins: [skein("1")],
        steps: [pour("p", "lantern", "A", { depthPct: 1 })],
      }),
      "pour.noFibre",
    ],
    [
      "a base that is not there",
      plan({ ...onePan, skeins: [skein("1", "A", "kelp")] }),
      "skein.noBase",
    ],
    [
      "heat above boiling",
      plan({ ...onePan, steps: [timed("h", "heat", "A", null, { celsius: 120 })] }),
      "heat.aboveBoiling",
    ],
    [
      "a pH of a pan without water",
      plan({
        ...onePan,
        pans: [pan("A", { water: { by: "volume", volumeUl: 0 } })],
        steps: [vinegar("v", "A", { ph: 4 })],
      }),
      "add.noBath",
    ],
  ])("%s", (_, of, code) => {
    expect(codes(of)).toContain(code);
  });

  test("2,000 pours are refused in a sentence, 1,999 are not", () => {
    const many = (n: number) =>
      plan({
        ...onePan,
        steps: Array.from({ length: n }, (_, at) => pour(`p${at}`, "lantern", "A", { ml: 0.001 })),
      });
    expect(codes(many(2_000))).toEqual(["plan.tooManyPours"]);
    expect(codes(many(1_999))).toEqual([]);
  });
});
