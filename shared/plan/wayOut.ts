import { mulDivRound } from "../dye/mulDiv.ts";
import { addMasses, massOf } from "../dye/vessel.ts";
import type { Id } from "../session/setup.ts";
import { type Shelf, type ShelfStock, shelved } from "../shelf/shelf.ts";
import { applyWayOut, foresee, type WayOut } from "./foresight.ts";
import type { Pace } from "./pace.ts";
import type { Plan, PlanStep } from "./plan.ts";
import { walk } from "./walk.ts";

/** Stock that is added when the rounding of a strength leaves a pour by depth a uL short, uL. */
const topUpUl = 1_000;
const mostTopUps = 3;

/**
 * A way out of a shortage, taken: the plan and the shelf after it. A cut fixes its pours in mL;
 * making up and diluting change bottles on the shelf. A bottle that is made again has its strength
 * rounded to a ug, which may lengthen a pour given by depth: then a mL more is made.
 */
export function takeWayOut(
  plan: Plan,
  shelf: Shelf,
  way: WayOut,
  pace?: Pace,
): { plan: Plan; shelf: Shelf } {
  if (way.way === "cut") return { plan: cutPlan(plan, shelf, way, pace), shelf };
  let wished = way;
  let next = stockedBy(shelf, wished);
  for (let more = 0; more < mostTopUps && isShort(plan, next, way.stock, pace); more++) {
    wished = larger(shelf, wished);
    next = stockedBy(shelf, wished);
  }
  return { plan, shelf: next };
}

function isShort(plan: Plan, shelf: Shelf, stock: Id, pace?: Pace): boolean {
  const { shortages } = foresee(walk(plan, shelf, pace).setup);
  return shortages.some((shortage) => shortage.stock === stock);
}

function stockedBy(shelf: Shelf, way: Exclude<WayOut, { way: "cut" }>): Shelf {
  const stock = shelf.stocks.find((one) => one.id === way.stock);
  if (!stock) return shelf;
  if (way.way === "makeUp") {
    const volumeUl = stock.volumeUl + way.volumeUl;
    return shelved(shelf, "stocks", {
      ...stock,
      volumeUl,
      dyes: addMasses(stock.dyes, way.powderUg),
    });
  }
  const from = shelf.stocks.find((one) => one.id === way.from);
  if (!from) return shelf;
  const drawn: Record<Id, number> = {};
  const rest: Record<Id, number> = {};
  for (const dye of Object.keys(from.dyes)) {
    const massUg = massOf(from.dyes, dye);
    drawn[dye] = mulDivRound(massUg, way.fromUl, from.volumeUl);
    rest[dye] = massUg - (drawn[dye] ?? 0);
  }
  const into: ShelfStock = {
    ...stock,
    volumeUl: stock.volumeUl + way.fromUl + way.waterUl,
    dyes: addMasses(stock.dyes, drawn),
  };
  const weaker = { ...from, volumeUl: from.volumeUl - way.fromUl, dyes: rest };
  return shelved(shelved(shelf, "stocks", into), "stocks", weaker);
}

function larger(
  shelf: Shelf,
  way: Exclude<WayOut, { way: "cut" }>,
): Exclude<WayOut, { way: "cut" }> {
  if (way.way === "makeUp") {
    const volumeUl = way.volumeUl + topUpUl;
    const powderUg: Record<Id, number> = {};
    for (const [dye, ug] of Object.entries(way.powderUg)) {
      powderUg[dye] = mulDivRound(ug, volumeUl, way.volumeUl);
    }
    return { ...way, volumeUl, powderUg };
  }
  const held = shelf.stocks.find((one) => one.id === way.from)?.volumeUl ?? 0;
  const madeUl = way.fromUl + way.waterUl;
  const fromUl = Math.min(held, mulDivRound(way.fromUl, madeUl + topUpUl, madeUl));
  return { ...way, fromUl, waterUl: madeUl + topUpUl - fromUl };
}

function cutPlan(
  plan: Plan,
  shelf: Shelf,
  way: Extract<WayOut, { way: "cut" }>,
  pace?: Pace,
): Plan {
  const after = applyWayOut(walk(plan, shelf, pace).setup, way);
  const poured = new Map(after.steps.map((step) => [step.id, step]));
  const cut = new Set(way.pours.map(({ step }) => step));
  const steps = plan.steps.map((step): PlanStep => {
    const now = poured.get(step.id);
    if (step.kind !== "pour" || !cut.has(step.id) || now?.kind !== "pour") return step;
    const { source } = now.pour;
    if (source.from !== "vessel") return step;
    const { how, volumeUl, plusMinusUl, drops } = source.amount;
    const amount =
      drops === undefined
        ? { by: "volume" as const, volumeUl, how, plusMinusUl }
        : { by: "drops" as const, drops, dropUl: volumeUl / drops };
    return { ...step, pour: { ...step.pour, amount } };
  });
  return { ...plan, steps };
}
