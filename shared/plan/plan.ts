import * as z from "zod";
import { idSchema, maxMassUg, maxVolumeUl, nameSchema } from "../session/command.ts";
import type { Id } from "../session/setup.ts";
import type { Frozen } from "../shelf/frozen.ts";
import { type Problem, pctSchema } from "../shelf/shelf.ts";

const volumeUl = z.int().positive().max(maxVolumeUl);
const massUg = z.int().positive().max(maxMassUg);
const number = z.number({ error: "This is not a number. Write it as digits, such as 12 or 0.5." });
const ratioSchema = number.positive().max(1_000);
const celsius = number.min(0).max(130);
const watts = number.positive().max(20_000);
/** How long a step takes; null where it is worked out, or taken from past sessions. */
const secondsSchema = z
  .int()
  .positive()
  .max(48 * 3_600)
  .nullable();

export const colourwaySchema = z.strictObject({ id: idSchema, name: nameSchema });

export const planSkeinSchema = z.strictObject({
  id: idSchema,
  name: nameSchema,
  base: idSchema,
  /** Dry fibre, ug. */
  massUg,
  colourway: idSchema.exactOptional(),
  pan: idSchema.exactOptional(),
  /** The depth of shade it is meant to reach, % owf. */
  targetPct: pctSchema.exactOptional(),
});

export const planPanSchema = z.strictObject({
  id: idSchema,
  name: nameSchema,
  /** What it holds to the brim; 0 while nobody has measured it. */
  capacityUl: z.int().nonnegative().max(maxVolumeUl),
  water: z.discriminatedUnion("by", [
    z.strictObject({ by: z.literal("volume"), volumeUl: z.int().nonnegative().max(maxVolumeUl) }),
    z.strictObject({ by: z.literal("ratio"), ratio: ratioSchema }),
  ]),
  method: z.enum(["immersion", "lowWater", "painted", "dipped"]),
  lid: z.boolean(),
  /** The empty pan, ug: it is heated as well. */
  panUg: z.int().nonnegative().max(maxMassUg),
  metal: z.enum(["stainless", "aluminium", "enamelled"]),
});

const acidSourceSchema = z.discriminatedUnion("kind", [
  z.strictObject({ kind: z.literal("vinegar"), pct: pctSchema }),
  z.strictObject({
    kind: z.literal("citricCrystals"),
    form: z.enum(["anhydrous", "monohydrate"]),
  }),
  z.strictObject({
    kind: z.literal("citricStock"),
    pct: pctSchema,
    form: z.enum(["anhydrous", "monohydrate"]),
  }),
]);

const pourAmountSchema = z.discriminatedUnion("by", [
  z.strictObject({
    by: z.literal("volume"),
    volumeUl,
    how: z.enum(["measured", "estimated", "unsettled"]),
    plusMinusUl: z.int().nonnegative().max(maxVolumeUl),
  }),
  z.strictObject({ by: z.literal("depth"), pct: pctSchema }),
  z.strictObject({
    by: z.literal("drops"),
    drops: z.int().positive().max(10_000),
    dropUl: number.positive().max(1_000),
  }),
  z.strictObject({
    by: z.literal("mass"),
    massUg,
    how: z.enum(["measured", "estimated"]),
    plusMinusUg: z.int().nonnegative().max(maxMassUg),
  }),
]);

export const planPourSchema = z.strictObject({
  source: z.discriminatedUnion("from", [
    z.strictObject({ from: z.literal("stock"), stock: idSchema }),
    z.strictObject({ from: z.literal("powder"), dye: idSchema }),
  ]),
  pan: idSchema,
  /** All skeins of the pan by weight, or some of them; `parts` null is by weight too. */
  over: z.union([
    z.literal("all"),
    z
      .array(
        z.strictObject({ skein: idSchema, parts: z.int().positive().max(maxMassUg).nullable() }),
      )
      .min(1)
      .max(200),
  ]),
  amount: pourAmountSchema,
  technique: z.enum(["immersion", "lowWater", "painted", "dripped", "speckled"]),
  /** Share of each skein that it touches, above 0 to 1. */
  coverage: number.positive().max(1),
  placement: z.string().trim().max(200).exactOptional(),
});

const addAmountSchema = z.discriminatedUnion("by", [
  z.strictObject({ by: z.literal("volume"), volumeUl }),
  z.strictObject({ by: z.literal("mass"), massUg }),
  /** Of dry fibre; acid as pure acid, citric as anhydrous. */
  z.strictObject({ by: z.literal("pctOfFibre"), pct: pctSchema }),
  /** Acid until the bath has this pH before the yarn. */
  z.strictObject({ by: z.literal("ph"), ph: number.min(2).max(7) }),
  /** Water until the bath has this liquor ratio, mL a gram. */
  z.strictObject({ by: z.literal("ratio"), ratio: ratioSchema }),
]);

const common = { id: idSchema, onAir: z.boolean(), seconds: secondsSchema };

/** The kinds of step that take time by themselves, in a pan. */
export const TIMED = [
  "wetOut",
  "heat",
  "hold",
  "steam",
  "oven",
  "cool",
  "rest",
  "rinse",
  "dry",
] as const;

export const planStepSchema = z.discriminatedUnion("kind", [
  z.strictObject({ ...common, kind: z.literal("pour"), pour: planPourSchema }),
  z.strictObject({
    ...common,
    kind: z.literal("add"),
    pan: idSchema,
    what: z.enum(["water", "acid", "salt"]),
    label: nameSchema,
    amount: addAmountSchema,
    /** What the acid comes as; only where acid is added. */
    acid: acidSourceSchema.exactOptional(),
  }),
  z.strictObject({
    ...common,
    kind: z.enum(TIMED),
    pan: idSchema,
    celsius: celsius.exactOptional(),
    waitingFor: z.string().trim().max(120),
    /** True when the session waits for it; false when other pans go on meanwhile. */
    wait: z.boolean(),
  }),
  z.strictObject({ ...common, kind: z.literal("talk"), about: nameSchema }),
]);

/** What the workroom has, and what counts there. */
export const workroomSchema = z.strictObject({
  rings: z.int().nonnegative().max(20),
  ringWatts: watts,
  /** Share of the ring's power that reaches a pan: a usual figure until a heating was timed. */
  ringEfficiency: number.positive().max(1),
  steamers: z.int().nonnegative().max(20),
  ovens: z.int().nonnegative().max(20),
  altitudeM: number.min(-430).max(6_000),
  roomCelsius: number.min(0).max(45),
  tapCelsius: number.min(1).max(60),
  /** Total alkalinity of the water, mg of CaCO3 in a litre, as its supplier gives it. */
  alkalinityMgPerL: number.min(0).max(1_000).exactOptional(),
  /** How long the stream may be, s. */
  streamSeconds: z
    .int()
    .positive()
    .max(24 * 3_600)
    .exactOptional(),
  /** Depths of shade above which a warning stands, % owf. */
  limitPct: pctSchema,
  nylonLimitPct: pctSchema,
});

/** The most pours that a plan may have. */
export const mostPours = 1_999;

/** An editable plan. Amounts are exact integers; names lead to the shelf. */
export const planSchema = z.strictObject({
  name: nameSchema,
  colourways: z.array(colourwaySchema).max(200),
  skeins: z.array(planSkeinSchema).max(200),
  pans: z.array(planPanSchema).max(50),
  steps: z.array(planStepSchema).max(4_000),
  /** Bottles that stand on the bench besides those the steps pour from, to improvise with. */
  setOut: z.array(idSchema).max(200),
  presetsUl: z.array(volumeUl).max(12),
  workroom: workroomSchema,
});

export type Plan = Frozen<z.infer<typeof planSchema>>;
export type PlanColourway = Plan["colourways"][number];
export type PlanSkein = Plan["skeins"][number];
export type PlanPan = Plan["pans"][number];
export type PlanStep = Plan["steps"][number];
export type PlanPour = Frozen<z.infer<typeof planPourSchema>>;
export type PourStep = Extract<PlanStep, { kind: "pour" }>;
export type AddStep = Extract<PlanStep, { kind: "add" }>;
export type TimedKind = (typeof TIMED)[number];
export type TimedStep = Extract<PlanStep, { kind: TimedKind }>;
export type Workroom = Plan["workroom"];
export type PlanPart = "colourways" | "skeins" | "pans" | "steps";

/** 4 % to begin with, and half of that where there is nylon (common practice, no source). */
export const usualWorkroom: Workroom = {
  rings: 2,
  ringWatts: 1_800,
  ringEfficiency: 0.6,
  steamers: 1,
  ovens: 0,
  altitudeM: 0,
  roomCelsius: 20,
  tapCelsius: 15,
  limitPct: 4,
  nylonLimitPct: 2,
};

export const emptyPlan: Plan = {
  name: "New session",
  colourways: [],
  skeins: [],
  pans: [],
  steps: [],
  setOut: [],
  presetsUl: [1_000, 5_000, 10_000, 25_000],
  workroom: usualWorkroom,
};

/** Where in a plan something is said: a line of a screen. */
export type Place = { part: PlanPart | "workroom" | "stocks"; id: Id | null };

/** The pan that a step is about; a talk has none. */
export function panOfStep(step: PlanStep): Id | null {
  if (step.kind === "talk") return null;
  return step.kind === "pour" ? step.pour.pan : step.pan;
}

export function isTimed(step: PlanStep): step is TimedStep {
  return (TIMED as readonly string[]).includes(step.kind);
}

/** Names that stand twice or lead nowhere inside a plan: what zod alone cannot see. */
export function planProblems(plan: Plan): Problem[] {
  const problems: Problem[] = [];
  const parts = ["colourways", "skeins", "pans", "steps"] as const;
  const ids = Object.fromEntries(parts.map((part) => [part, new Set<Id>()])) as Record<
    PlanPart,
    Set<Id>
  >;
  for (const part of parts) {
    plan[part].forEach(({ id }, at) => {
      if (ids[part].has(id)) {
        const say = `"${id}" stands twice. Give one another short name.`;
        problems.push({ at: `${part} ${at + 1}`, code: "plan.twice", say });
      }
      ids[part].add(id);
    });
  }
  const lost = (at: string, what: string, id: Id) =>
    problems.push({ at, code: "plan.unknown", say: `There is no ${what} "${id}" in this plan.` });
  plan.skeins.forEach(({ pan, colourway }, at) => {
    const place = `skeins ${at + 1}`;
    if (pan !== undefined && !ids.pans.has(pan)) lost(place, "pan", pan);
    if (colourway !== undefined && !ids.colourways.has(colourway)) {
      lost(place, "colourway", colourway);
    }
  });
  plan.steps.forEach((step, at) => {
    const place = `steps ${at + 1}`;
    const pan = panOfStep(step);
    if (pan !== null && !ids.pans.has(pan)) lost(place, "pan", pan);
    if (step.kind !== "pour" || step.pour.over === "all") return;
    const named = new Set<Id>();
    for (const { skein } of step.pour.over) {
      if (!ids.skeins.has(skein)) lost(place, "skein", skein);
      if (named.has(skein)) {
        problems.push({
          at: place,
          code: "plan.twice",
          say: `Skein "${skein}" stands twice in one pour.`,
        });
      }
      named.add(skein);
    }
  });
  return problems;
}
