import { expect, test } from "vitest";
import { changesBetween } from "../../overlay/follow/changes.ts";
import { followRecipe } from "../../shared/session/views/followRecipe.ts";
import { type PublicView, publicView } from "../../shared/session/views/publicView.ts";
import { Desk } from "../scenario/desk.ts";
import { own } from "../scenario/lookOn.ts";

const mine = own({ skeinG: 25 });
const seen = (view: PublicView) => ({ view, recipe: followRecipe(view, mine), seq: 7 });
const live = publicView(Desk.live().state);

/** The view with one thing otherwise. */
function otherwise(change: (view: PublicView) => void): PublicView {
  const view = structuredClone(live);
  change(view);
  return view;
}
const said = (was: PublicView, is: PublicView) =>
  changesBetween(seen(was), seen(is)).map(({ say }) => say.replace(/\u202f/g, " "));

const doubled = otherwise((view) => {
  const step = view.steps.s9;
  if (step?.kind !== "pour") throw new Error("step 9 is no pour");
  step.pour.volumeUl = (step.pour.volumeUl ?? 0) * 2;
  for (const dose of Object.values(step.pour.doses)) {
    dose.dyes = Object.fromEntries(Object.entries(dose.dyes).map(([dye, ug]) => [dye, ug * 2]));
  }
});

test("an amount that is planned otherwise is told in the viewer's own grams", () => {
  // 8 mL for 50 g is 4 mL for 25 g.
  expect(said(live, doubled)).toEqual([
    "The plan is changed: 8 mL Lantern 1 % instead of 4 mL Lantern 1 %, pan B, skein 3.",
  ]);
});

test("a pour that is put into the plan or taken out of it is told", () => {
  const without = otherwise((view) => {
    delete view.steps.s9;
  });
  expect(said(live, without)).toEqual(["Taken out of the plan: 4 mL Lantern 1 %, pan B, skein 3."]);
  expect(said(without, live)).toEqual(["New in the plan: 4 mL Lantern 1 %, pan B, skein 3."]);
});

test("nothing is told of the step in hand, nor as the session goes on", () => {
  const desk = Desk.live();
  let was = publicView(desk.state);
  for (let step = 0; step < 22; step += 1) {
    desk.advance();
    const is = publicView(desk.state);
    expect(said(was, is)).toEqual([]);
    was = is;
  }
});
