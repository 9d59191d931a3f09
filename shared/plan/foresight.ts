import { showMass, showVolume } from "../dye/display.ts";
import { mulDivCeil, mulDivFloor, mulDivRound } from "../dye/mulDiv.ts";
import { shareOut } from "../dye/shareOut.ts";
import { strengthPct } from "../dye/strength.ts";
import { addMasses, type DyeMasses, type Liquor, massOf, totalUg } from "../dye/vessel.ts";
import type { Id, Setup, Step } from "../session/setup.ts";

/** A bottle that does not hold what the plan draws from it. */
export type Shortage = {
  stock: Id;
  /** The first pour it cannot give: its id, its place among all steps and among pours, from 1. */
  step: Id;
  stepNumber: number;
  pourNumber: number;
  /** What is missing at that pour, and in the plan as a whole, uL; both above 0. */
  shortAtPourUl: number;
  shortUl: number;
  /** What the bottle holds and what the plan draws from it, uL. */
  heldUl: number;
  drawnUl: number;
  ways: readonly WayOut[];
};

/** One way out of a shortage; `applyWayOut` makes it so. `say` tells it to the dyer. */
export type WayOut =
  | {
      way: "makeUp";
      stock: Id;
      /** Stock to make at the bottle's own strength, uL, and the powder in it, ug per dye. */
      volumeUl: number;
      powderUg: DyeMasses;
      say: string;
    }
  | {
      way: "dilute";
      stock: Id;
      from: Id;
      /** Drawn from the stronger bottle, and water to it, uL. */
      fromUl: number;
      waterUl: number;
      say: string;
    }
  | {
      way: "cut";
      stock: Id;
      /** New amounts of the bottle's pours, uL, in the proportions they had. */
      pours: readonly { step: Id; volumeUl: number }[];
      /** What is left of each pour, as a share of what was planned. */
      keptShare: number;
      say: string;
    };

export type StockUse = { stock: Id; heldUl: number; drawnUl: number; leftUl: number };

/** What lies ahead: walked once through the plan, in its order. */
export type Foresight = {
  /** Bottles that run short, in the order in which they do. */
  shortages: readonly Shortage[];
  uses: readonly StockUse[];
  /** Dry powder poured as such, ug per dye. */
  powderPouredUg: DyeMasses;
};

type Pouring = Extract<Step, { kind: "pour" }>;
type Draw = { step: Pouring; stepNumber: number; pourNumber: number; volumeUl: number };

/** Amounts that are made up or diluted are rounded up to this, uL: a mL is what a bench reads. */
const makeUpStepUl = 1_000;

/**
 * Walks a plan in order: which bottle runs short first, at which pour, by how much, and how to get
 * out of it. Every way out, applied, leaves that bottle enough and makes no other bottle short.
 *
 * @param setup bottles as they stand and the steps that are still to come
 */
export function foresee(setup: Setup): Foresight {
  const draws = new Map<Id, Draw[]>();
  let powderPouredUg: DyeMasses = {};
  let pourNumber = 0;
  setup.steps.forEach((step, at) => {
    if (step.kind !== "pour") return;
    pourNumber += 1;
    const { source } = step.pour;
    if (source.from === "powder") {
      powderPouredUg = addMasses(powderPouredUg, { [source.dye]: source.amount.massUg });
      return;
    }
    const { volumeUl } = source.amount;
    const draw = { step, stepNumber: at + 1, pourNumber, volumeUl };
    const list = draws.get(source.vessel);
    if (list) list.push(draw);
    else draws.set(source.vessel, [draw]);
  });
  const uses = Object.values(setup.stocks).map(({ id, volumeUl }): StockUse => {
    const drawnUl = (draws.get(id) ?? []).reduce((sum, draw) => sum + draw.volumeUl, 0);
    return { stock: id, heldUl: volumeUl, drawnUl, leftUl: volumeUl - drawnUl };
  });
  const shortages = uses
    .filter((use) => use.leftUl < 0)
    .map((use) => shortageOf(setup, use, draws.get(use.stock) ?? [], uses))
    .filter((shortage) => shortage !== null)
    .sort((a, b) => a.stepNumber - b.stepNumber);
  return { shortages, uses, powderPouredUg };
}

/** The setup with a way out taken. The bottle it is for then gives all that is drawn from it. */
export function applyWayOut(setup: Setup, way: WayOut): Setup {
  const stock = setup.stocks[way.stock];
  if (!stock) return setup;
  switch (way.way) {
    case "makeUp": {
      const volumeUl = stock.volumeUl + way.volumeUl;
      const dyes = addMasses(stock.dyes, way.powderUg);
      return withStocks(setup, { ...stock, volumeUl, dyes });
    }
    case "dilute": {
      const from = setup.stocks[way.from];
      if (!from) return setup;
      const drawn = partOf(from, way.fromUl);
      const into = {
        ...stock,
        volumeUl: stock.volumeUl + way.fromUl + way.waterUl,
        dyes: addMasses(stock.dyes, drawn.dyes),
      };
      const rest = {
        ...from,
        volumeUl: from.volumeUl - way.fromUl,
        dyes: less(from.dyes, drawn.dyes),
      };
      return withStocks(setup, into, rest);
    }
    case "cut": {
      const amounts = new Map(way.pours.map(({ step, volumeUl }) => [step, volumeUl]));
      const steps = setup.steps.map((step) => {
        const volumeUl = amounts.get(step.id);
        return volumeUl === undefined || step.kind !== "pour" ? step : cutTo(step, volumeUl);
      });
      return { ...setup, steps };
    }
  }
}

function shortageOf(
  setup: Setup,
  use: StockUse,
  draws: readonly Draw[],
  uses: readonly StockUse[],
): Shortage | null {
  let gone = 0;
  for (const draw of draws) {
    gone += draw.volumeUl;
    if (gone <= use.heldUl) continue;
    const { step, stepNumber, pourNumber } = draw;
    return {
      stock: use.stock,
      step: step.id,
      stepNumber,
      pourNumber,
      shortAtPourUl: Math.min(draw.volumeUl, gone - use.heldUl),
      shortUl: -use.leftUl,
      heldUl: use.heldUl,
      drawnUl: use.drawnUl,
      ways: waysOut(setup, use, draws, uses),
    };
  }
  return null;
}

function waysOut(
  setup: Setup,
  use: StockUse,
  draws: readonly Draw[],
  uses: readonly StockUse[],
): WayOut[] {
  const wantedUl = Math.ceil(-use.leftUl / makeUpStepUl) * makeUpStepUl;
  const ways: (WayOut | null)[] = [
    makeUp(setup, use.stock, wantedUl),
    ...uses.map((from) => dilute(setup, use.stock, wantedUl, from)),
    cut(setup, use, draws),
  ];
  return ways.filter((way) => way !== null);
}

function makeUp(setup: Setup, id: Id, volumeUl: number): WayOut | null {
  const stock = setup.stocks[id];
  if (!stock || stock.volumeUl === 0) return null;
  const powderUg: Record<Id, number> = {};
  for (const dye of Object.keys(stock.dyes)) {
    powderUg[dye] = mulDivRound(massOf(stock.dyes, dye), volumeUl, stock.volumeUl);
  }
  const weighed = Object.entries(powderUg)
    .map(([dye, ug]) => `${showMass(ug)} of ${setup.dyes[dye]?.name ?? dye} powder`)
    .join(" and ");
  const say = `Make up ${showVolume(volumeUl)} more of ${stock.name}: ${weighed}, with water to ${showVolume(volumeUl)}.`;
  return { way: "makeUp", stock: id, volumeUl, powderUg, say };
}

function dilute(setup: Setup, id: Id, volumeUl: number, use: StockUse): WayOut | null {
  const stock = setup.stocks[id];
  const from = setup.stocks[use.stock];
  if (!stock || !from || stock === from || stock.volumeUl === 0 || from.volumeUl === 0) return null;
  if (!sameDyes(stock, from)) return null;
  const own = strengthPct(totalUg(stock.dyes), stock.volumeUl);
  const stronger = strengthPct(totalUg(from.dyes), from.volumeUl);
  if (!(own > 0) || stronger < own * (1 - closeShare)) return null;
  const fromUl = Math.min(volumeUl, Math.round((volumeUl * own) / stronger));
  if (fromUl <= 0 || fromUl > use.leftUl) return null;
  const waterUl = volumeUl - fromUl;
  const say =
    waterUl === 0
      ? `Take ${showVolume(fromUl)} from the bottle ${from.name}.`
      : `Dilute ${showVolume(fromUl)} of ${from.name} with ${showVolume(waterUl)} of water.`;
  return { way: "dilute", stock: id, from: from.id, fromUl, waterUl, say };
}

function cut(setup: Setup, use: StockUse, draws: readonly Draw[]): WayOut | null {
  const stock = setup.stocks[use.stock];
  if (!stock || use.heldUl === 0) return null;
  const volumes = shareOut(
    use.heldUl,
    draws.map((draw) => draw.volumeUl),
  );
  // A pour of nothing is no pour, so a bottle that cannot give each of them a uL is not cut.
  if (volumes.some((volumeUl) => volumeUl === 0)) return null;
  const pours = draws.map((draw, at) => ({ step: draw.step.id, volumeUl: volumes[at] ?? 0 }));
  const keptShare = use.heldUl / use.drawnUl;
  const pct = Math.round(keptShare * 1_000) / 10;
  const which = draws.length === 1 ? "its pour" : `its ${draws.length} pours`;
  const say = `Cut ${which} of ${stock.name} to ${pct}\u202f% of what was planned.`;
  return { way: "cut", stock: use.stock, pours, keptShare, say };
}

/** How far two strengths may be apart and still be called the same mix. */
const closeShare = 1e-3;

/** Whether two bottles hold the same dyes in the same proportions, to 0.1 %. */
function sameDyes(a: Liquor, b: Liquor): boolean {
  const [sumA, sumB] = [totalUg(a.dyes), totalUg(b.dyes)];
  if (sumA === 0 || sumB === 0) return false;
  const dyes = new Set([...Object.keys(a.dyes), ...Object.keys(b.dyes)]);
  return [...dyes].every(
    (dye) => Math.abs(massOf(a.dyes, dye) / sumA - massOf(b.dyes, dye) / sumB) <= closeShare,
  );
}

function partOf(liquor: Liquor, volumeUl: number): Liquor {
  const dyes: Record<Id, number> = {};
  for (const dye of Object.keys(liquor.dyes)) {
    dyes[dye] = mulDivRound(massOf(liquor.dyes, dye), volumeUl, liquor.volumeUl);
  }
  return { volumeUl, dyes };
}

function less(a: DyeMasses, b: DyeMasses): DyeMasses {
  const rest: Record<Id, number> = {};
  for (const dye of Object.keys(a)) rest[dye] = massOf(a, dye) - massOf(b, dye);
  return rest;
}

function withStocks(setup: Setup, ...stocks: readonly Setup["stocks"][string][]): Setup {
  const changed = Object.fromEntries(stocks.map((stock) => [stock.id, stock]));
  return { ...setup, stocks: { ...setup.stocks, ...changed } };
}

/** A pour with a smaller amount; counted drops are cut to whole drops, and its doubt with it. */
function cutTo(step: Pouring, volumeUl: number): Pouring {
  const { source } = step.pour;
  if (source.from !== "vessel" || volumeUl >= source.amount.volumeUl) return step;
  const { drops, ...amount } = source.amount;
  const plusMinusUl = mulDivCeil(amount.plusMinusUl, volumeUl, amount.volumeUl);
  const fewer = drops === undefined ? 0 : mulDivFloor(drops, volumeUl, amount.volumeUl);
  const cutAmount =
    drops === undefined || fewer === 0
      ? { ...amount, volumeUl, plusMinusUl }
      : {
          ...amount,
          volumeUl: mulDivFloor(amount.volumeUl, fewer, drops),
          plusMinusUl,
          drops: fewer,
        };
  return { ...step, pour: { ...step.pour, source: { ...source, amount: cutAmount } } };
}
