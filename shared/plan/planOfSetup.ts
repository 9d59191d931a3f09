import type { Setup, Step } from "../session/setup.ts";
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
    steps: setup.steps.map(planStep),
    setOut: Object.keys(setup.stocks),
    presetsUl: setup.presetsUl,
    workroom,
  };
  return { plan, shelf };
}

function planStep(step: Step): PlanStep {
  const common = { id: step.id, onAir: true, seconds: null };
  switch (step.kind) {
    case "add": {
      const { pan, what, label, amount } = step;
      const planned =
        "volumeUl" in amount
          ? { by: "volume" as const, volumeUl: amount.volumeUl }
          : { by: "mass" as const, massUg: amount.massUg };
      return { ...common, kind: "add", pan, what, label, amount: planned };
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
          over: step.whole ? "all" : shares.map((share) => ({ ...share })),
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
