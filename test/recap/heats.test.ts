import { describe, expect, test } from "vitest";
import { howTo } from "../../overlay/follow/howTo.ts";
import { noChoices } from "../../overlay/follow/kept.ts";
import { recipeText } from "../../overlay/follow/text.ts";
import { descriptionText } from "../../shared/recap/kit.ts";
import { sayHeat } from "../../shared/recap/recap.ts";
import { sheetLines } from "../../shared/recap/steps.ts";
import type { Command } from "../../shared/session/command.ts";
import { followRecipe } from "../../shared/session/views/followRecipe.ts";
import { asInSession } from "../../shared/session/views/ownTerms.ts";
import { publicView, recapView } from "../../shared/session/views/publicView.ts";
import { Desk } from "../scenario/desk.ts";

const minutes = (n: number) => n * 60_000;

/** The demonstration with pan A just put under steam for 25 minutes at 98 degrees, as planned. */
function steaming(): { desk: Desk; later(ms: number, command: Command): void; timer: string } {
  const desk = Desk.live();
  desk.until("s7");
  const [timer = ""] = Object.keys(desk.state.bench.timers);
  const later = (ms: number, command: Command) => {
    const decision = desk.try(command, ms);
    if (!decision.ok) throw new Error(decision.say);
  };
  return { desk, later, timer };
}

/** What each part of the recap says of all heats. */
function told({ state }: Desk) {
  const view = publicView(state);
  const recipe = followRecipe(view, asInSession);
  const plain = (text: string) => text.replace(/[\u202f\u00a0]/g, " ");
  const steps = howTo(view, recipe, 0).step.flatMap((step) =>
    "itemListElement" in step ? step.itemListElement : [],
  );
  return {
    sheet: sheetLines(state)
      .filter(({ kind, status }) => kind === "heat" && status !== "open")
      .map(({ status, done, differences }) => plain([status, done, ...differences].join("; "))),
    card: recapView(state).pans.flatMap(({ heats }) => heats.map(sayHeat).map(plain)),
    description: plain(descriptionText(state, recapView(state), null)),
    follow: recipe.done.flatMap((line) =>
      line.kind === "heat" ? [[line.pan, line.how, line.seconds, line.ended ?? ""].join(" ")] : [],
    ),
    text: plain(recipeText(view, recipe, noChoices)),
    machine: steps.flatMap(({ performTime }) => performTime ?? []),
    hazards: recipe.hazards,
  };
}

describe("a heat", () => {
  test("that was ended early is told by what it lasted, everywhere", () => {
    const { desk, later, timer } = steaming();
    later(minutes(3), { type: "timerStop", timer });
    const said = told(desk);
    expect(said.sheet).toEqual(["done; 3 min; −22 min; ended early"]);
    expect(said.card).toEqual(["steamed 3 min at 98 °C (ended early)"]);
    expect(said.description).toContain("steamed 3 min at 98 °C (ended early)");
    expect(said.follow).toEqual(["A steam 180 early"]);
    expect(said.text).toMatch(/Steam pan A, 3 min, .*\(ended early\)/);
    expect(said.machine[0]).toBe("PT180S");
  });

  test("keeps what it was extended by once its timer has ended", () => {
    const { desk, later, timer } = steaming();
    later(minutes(24), { type: "timerExtend", timer, seconds: 300 });
    expect(told(desk).follow).toEqual(["A steam 1800 "]);
    later(minutes(6) + 8_000, { type: "timerStop", timer });
    const said = told(desk);
    expect(said.sheet).toEqual(["done; 30 min; +5 min"]);
    expect(said.card).toEqual(["steamed 30 min at 98 °C"]);
    expect(said.follow).toEqual(["A steam 1800 "]);
    expect(said.machine[0]).toBe("PT1800S");
  });

  test("that went on for longer than its timer is told by what it lasted", () => {
    const { desk, later, timer } = steaming();
    later(minutes(40), { type: "timerStop", timer });
    expect(told(desk).sheet).toEqual(["done; 40 min; +15 min"]);
    expect(told(desk).follow).toEqual(["A steam 2400 "]);
  });

  test("that nobody planned stays, and its hazards, once it is over", () => {
    const { desk, later, timer } = steaming();
    later(minutes(25), { type: "timerStop", timer });
    const own = { timer: "more", how: "oven" as const, pan: "B", seconds: 600, waitingFor: "" };
    later(1_000, { type: "timerStart", ...own });
    expect(told(desk).sheet).toEqual(["done; 25 min", "unplanned; −; not planned; not ended yet"]);
    expect(told(desk).card[1]).toBe("in the oven 10 min (not ended yet)");
    later(minutes(4), { type: "timerStop", timer: "more" });
    const said = told(desk);
    expect(said.sheet[1]).toBe("unplanned; 4 min; not planned; ended early");
    expect(said.card[1]).toBe("in the oven 4 min (ended early)");
    expect(said.follow).toEqual(["A steam 1500 ", "B oven 240 early"]);
    expect(said.machine.slice(0, 2)).toEqual(["PT1500S", "PT240S"]);
    const { steps: _, ...view } = publicView(desk.state);
    expect(followRecipe({ ...view, steps: {} }, asInSession).hazards).toContain("steam");
  });

  test("of a session without one is told as absent, and travels without nulls", () => {
    const view = publicView(Desk.live().state);
    expect("heats" in view).toBe(false);
    const { desk, later, timer } = steaming();
    expect("heats" in publicView(desk.state)).toBe(false);
    later(minutes(25), { type: "timerStop", timer });
    const heats = publicView(desk.state).heats ?? {};
    expect(Object.values(heats)).toMatchObject([{ pan: "A", how: "steam", celsius: 98 }]);
    expect(JSON.stringify(heats)).not.toContain("null");
  });
});
