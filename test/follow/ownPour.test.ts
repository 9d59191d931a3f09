import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { sayDepthError } from "../../overlay/follow/say.ts";
import { depthPct } from "../../shared/dye/depth.ts";
import { fractionOf, over, times } from "../../shared/dye/fraction.ts";
import { totalUg } from "../../shared/dye/vessel.ts";
import { followRecipe } from "../../shared/session/views/followRecipe.ts";
import { ownPour } from "../../shared/session/views/ownPour.ts";
import { asInSession, type Own, ownTerms } from "../../shared/session/views/ownTerms.ts";
import { type PublicPour, publicView } from "../../shared/session/views/publicView.ts";
import { decimals, RUNS } from "../dye/arbitrary.ts";
import { Desk, harbourSheet, setupOf } from "../scenario/desk.ts";
import { lookOn, own, planned, poured } from "../scenario/lookOn.ts";
import { stockSessions } from "../takeaway/sessions.ts";

describe("a pour for a viewer's own fibre and stock", () => {
  test("is 55.5 mL of a 0.5 % stock on 37 g where 37.5 mL of 1 % goes on 50 g", () => {
    // By hand: 37.5 mL of 1 % is 0.375 g, on 50 g of fibre 0.75 %. 0.75 % of 37 g is 0.2775 g,
    // and 0.5 g in 100 mL holds 0.2775 g in 55.5 mL.
    const view = lookOn({
      skeins: [{ id: "1", g: 50 }],
      pours: [{ mL: 37.5, strengthPct: 1, skeins: ["1"] }],
    });
    const pour = ownPour(
      planned(view, 1),
      ownTerms(view, own({ skeinG: 37, dyePct: { saltmarsh: 0.5 } })),
      view,
    );
    expect(pour.parts).toHaveLength(1);
    expect(pour.parts[0]).toMatchObject({
      of: "volume",
      amount: 55_500,
      title: "Saltmarsh 0.5\u202f%",
    });
  });

  test("is 55.5 mL for two skeins of 37 g with the session's own 1 % stock, 37 / 50 of 75 mL", () => {
    const view = lookOn({
      skeins: [
        { id: "1", g: 50 },
        { id: "2", g: 50 },
      ],
      pours: [{ mL: 75, strengthPct: 1, skeins: ["1", "2"] }],
    });
    const pour = ownPour(planned(view, 1), ownTerms(view, own({ skeinG: 37 })), view);
    expect(pour.parts[0]).toMatchObject({ amount: 55_500, title: "Saltmarsh 1\u202f%" });
    expect(pour.evenly).toBe(true);
    expect(pour.parts[0]?.shares.map(({ amount }) => amount)).toEqual([27_750, 27_750]);
  });

  test("given for the whole set keeps each skein's part of it", () => {
    const view = lookOn({
      skeins: [
        { id: "1", g: 50 },
        { id: "2", g: 100 },
        { id: "spare", g: 80 },
      ],
      pours: [{ mL: 30, strengthPct: 1, skeins: ["2"] }],
      alsoPlannedOn: ["1"],
    });
    const terms = ownTerms(view, own({ setG: 225 }));
    expect(terms.set.skeins).toEqual(["1", "2"]);
    expect(ownPour(planned(view, 1), terms, view).parts[0]?.amount).toBe(45_000);
  });

  test("shared by named parts says what each skein gets, to the last microlitre", () => {
    const view = lookOn({
      skeins: [
        { id: "1", g: 50 },
        { id: "2", g: 50 },
      ],
      pours: [{ mL: 10, strengthPct: 1, skeins: { 1: 2, 2: 1 } }],
    });
    const pour = ownPour(planned(view, 1), ownTerms(view, asInSession), view);
    expect(pour.evenly).toBe(false);
    expect(pour.parts[0]?.shares).toEqual([
      { skein: "1", amount: 6_667 },
      { skein: "2", amount: 3_333 },
    ]);
  });

  test("of dry powder scales by its mass, and its doubt with it", () => {
    const view = lookOn({
      skeins: [{ id: "1", g: 50 }],
      pours: [{ powderG: 0.06, plusMinusG: 0.02, skeins: ["1"] }],
    });
    const pour = ownPour(planned(view, 1), ownTerms(view, own({ skeinG: 37 })), view);
    expect(pour.about).toBe(true);
    expect(pour.parts[0]).toMatchObject({ of: "mass", amount: 44_400, plusMinus: 14_800 });
  });

  test("of a jug goes as the same mix until a stock in it is of another strength, then dye by dye", () => {
    const desk = Desk.live();
    desk.must({
      type: "mix",
      into: "jug",
      made: { name: "Sea lamp", as: "jug" },
      parts: [
        { vessel: "saltmarsh", volumeUl: 20_000 },
        { vessel: "lantern", volumeUl: 10_000 },
      ],
      powder: [],
      waterUl: 30_000,
    });
    desk.must({
      type: "pour",
      pour: {
        source: {
          from: "vessel",
          vessel: "jug",
          amount: { how: "measured", volumeUl: 30_000, plusMinusUl: 0 },
        },
        pan: "A",
        technique: "immersion",
        coverage: 1,
      },
    });
    const view = publicView(desk.state);
    const same = ownPour(poured(view, 1), ownTerms(view, own({ skeinG: 100 })), view);
    expect(same.mix).toBe("same");
    expect(same.parts.map(({ amount }) => amount)).toEqual([60_000]);

    // 30 of 60 mL: 100 mg of Saltmarsh and 50 mg of Lantern on 2 x 50 g; on 2 x 100 g twice that.
    const terms = ownTerms(view, own({ skeinG: 100, dyePct: { saltmarsh: 2 } }));
    const apart = ownPour(poured(view, 1), terms, view);
    expect(apart.mix).toBe("apart");
    expect(apart.parts.map(({ title, amount }) => [title, amount])).toEqual([
      ["Saltmarsh 2\u202f%", 10_000],
      ["Lantern 1\u202f%", 10_000],
    ]);
  });

  test("of a stock of several dyes goes by the strength of the viewer's own bottle of that mix", () => {
    const sheet = harbourSheet();
    sheet.stocks.push({
      id: "dusk",
      name: "Dusk",
      mL: 100,
      dyes: [
        { dye: "saltmarsh", strengthPct: 0.6 },
        { dye: "deepwater", strengthPct: 0.4 },
      ],
    });
    sheet.steps = [
      {
        kind: "pour",
        stock: "dusk",
        pan: "A",
        amount: { mL: 20 },
        by: "measured",
        technique: "immersion",
        coveragePct: 100,
      },
    ];
    const view = publicView(new Desk(setupOf(sheet)).state);
    const terms = ownTerms(view, { ...own({ skeinG: 50 }), mixPct: { dusk: 0.5 } });
    const pour = ownPour(planned(view, 1), terms, view);
    expect(pour.mix).toBe("own");
    expect(pour.parts.map(({ title, amount }) => [title, amount])).toEqual([
      ["Dusk 0.5\u202f%", 40_000],
    ]);
  });

  test("into a bath without skeins scales as the whole set does", () => {
    const sheet = harbourSheet();
    sheet.pans.push({ id: "D", name: "D", capacityMl: 3000, waterMl: 1000, method: "immersion" });
    const desk = Desk.live(setupOf(sheet));
    desk.must({
      type: "pour",
      pour: {
        source: {
          from: "vessel",
          vessel: "saltmarsh",
          amount: { how: "measured", volumeUl: 20_000, plusMinusUl: 0 },
        },
        pan: "D",
        technique: "immersion",
        coverage: 1,
      },
    });
    const view = publicView(desk.state);
    const terms = ownTerms(view, own({ setG: 150, dyePct: { saltmarsh: 0.25 } }));
    expect(ownPour(poured(view, 1), terms, view).parts[0]?.amount).toBe(40_000);
  });
});

describe("a tool", () => {
  const oneSkein = lookOn({
    skeins: [{ id: "1", g: 50 }],
    pours: [{ mL: 37.5, strengthPct: 1, skeins: ["1"] }],
  });
  const measuredWith = (more: Partial<Own>) => {
    const terms = ownTerms(oneSkein, {
      ...own({ skeinG: 37, dyePct: { saltmarsh: 0.5 } }),
      ...more,
    });
    return ownPour(planned(oneSkein, 1), terms, oneSkein).parts[0]?.measured;
  };

  test("measures in its own marks and fills, and says what that does to the depth", () => {
    // 55.5 mL in a syringe of 60 mL by 1 mL is 56 mL: 0.5 mL of 0.5 % is 2.5 mg on 37 g.
    const measured = measuredWith({
      tool: { kind: "syringe", capacityUl: 60_000, divisionUl: 1_000 },
    });
    expect(measured).toMatchObject({ ok: true, say: "56\u202fmL", tooCoarse: false });
    expect(measured?.ok && measured.errorPct).toBeCloseTo((0.0025 / 37) * 100, 10);
    expect(measured?.ok && measured.depthPct).toBeCloseTo(0.75, 10);
  });

  test.each([
    [0.0004, 0.75, "kept"],
    [-0.0004, 0.08, "kept"],
    [0.0004, 0.04, "up by 1 % of itself"],
    [-0.0005, 0.002, "−0.001 %"],
    [-0.00049, 0.00196, "down by 25 % of itself"],
    [0.012, 0.75, "+0.012 %"],
    [0, 0, "kept"],
  ])("that puts a depth out by %d of %d %% owf says so", (errorPct, ofPct, said) => {
    expect(sayDepthError(errorPct, ofPct).replace(/\u202f/g, " ")).toBe(said);
  });

  test("too coarse for an amount comes with a dilution that it can measure", () => {
    const view = lookOn({
      skeins: [{ id: "1", g: 50 }],
      pours: [{ mL: 0.5, strengthPct: 1, skeins: ["1"] }],
    });
    const terms = ownTerms(view, {
      ...own({ skeinG: 37 }),
      tool: { kind: "syringe", capacityUl: 10_000, divisionUl: 500 },
    });
    const measured = ownPour(planned(view, 1), terms, view).parts[0]?.measured;
    expect(measured).toMatchObject({ ok: true, tooCoarse: true });
    expect(measured?.ok && measured.dilution?.factor).toBe(20);
  });

  test("that measures liquid is refused for powder, with what to use instead", () => {
    const view = lookOn({
      skeins: [{ id: "1", g: 50 }],
      pours: [{ powderG: 0.06, skeins: ["1"] }],
    });
    const tool = { kind: "syringe", capacityUl: 10_000, divisionUl: 500 } as const;
    const pour = ownPour(planned(view, 1), ownTerms(view, { ...asInSession, tool }), view);
    expect(pour.parts[0]?.measured).toEqual({
      ok: false,
      say: "Powder is weighed: use a scale that shows 0.01 g or finer.",
    });
  });
});

/** What can be weighed, poured and made up at a bench: below that a microgram is a large part. */
const from = (least: number, numbers: fc.Arbitrary<number>) =>
  numbers.filter((number) => number >= least);
const grams = from(1, decimals(2000, 2));
const strengths = from(0.05, decimals(25, 2));
const owns = fc.oneof(
  fc.record({ skeinG: grams, pct: strengths }),
  fc.record({ setG: grams, pct: strengths }),
);

const poursOf = (view: ReturnType<typeof lookOn>): PublicPour[] =>
  Object.values(view.steps).flatMap((step) => (step.kind === "pour" ? [step.pour] : []));

describe("whatever the fibre and the stock", () => {
  test("the recipe worked back from the viewer's own volumes is the session's", () => {
    fc.assert(
      fc.property(stockSessions, owns, (view, { pct, ...fibre }) => {
        const terms = ownTerms(view, own({ ...fibre, dyePct: { saltmarsh: pct } }));
        for (const pour of poursOf(view)) {
          // One skein at a time, so that what each got can be worked back by itself.
          for (const [skein, dose] of Object.entries(pour.doses)) {
            // Less than a microgram was its share: there is nothing to scale.
            if (totalUg(dose.dyes) === 0) continue;
            const [part] = ownPour({ ...pour, doses: { [skein]: dose } }, terms, view).parts;
            const ratio = terms.skeins[skein];
            if (!part || !ratio) throw new Error("the pour is gone");
            const ownUg = times(part.exact, times(fractionOf(pct), fractionOf(10)));
            const back = times(ownUg, over(fractionOf(ratio.fromUg), fractionOf(ratio.toUg)));
            expect(back).toEqual(fractionOf(totalUg(dose.dyes)));
          }
        }
      }),
      RUNS,
    );
  });

  test("each skein keeps the depth of each pour, but for the rounding to a microlitre", () => {
    fc.assert(
      fc.property(stockSessions, owns, (view, { pct, ...fibre }) => {
        const terms = ownTerms(view, own({ ...fibre, dyePct: { saltmarsh: pct } }));
        for (const pour of poursOf(view)) {
          const [part] = ownPour(pour, terms, view).parts;
          if (!part) throw new Error("the pour is gone");
          let sumUl = 0;
          for (const { skein, amount } of part.shares) {
            const ratio = terms.skeins[skein];
            const dose = pour.doses[skein];
            const there = view.skeins[skein];
            if (!ratio || !dose || !there) throw new Error("the skein is gone");
            const ownUg = (there.massUg * ratio.toUg) / ratio.fromUg;
            const wantedPct = depthPct(totalUg(dose.dyes), there.massUg);
            const givenPct = depthPct(amount * pct * 10, ownUg);
            // Half a uL of the whole, one uL in sharing it, and the shares' weights are whole ug.
            const slackPct = depthPct(2.5 * pct * 10 + part.shares.length + 1, ownUg);
            expect(Math.abs(givenPct - wantedPct)).toBeLessThanOrEqual(slackPct + 1e-9);
            sumUl += amount;
          }
          expect(sumUl).toBe(part.amount);
        }
      }),
      RUNS,
    );
  });

  test("the session's own fibre and stocks give back its own amounts, to the microlitre", () => {
    fc.assert(
      fc.property(stockSessions, (view) => {
        for (const step of followRecipe(view, asInSession).coming) {
          if (step.kind !== "pour") continue;
          expect(step.own.parts.map(({ amount }) => amount)).toEqual([step.pour.volumeUl]);
        }
      }),
      RUNS,
    );
  });
});
