import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { type Json, merge, patchOf } from "../../shared/session/mergePatch.ts";
import { type FollowRecipe, followRecipe } from "../../shared/session/views/followRecipe.ts";
import { asInSession } from "../../shared/session/views/ownTerms.ts";
import { type PublicView, publicView } from "../../shared/session/views/publicView.ts";
import { Desk, pourOf } from "../scenario/desk.ts";
import { own } from "../scenario/lookOn.ts";

const sayDone = ({ done }: FollowRecipe) =>
  done.map((line) => {
    if (line.kind === "pour") return `${line.n} ${line.pour.title}`;
    if (line.kind === "add") return line.label;
    return line.kind === "heat" ? `${line.how} ${line.pan}` : "skipped";
  });

describe("the recipe of a session", () => {
  test("before it is live is the plan, with the depth that each pour will find and leave", () => {
    const view = publicView(new Desk().state);
    const recipe = followRecipe(view, asInSession);
    expect(recipe.now?.kind).toBe("add");
    expect(recipe.done).toEqual([]);
    expect(recipe.pours).toEqual({ made: 0, all: 15 });
    const eighth = recipe.coming.find((step) => step.kind === "pour" && step.nth === 8);
    if (eighth?.kind !== "pour") throw new Error("there is no eighth pour");
    // Skein 4 has 10 mL of Tidewrack 1 % and 10 mL of Saltmarsh 1 % on 50 g by then: 0.40 %; half
    // of 37.5 mL adds 0.375 %.
    const depth = eighth.depths.find(({ skein }) => skein === "4");
    expect(depth?.beforePct).toBeCloseTo(0.4, 10);
    expect(depth?.afterPct).toBeCloseTo(0.775, 10);
    expect(recipe.finalPct["4"]).toBeCloseTo(0.775 + 0.1 + 0.16, 10);
  });

  test("keeps what was done in order, with heat and what was left out where the plan had them", () => {
    const desk = Desk.live();
    desk.until("s5");
    desk.must({ type: "skip", expect: "s5" });
    desk.advance();
    desk.must({ type: "pour", pour: pourOf("deepwater", 2_000) });
    desk.until("s9");
    const recipe = followRecipe(publicView(desk.state), asInSession);
    expect(sayDone(recipe)).toEqual([
      "white vinegar 5 %",
      "1 Lantern 1\u202f%",
      "2 Slipway 0.5\u202f%",
      "3 Tidewrack 1\u202f%",
      "skipped",
      "steam A",
      "4 Deepwater 1\u202f%",
      "white vinegar 5 %",
      "5 Tidewrack 1\u202f%",
    ]);
    expect(recipe.pours).toEqual({ made: 5, all: 15 });
    expect(recipe.now).toMatchObject({ kind: "pour", nth: 6 });
  });

  test("counts a step taken out of turn as the one that is now, and the depths from there", () => {
    const desk = Desk.live();
    desk.must({ type: "choose", step: "s4" });
    const recipe = followRecipe(publicView(desk.state), asInSession);
    expect(recipe.now).toMatchObject({ id: "s4", kind: "pour", nth: 1 });
    expect(recipe.now?.kind === "pour" && recipe.now.depths[0]?.beforePct).toBe(0);
    const lantern = recipe.coming.find((step) => step.id === "s2");
    if (lantern?.kind !== "pour") throw new Error("the pour is gone");
    const onTwo = lantern.depths.find(({ skein }) => skein === "2");
    expect(onTwo?.beforePct).toBeCloseTo(0.12, 10);
  });

  test("says what it takes of each bottle, poured and to come, and of water", () => {
    const desk = Desk.live();
    desk.until("s12");
    const recipe = followRecipe(
      publicView(desk.state),
      own({ skeinG: 100, dyePct: { saltmarsh: 2 } }),
    );
    // The plan has 20 + 37.5 + 60 mL of Saltmarsh 1 %: on twice the fibre and at 2 % the same.
    const saltmarsh = recipe.needs.find(({ title }) => title === "Saltmarsh 2\u202f%");
    expect(saltmarsh).toMatchObject({ of: "volume", poured: 57_500, coming: 60_000 });
    expect(recipe.water).toEqual([
      { pan: "A", volumeUl: 3_000_000, capacityUl: 6_000_000 },
      { pan: "B", volumeUl: 3_000_000, capacityUl: 6_000_000 },
      { pan: "C", volumeUl: 3_000_000, capacityUl: 6_000_000 },
    ]);
  });

  test("closed has nothing to come", () => {
    const desk = Desk.live();
    desk.until("s4");
    desk.must({ type: "close" });
    const recipe = followRecipe(publicView(desk.state), asInSession);
    expect(recipe.now).toBeNull();
    expect(recipe.coming).toEqual([]);
    expect(recipe.pours).toEqual({ made: 2, all: 2 });
  });

  test("names every hazard that a viewer meets, whatever is live", () => {
    const { hazards } = followRecipe(publicView(new Desk().state), asInSession);
    expect(hazards).toEqual([
      "dryPowder",
      "acid",
      "steam",
      "hotBath",
      "wasteWater",
      "dyeVessels",
      "childrenAndPets",
    ]);
  });

  test("offers each dye of the bottles once, with the strengths it has", () => {
    const view = publicView(new Desk().state);
    const { stocks } = followRecipe(view, own({ dyePct: { slipway: 2 } }));
    expect(stocks.map(({ name, sessionPct, ownPct }) => [name, sessionPct, ownPct])).toEqual([
      ["Lantern", [1], null],
      ["Slipway", [0.5], 2],
      ["Tidewrack", [1], null],
      ["Saltmarsh", [1], null],
      ["Gullwing", [0.1], null],
      ["Deepwater", [1], null],
    ]);
  });

  test("carries the doubt of every pour before it", () => {
    const desk = Desk.live();
    const rough = (volumeUl: number, plusMinusUl: number) =>
      pourOf("deepwater", 0, {
        source: {
          from: "vessel",
          vessel: "deepwater",
          amount: { how: "estimated", volumeUl, plusMinusUl },
        },
      });
    desk.must({ type: "pour", pour: rough(10_000, 2_000) });
    desk.must({ type: "pour", pour: rough(20_000, 4_000) });
    const recipe = followRecipe(publicView(desk.state), own({ skeinG: 25 }));
    const doubts = recipe.done.map((line) => line.kind === "pour" && line.depths[0]?.plusMinusPct);
    // 1 mL of 1 % is 0.02 % of a 50 g skein; half of each pour goes to each of the two.
    expect(doubts[0]).toBeCloseTo(0.02, 10);
    expect(doubts[1]).toBeCloseTo(0.06, 10);
    const [first] = recipe.done;
    expect(first?.kind === "pour" && first.own.parts[0]).toMatchObject({
      amount: 5_000,
      plusMinus: 1_000,
    });
    const next = recipe.coming.find((step) => step.kind === "pour");
    expect(next?.kind === "pour" && next.depths[0]?.plusMinusPct).toBeCloseTo(0.06, 10);
  });
});

test("taken over from the recipe before, it is the same as made anew", () => {
  const acts = fc.array(
    fc.oneof(
      fc.constant("advance" as const),
      fc.constant("skip" as const),
      fc.constant("undo" as const),
      fc.record({
        vessel: fc.constantFrom("lantern", "saltmarsh", "deepwater"),
        volumeUl: fc.integer({ min: 1, max: 9_000 }),
        pan: fc.constantFrom("A", "B", "C"),
      }),
      fc.record({
        move: fc.constantFrom("1", "2", "3", "tweed"),
        to: fc.constantFrom("A", "B", null),
      }),
    ),
    { maxLength: 12 },
  );
  const terms = fc.record({
    skeinG: fc.integer({ min: 1, max: 500 }),
    pct: fc.constantFrom(0.25, 0.5, 1, 2),
  });
  fc.assert(
    fc.property(acts, terms, (list, { skeinG, pct }) => {
      const mine = own({ skeinG, dyePct: { saltmarsh: pct } });
      const desk = Desk.live();
      let view = publicView(desk.state);
      let recipe = followRecipe(view, mine);
      for (const act of list) {
        const expectId = current(desk);
        if (act === "advance" || act === "skip") desk.try({ type: act, expect: expectId });
        else if (act === "undo")
          desk.try({ type: "undo", expect: desk.state.acts.at(-1)?.seq ?? 1 });
        else if ("move" in act) desk.try({ type: "skeinMove", skein: act.move, to: act.to });
        else desk.try({ type: "pour", pour: pourOf(act.vessel, act.volumeUl, { pan: act.pan }) });
        // As it comes over the wire: what did not change stays the same object.
        const patch = patchOf(json(view), json(publicView(desk.state)));
        if (patch !== undefined) view = merge(json(view), patch) as unknown as PublicView;
        recipe = followRecipe(view, mine, recipe);
        expect(recipe).toEqual(followRecipe(view, mine));
      }
    }),
    { numRuns: 60 },
  );
});

function json(view: PublicView): Json {
  return view as unknown as Json;
}

function current(desk: Desk): string {
  return publicView(desk.state).current ?? "";
}
