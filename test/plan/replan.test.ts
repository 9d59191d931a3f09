import { describe, expect, test } from "vitest";
import { refused } from "../../shared/dye/refusal.ts";
import { type Edit, edited } from "../../shared/plan/edit.ts";
import type { Plan } from "../../shared/plan/plan.ts";
import { replan } from "../../shared/plan/replan.ts";
import { setupOfPlan } from "../../shared/plan/setupOfPlan.ts";
import { fold } from "../../shared/session/state.ts";
import { publicView } from "../../shared/session/views/publicView.ts";
import { Desk } from "../scenario/desk.ts";
import { onePan, pan, pour, shelf, skein } from "../scenario/prepare.ts";

const setup = (plan: Plan, on = shelf) => {
  const set = setupOfPlan(plan, on);
  if (!set.ok) throw new Error(set.problems.map(({ say }) => say).join(" "));
  return set.setup;
};
const changedBy = (plan: Plan, ...edits: Edit[]): Plan =>
  edits.reduce((now, edit) => {
    const next = edited(now, edit);
    if (refused(next)) throw new Error(next.say);
    return next.plan;
  }, plan);
const nextStep = (desk: Desk) => {
  const step = desk.state.setup.steps.find(({ id }) => desk.state.bench.steps[id] === undefined);
  if (!step) throw new Error("No step is left.");
  return step.id;
};

describe("a plan that is changed while live", () => {
  test("changes what is still to come, and leaves what was done", () => {
    const desk = Desk.live(setup(onePan));
    const first = nextStep(desk);
    desk.must({ type: "advance", expect: first });
    const poured = structuredClone(desk.state.bench);
    const changed = changedBy(
      onePan,
      { edit: "put", part: "steps", item: pour("new", "slipway", "A", { ml: 7 }) },
      { edit: "remove", part: "steps", id: first },
    );
    const decision = replan(desk.state, setup(changed));
    expect(decision.ok).toBe(true);
    desk.take(decision);
    const ids = desk.state.setup.steps.map(({ id }) => id);
    expect(ids[0]).toBe(first);
    expect(ids).toContain("new");
    expect(desk.state.bench).toEqual(poured);
    expect(
      Object.values(publicView(desk.state).steps).some(
        (step) => step.kind === "pour" && step.pour.volumeUl === 7_000,
      ),
    ).toBe(true);
    expect(fold("session", desk.events)).toEqual(desk.state);
  });

  test("brings a new pan and a new skein, and takes away those that nothing was done to", () => {
    const desk = Desk.live(setup(onePan));
    const changed = changedBy(
      onePan,
      { edit: "put", part: "pans", item: pan("B") },
      { edit: "put", part: "skeins", item: skein("9", "B") },
      { edit: "put", part: "steps", item: pour("pb", "lantern", "B", { ml: 5 }) },
    );
    desk.take(replan(desk.state, setup(changed)));
    expect(desk.state.bench.skeins["9"]?.pan).toBe("B");
    desk.take(replan(desk.state, setup(onePan)));
    expect(Object.keys(desk.state.setup.pans)).toEqual(["A"]);
    expect(desk.state.bench.skeins["9"]).toBeUndefined();
  });

  test("keeps a pan and its skein once something was poured there", () => {
    const wide = changedBy(
      onePan,
      { edit: "put", part: "pans", item: pan("B") },
      { edit: "put", part: "skeins", item: skein("9", "B") },
      { edit: "put", part: "steps", item: pour("pb", "lantern", "B", { ml: 5 }), at: 0 },
    );
    const desk = Desk.live(setup(wide));
    desk.must({ type: "advance", expect: "pb" });
    desk.take(replan(desk.state, setup(onePan)));
    expect(desk.state.bench.skeins["9"]?.dyes).toEqual({ lantern: 50_000 });
    desk.must({ type: "undo", expect: desk.state.acts.at(-1)?.seq ?? 0 });
    expect(nextStep(desk)).toBe("pb");
  });

  test("leaves a bottle the level it was opened with", () => {
    const desk = Desk.live(setup(onePan));
    const was = desk.state.setup.stocks.lantern?.volumeUl;
    const fuller = {
      ...shelf,
      stocks: shelf.stocks.map((one) =>
        one.id === "lantern" ? { ...one, volumeUl: one.volumeUl * 2 } : one,
      ),
    };
    const changed = changedBy(onePan, { edit: "name", name: "Later" });
    desk.take(replan(desk.state, setup(changed, fuller)));
    expect(desk.state.setup.name).toBe("Later");
    expect(desk.state.setup.stocks.lantern?.volumeUl).toBe(was);
  });

  test("forgets an amount that was set for a step that is gone", () => {
    const desk = Desk.live(setup(onePan));
    const step = onePan.steps.find(({ kind }) => kind === "pour")?.id ?? "";
    desk.must({ type: "choose", step });
    desk.must({
      type: "adjust",
      expect: step,
      amount: { of: "volume", amount: { how: "measured", volumeUl: 9_000, plusMinusUl: 0 } },
    });
    expect(desk.state.adjusted).toHaveProperty(step);
    desk.take(
      replan(desk.state, setup(changedBy(onePan, { edit: "remove", part: "steps", id: step }))),
    );
    expect(desk.state.adjusted).not.toHaveProperty(step);
  });

  test("that is the same, or that comes after the end, is said to be so", () => {
    const desk = Desk.live(setup(onePan));
    expect(replan(desk.state, setup(onePan))).toMatchObject({ code: "same" });
    desk.must({ type: "close" });
    expect(replan(desk.state, setup(onePan))).toMatchObject({ code: "closed" });
  });
});
