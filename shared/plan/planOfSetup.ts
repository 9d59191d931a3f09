import type { AcidSource } from "../dye/acid.ts";
import type { Setup, Share, Step } from "../session/setup.ts";
import type { Shelf } from "../shelf/shelf.ts";
import { type Plan, type PlanStep, usualWorkroom, type Workroom } from "./plan.ts";

/** What a pour sheet does not say of its pans, and what they are taken to be. */
const USUAL_PAN = { lid: true, panUg: 1_500_000_000, metal: "stainless" } as const;

/**
 * The plan and shelf that a past session was opened with: the start of the next one. Amounts come
 * over as they are; classes of dye, lots and pans' metal are not in a setup and stand at what is
 * usual. The other way is `setupOfPlan`.
 */
export function planOfSetup(
  setup: Setup,
  workroom: Workroom = usualWorkroom,
): { plan: Plan; shelf: Shelf } {
  const shelf: Shelf = {
    dyes: Object.values(setup.dyes).map((dye) => ({
      ...dye,
      dyeClass: "unsure",
      retired: false,
    })),
    bases: Object.values(setup.bases).map((base) => ({ ...base, retired: false })),
    stocks: Object.values(setup.stocks).map((stock) => ({
      ...stock,
      toMake: false,
      retired: false,
    })),
    tools: [],
    swatches: [],
  };
  const plan: Plan = {
    name: setup.name,
    colourways: Object.values(setup.colourways),
    skeins: Object.values(setup.skeins),
    pans: Object.values(setup.pans).map(({ waterUl, ...pan }) => ({
      ...pan,
      ...USUAL_PAN,
      water: { by: "volume", volumeUl: waterUl },
    })),
    steps: setup.steps.map((step) => planStep(step, setup)),
    setOut: Object.keys(setup.stocks),
    presetsUl: setup.presetsUl,
    workroom,
  };
  return { plan, shelf };
}

/** Shares that are the skeins' own weights are shared by weight, as one alone is. */
function overOf(shares: readonly Share[], setup: Setup) {
  const byWeight =
    shares.length === 1 ||
    shares.every(({ skein, parts }) => setup.skeins[skein]?.massUg === parts);
  return shares.map(({ skein, parts }) => ({ skein, parts: byWeight ? null : parts }));
}

/** A pour sheet says what the acid is in words only: vinegar with its strength, or crystals. */
function acidIn(label: string): { acid?: AcidSource } {
  const [, pct] = /vinegar\D*(\d+(?:[.,]\d+)?)\s*%/i.exec(label) ?? [];
  if (pct !== undefined) return { acid: { kind: "vinegar", pct: Number(pct.replace(",", ".")) } };
  return /citric.*crystals?/i.test(label)
    ? { acid: { kind: "citricCrystals", form: "anhydrous" } }
    : {};
}

function planStep(step: Step, setup: Setup): PlanStep {
  const common = { id: step.id, onAir: true, seconds: null };
  switch (step.kind) {
    case "add": {
      const { pan, what, label, amount } = step;
      const planned =
        "volumeUl" in amount
          ? { by: "volume" as const, volumeUl: amount.volumeUl }
          : { by: "mass" as const, massUg: amount.massUg };
      const acid = what === "acid" ? acidIn(label) : {};
      return { ...common, kind: "add", pan, what, label, amount: planned, ...acid };
    }
    case "heat": {
      const { how, pan, seconds, waitingFor, wait, celsius } = step;
      const kind = how === "stove" ? "hold" : how;
      const hot = celsius === undefined ? {} : { celsius };
      return { ...common, seconds, kind, pan, waitingFor, wait, ...hot };
    }
    case "pour": {
      const { source, pan, shares, technique, coverage, placement } = step.pour;
      return {
        ...common,
        kind: "pour",
        pour: {
          source:
            source.from === "vessel"
              ? { from: "stock", stock: source.vessel }
              : { from: "powder", dye: source.dye },
          pan,
          over: step.whole ? "all" : overOf(shares, setup),
          amount: planAmount(source),
          technique,
          coverage,
          ...(placement === undefined ? {} : { placement }),
        },
      };
    }
  }
}

type Pouring = Extract<Step, { kind: "pour" }>["pour"];

function planAmount(
  source: Pouring["source"],
): Extract<PlanStep, { kind: "pour" }>["pour"]["amount"] {
  if (source.from === "powder") return { by: "mass", ...source.amount };
  const { how, volumeUl, plusMinusUl, drops } = source.amount;
  return drops === undefined
    ? { by: "volume", volumeUl, how, plusMinusUl }
    : { by: "drops", drops, dropUl: volumeUl / drops };
}
