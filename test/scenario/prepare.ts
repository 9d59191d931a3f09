import {
  emptyPlan,
  type Plan,
  type PlanPan,
  type PlanStep,
  type TimedKind,
} from "../../shared/plan/plan.ts";
import type { Shelf, ShelfBase, ShelfDye, ShelfStock } from "../../shared/shelf/shelf.ts";

/** Invented dyes, yarns and bottles, and short ways to say plans with them. */

export const dye = (id: string, change: Partial<ShelfDye> = {}): ShelfDye => ({
  id,
  name: id.charAt(0).toUpperCase() + id.slice(1),
  dyeClass: "levelling",
  hazards: [],
  hex: "#2e6e86",
  swatchDepthPct: 1,
  swatchBaseHex: "#f3ecdf",
  retired: false,
  ...change,
});

export const stock = (
  id: string,
  of: string,
  ml: number,
  pct: number,
  change: Partial<ShelfStock> = {},
): ShelfStock => ({
  id,
  name: id.charAt(0).toUpperCase() + id.slice(1),
  volumeUl: ml * 1_000,
  dyes: { [of]: Math.round(ml * pct * 10_000) },
  toMake: false,
  retired: false,
  ...change,
});

export const quay: ShelfBase = {
  id: "quay",
  name: "Quay sock",
  fibres: [
    { fibre: "wool", pct: 75 },
    { fibre: "nylon", pct: 25 },
  ],
  superwash: true,
  hex: "#efe6d6",
  flecks: [],
  retired: false,
};

export const creel: ShelfBase = {
  id: "creel",
  name: "Creel tweed",
  fibres: [
    { fibre: "wool", pct: 80 },
    { fibre: "viscose", pct: 20 },
  ],
  superwash: false,
  hex: "#d9cdb8",
  flecks: [{ name: "peat", hex: "#5a4632" }],
  retired: false,
};

export const shelf: Shelf = {
  dyes: [
    dye("lantern"),
    dye("slipway", { dyeClass: "milling" }),
    dye("deepwater", { dyeClass: "metalComplex", onHandUg: 20_000_000 }),
  ],
  bases: [quay, creel],
  stocks: [
    stock("lantern", "lantern", 150, 1),
    stock("slipway", "slipway", 200, 0.5),
    stock("deepwater", "deepwater", 200, 1, { toMake: true }),
  ],
  tools: [],
  swatches: [],
};

export const pan = (id: string, change: Partial<PlanPan> = {}): PlanPan => ({
  id,
  name: id,
  capacityUl: 6_000_000,
  water: { by: "volume", volumeUl: 2_000_000 },
  method: "immersion",
  lid: true,
  panUg: 1_500_000_000,
  metal: "stainless",
  ...change,
});

export const skein = (id: string, inPan?: string, base = "quay", g = 50) => ({
  id,
  name: `Skein ${id}`,
  base,
  massUg: g * 1_000_000,
  ...(inPan === undefined ? {} : { pan: inPan }),
});

type Amount = { ml: number } | { depthPct: number };

export const pour = (
  id: string,
  from: string,
  inPan: string,
  amount: Amount,
  skeins?: readonly string[],
): PlanStep => ({
  id,
  kind: "pour",
  onAir: true,
  seconds: null,
  pour: {
    source: { from: "stock", stock: from },
    pan: inPan,
    over: skeins ? skeins.map((one) => ({ skein: one, parts: null })) : "all",
    amount:
      "ml" in amount
        ? { by: "volume", volumeUl: Math.round(amount.ml * 1_000), how: "measured", plusMinusUl: 0 }
        : { by: "depth", pct: amount.depthPct },
    technique: "immersion",
    coverage: 1,
  },
});

export const timed = (
  id: string,
  kind: TimedKind,
  inPan: string,
  minutes: number | null = null,
  change: { celsius?: number; wait?: boolean; onAir?: boolean } = {},
): PlanStep => ({
  id,
  kind,
  pan: inPan,
  onAir: true,
  seconds: minutes === null ? null : minutes * 60,
  waitingFor: "",
  wait: false,
  ...change,
});

export const vinegar = (
  id: string,
  inPan: string,
  amount: { ml: number } | { pct: number } | { ph: number },
): PlanStep => ({
  id,
  kind: "add",
  onAir: true,
  seconds: null,
  pan: inPan,
  what: "acid",
  label: "Vinegar",
  acid: { kind: "vinegar", pct: 5 },
  amount:
    "ml" in amount
      ? { by: "volume", volumeUl: Math.round(amount.ml * 1_000) }
      : "pct" in amount
        ? { by: "pctOfFibre", pct: amount.pct }
        : { by: "ph", ph: amount.ph },
});

export const plan = (parts: Partial<Plan>): Plan => ({ ...emptyPlan, name: "Ebb", ...parts });

/** Two skeins in one pan: soured, poured on, heated, held and left to cool. */
export const onePan: Plan = plan({
  skeins: [skein("1", "A"), skein("2", "A")],
  pans: [pan("A")],
  steps: [
    vinegar("v", "A", { pct: 2 }),
    pour("p1", "lantern", "A", { depthPct: 0.5 }),
    pour("p2", "slipway", "A", { ml: 20 }, ["2"]),
    timed("h", "heat", "A"),
    timed("k", "hold", "A"),
    timed("c", "cool", "A", null, { onAir: false }),
  ],
});
