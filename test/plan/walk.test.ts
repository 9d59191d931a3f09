import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { Plan, PlanStep } from "../../shared/plan/plan.ts";
import { planSchema, TIMED, usualWorkroom } from "../../shared/plan/plan.ts";
import { prospectOf } from "../../shared/plan/prospect.ts";
import { recordedEventSchema } from "../../shared/plan/recorded.ts";
import { walk } from "../../shared/plan/walk.ts";
import { type Shelf, shelfSchema } from "../../shared/shelf/shelf.ts";
import { creel, dye, pan, plan, quay, skein, timed, vinegar } from "../scenario/prepare.ts";

/** Plans at the edges of what a file may hold. */
const volumes = fc.constantFrom(1, 2, 999, 1_000_000, 100_000_000);
const massesUg = fc.constantFrom(1, 50_000_000, 100_000_000_000);
const pcts = fc.constantFrom(1e-9, 0.5, 100);
const pans = ["A", "B"] as const;
const common = {
  id: fc.uuid(),
  onAir: fc.boolean(),
  seconds: fc.constantFrom(null, null, 1, 172_800),
};
const aPan = fc.constantFrom(...pans);

const over = fc.constantFrom(
  "all" as const,
  [{ skein: "1", parts: null }],
  [
    { skein: "1", parts: 1 },
    { skein: "2", parts: 100_000_000_000 },
  ],
);
const amounts = fc.oneof(
  volumes.map((volumeUl) => ({
    by: "volume" as const,
    volumeUl,
    how: "measured" as const,
    plusMinusUl: 0,
  })),
  pcts.map((pct) => ({ by: "depth" as const, pct })),
  fc
    .constantFrom(1e-6, 50, 1_000)
    .map((dropUl) => ({ by: "drops" as const, drops: 10_000, dropUl })),
  massesUg.map((massUg) => ({
    by: "mass" as const,
    massUg,
    how: "measured" as const,
    plusMinusUg: 0,
  })),
);
const sources = fc.oneof(
  fc
    .constantFrom("weak", "strong", "empty", "kelp")
    .map((stock) => ({ from: "stock" as const, stock })),
  fc.constantFrom("lantern", "kelp").map((one) => ({ from: "powder" as const, dye: one })),
);
const additions = fc.oneof(
  volumes.map((volumeUl) => ({ by: "volume" as const, volumeUl })),
  massesUg.map((massUg) => ({ by: "mass" as const, massUg })),
  pcts.map((pct) => ({ by: "pctOfFibre" as const, pct })),
  fc.constantFrom(2, 4.5, 7).map((ph) => ({ by: "ph" as const, ph })),
  fc.constantFrom(0.01, 20, 1_000).map((ratio) => ({ by: "ratio" as const, ratio })),
);
const acids = fc.constantFrom(
  { kind: "vinegar" as const, pct: 1e-9 },
  { kind: "vinegar" as const, pct: 5 },
  { kind: "citricCrystals" as const, form: "monohydrate" as const },
);
const steps: fc.Arbitrary<PlanStep> = fc.oneof(
  fc.record({
    ...common,
    kind: fc.constant("pour" as const),
    pour: fc.record({
      source: sources,
      pan: aPan,
      over,
      amount: amounts,
      technique: fc.constant("immersion" as const),
      coverage: fc.constantFrom(1e-6, 1),
    }),
  }),
  fc
    .tuple(
      fc.record({
        ...common,
        kind: fc.constant("add" as const),
        pan: aPan,
        what: fc.constantFrom("water" as const, "acid" as const, "salt" as const),
        label: fc.constant("Some"),
        amount: additions,
      }),
      fc.option(acids, { nil: undefined }),
    )
    .map(([step, acid]) => (acid ? { ...step, acid } : step)),
  fc
    .tuple(
      fc.record({
        ...common,
        kind: fc.constantFrom(...TIMED),
        pan: aPan,
        waitingFor: fc.constant(""),
        wait: fc.boolean(),
      }),
      fc.constantFrom(undefined, 0, 40, 130),
    )
    .map(([step, celsius]) => (celsius === undefined ? step : { ...step, celsius })),
);

const shelf: Shelf = {
  dyes: [dye("lantern")],
  bases: [quay, creel],
  stocks: [
    {
      id: "weak",
      name: "Weak",
      volumeUl: 100_000_000,
      dyes: { lantern: 1 },
      toMake: false,
      retired: false,
    },
    {
      id: "strong",
      name: "Strong",
      volumeUl: 1,
      dyes: { lantern: 1_000 },
      toMake: true,
      retired: false,
    },
    { id: "empty", name: "Empty", volumeUl: 0, dyes: {}, toMake: false, retired: true },
  ],
  tools: [],
  swatches: [],
};

const plans: fc.Arbitrary<Plan> = fc
  .record({
    steps: fc.array(steps, { maxLength: 12 }),
    water: fc.constantFrom(
      { by: "volume" as const, volumeUl: 0 },
      { by: "volume" as const, volumeUl: 100_000_000 },
      { by: "ratio" as const, ratio: 1_000 },
    ),
    massUg: massesUg,
    altitudeM: fc.constantFrom(-430, 0, 6_000),
    tapCelsius: fc.constantFrom(1, 60),
    roomCelsius: fc.constantFrom(0, 45),
    ringWatts: fc.constantFrom(1e-3, 2_000),
    rings: fc.nat(2),
  })
  .map(({ steps: list, water, massUg, ...room }) =>
    plan({
      pans: [pan("A", { water }), pan("B", { water, capacityUl: 0, panUg: 0 })],
      skeins: [{ ...skein("1", "A"), massUg }, { ...skein("2", "A", "creel"), massUg }, skein("3")],
      steps: list,
      workroom: { ...usualWorkroom, ...room },
    }),
  );

describe("a plan at the edges of what a file may hold", () => {
  test("is walked and answered in sentences, and nothing is thrown", () => {
    expect(shelfSchema.safeParse(shelf).success).toBe(true);
    fc.assert(
      fc.property(plans, (of) => {
        expect(planSchema.safeParse(of).error?.issues ?? []).toEqual([]);
        const { walked, warnings, baths } = prospectOf(of, shelf, "2031-05-17");
        for (const { say } of [...walked.problems, ...warnings])
          expect(say).toMatch(/^[^a-z].*\.$/);
        for (const { seconds } of walked.steps) {
          expect(Number.isSafeInteger(seconds) && seconds >= 0).toBe(true);
        }
        for (const { ph } of baths) expect(ph === null || (ph > 0 && ph < 14)).toBe(true);
        // What enters the record is what a record may hold.
        const event = { type: "opened" as const, setup: { ...walked.setup, stocks: {} } };
        const parsed = recordedEventSchema.safeParse({ seq: 1, at: 1, serverAt: 1, event });
        expect(parsed.error?.issues ?? []).toEqual([]);
      }),
      { numRuns: 1_500 },
    );
  });

  test("every step either enters the record, is a talk, takes no time, or has its problem told", () => {
    fc.assert(
      fc.property(plans, (of) => {
        const { steps: walked, problems, setup } = walk(of, shelf);
        const told = new Set(problems.map((problem) => problem.place.id));
        const entered = new Set(setup.steps.map((step) => step.id));
        for (const { step, seconds } of walked) {
          const accounted =
            entered.has(step.id) || told.has(step.id) || step.kind === "talk" || seconds === 0;
          expect(accounted).toBe(true);
        }
      }),
      { numRuns: 500 },
    );
  });
});

describe("the temperature of a pan", () => {
  const of = plan({
    pans: [pan("A")],
    skeins: [skein("1", "A")],
    steps: [
      timed("h", "heat", "A"),
      vinegar("v", "A", { ml: 200 }),
      timed("c", "cool", "A"),
      timed("r", "rinse", "A"),
    ],
  });
  const [heat, add, cool, rinse] = walk(of, shelf).steps;

  test("rises to what is usual for the dyes, falls with what is added, and cools to be rinsed", () => {
    expect(heat).toMatchObject({ fromCelsius: 15, toCelsius: 90 });
    // 2 L at 90 and 0.2 L at 15 degrees mix to 83.2.
    expect(add?.toCelsius).toBeCloseTo(83.18, 1);
    expect(cool?.toCelsius).toBe(40);
    expect(rinse?.toCelsius).toBe(15);
  });

  test("does not rise above boiling where the air is thin", () => {
    const high = { ...of, workroom: { ...usualWorkroom, altitudeM: 4_000 } };
    // About 86.6 degrees at 4,000 m, below the usual 90.
    const first = walk(high, shelf).steps[0];
    expect(first?.toCelsius).toBeLessThan(87);
    expect(first?.toCelsius).toBeGreaterThan(86);
  });
});
