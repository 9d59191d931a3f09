import { type Fraction, fractionOf, over, rounded, times } from "../../dye/fraction.ts";
import { mulDivRound } from "../../dye/mulDiv.ts";
import type { Tool } from "../../dye/tool.ts";
import type { Id } from "../setup.ts";
import type { PublicPour, PublicView } from "./publicView.ts";

/**
 * Whose yarn the amounts are for: as in the session, or so many ug a skein, in all of one colourway
 * (and nothing of the others), or in the whole set.
 */
export type OwnFibre =
  | { of: "session" }
  | { of: "skein"; massUg: number }
  | { of: "colourway"; colourway: string; massUg: number }
  | { of: "set"; massUg: number };

/** What a viewer has, as far as it differs from the session. */
export type Own = {
  fibre: OwnFibre;
  /** Strength of the viewer's own stock of a dye, % w/v (above 0 to 100), by dye. */
  dyePct: Readonly<Record<Id, number>>;
  /** Strength of the viewer's own bottle of a stock of several dyes, % w/v in all, by bottle. */
  mixPct: Readonly<Record<Id, number>>;
  /** True where the viewer has no stocks: every pour is weighed as dry powder. */
  powder: boolean;
  tool: Tool | null;
};

export const asInSession: Own = {
  fibre: { of: "session" },
  dyePct: {},
  mixPct: {},
  powder: false,
  tool: null,
};

/**
 * So much of the session's fibre has so much of the viewer's in its place, ug; `fromUg` above 0,
 * `toUg` 0 where the viewer does not dye it.
 */
export type Ratio = { fromUg: number; toUg: number };

/** A viewer's fibre and stocks set against a session's. */
export type Terms = {
  own: Own;
  /** By skein: its fibre, and the viewer's in its place. */
  skeins: Readonly<Record<Id, Ratio>>;
  /** The skeins that the plan pours on, their fibre and the viewer's, both in all. */
  set: { skeins: readonly Id[]; ratio: Ratio };
  /** Strengths of the session's bottles of one dye only, % w/v, strongest first, by dye. */
  singlePct: Readonly<Record<Id, readonly number[]>>;
};

/**
 * Sets a viewer's fibre against the session's. The whole set is the skeins of the planned pours,
 * done or not, so that it does not change when somebody improvises; without a plan it is every
 * skein of the session.
 */
export function ownTerms(view: PublicView, own: Own): Terms {
  const setSkeins = skeinsOfPlan(view);
  const setUg = fibreUgOf(view, setSkeins);
  const { fibre } = own;
  const wanted = fibre.of === "colourway" ? skeinsOfColourway(view, fibre.colourway) : [];
  // A colourway that is no longer there is nobody's: the amounts are the session's own.
  const gone = fibre.of === "colourway" && wanted.length === 0;
  const wantedUg = fibreUgOf(view, wanted);
  const ratioOf = (skein: Id, massUg: number): Ratio => {
    if (fibre.of === "session" || gone) return { fromUg: massUg, toUg: massUg };
    if (fibre.of === "skein") return { fromUg: massUg, toUg: fibre.massUg };
    if (fibre.of === "set") return { fromUg: setUg, toUg: fibre.massUg };
    return wanted.includes(skein)
      ? { fromUg: wantedUg, toUg: fibre.massUg }
      : { fromUg: massUg, toUg: 0 };
  };
  const skeins: Record<Id, Ratio> = {};
  for (const [id, { massUg }] of Object.entries(view.skeins)) skeins[id] = ratioOf(id, massUg);
  return {
    own,
    skeins,
    set: { skeins: setSkeins, ratio: ratioOver(view, skeins, setSkeins) },
    singlePct: singleStrengths(view),
  };
}

function skeinsOfColourway(view: PublicView, colourway: string): Id[] {
  return Object.keys(view.skeins).filter((id) => view.skeins[id]?.colourway === colourway);
}

function fibreUgOf(view: PublicView, skeins: readonly Id[]): number {
  return skeins.reduce((sum, id) => sum + (view.skeins[id]?.massUg ?? 0), 0);
}

/** Whether the viewer dyes this skein; also true of one that the session does not know. */
export function isMine(terms: Terms, skein: Id): boolean {
  return terms.skeins[skein]?.toUg !== 0;
}

/** The viewer's fibre in place of one skein, ug, rounded once. */
export function ownFibreUg(terms: Terms, view: PublicView, skein: Id): number {
  const ratio = terms.skeins[skein];
  return ratio === undefined ? 0 : inPlaceOf(ratio, view.skeins[skein]?.massUg ?? 0);
}

/** The viewer's fibre in place of so much of the session's, ug, rounded once. */
export function inPlaceOf(ratio: Ratio, sessionUg: number): number {
  return mulDivRound(sessionUg, ratio.toUg, ratio.fromUg);
}

/** The ratio over some skeins together; of the whole set when there are none. */
export function ratioOfPan(terms: Terms, view: PublicView, pan: Id): Ratio {
  const there = new Set<Id>();
  for (const [id, skein] of Object.entries(view.skeins)) if (skein.pan === pan) there.add(id);
  for (const pour of Object.values(view.poured)) {
    if (pour.pan === pan) for (const skein of Object.keys(pour.doses)) there.add(skein);
  }
  return there.size === 0 ? terms.set.ratio : ratioOver(view, terms.skeins, [...there]);
}

/** An amount of water, acid or salt for the viewer's fibre, uL or ug, rounded once. */
export function scaledBy(ratio: Ratio, amount: number): number {
  return wholeOf(times(fractionOf(amount), over(fractionOf(ratio.toUg), fractionOf(ratio.fromUg))));
}

/** The nearest whole number; the largest exact one where an absurd ratio leads beyond it. */
export function wholeOf(fraction: Fraction): number {
  const largest = BigInt(Number.MAX_SAFE_INTEGER);
  return fraction.num >= largest * fraction.den ? Number.MAX_SAFE_INTEGER : rounded(fraction);
}

/** The ratio over some skeins together: their fibre, and all that the viewer has in its place. */
export function ratioOver(view: PublicView, skeins: Terms["skeins"], ids: readonly Id[]): Ratio {
  const ratios = ids.flatMap((id) => skeins[id] ?? []);
  const [first] = ratios;
  if (first === undefined) return { fromUg: 1, toUg: 1 };
  if (ratios.every((ratio) => sameRatio(ratio, first))) return first;
  let [fromUg, toUg] = [0, 0];
  for (const id of ids) {
    const ratio = skeins[id];
    const massUg = view.skeins[id]?.massUg ?? 0;
    if (ratio === undefined) continue;
    fromUg += massUg;
    toUg += inPlaceOf(ratio, massUg);
  }
  return { fromUg, toUg };
}

export function sameRatio(a: Ratio, b: Ratio): boolean {
  if (a.fromUg === b.fromUg) return a.toUg === b.toUg;
  return BigInt(a.fromUg) * BigInt(b.toUg) === BigInt(b.fromUg) * BigInt(a.toUg);
}

function skeinsOfPlan(view: PublicView): Id[] {
  const planned = new Set<Id>();
  const add = (pour: PublicPour) => {
    for (const skein of Object.keys(pour.doses)) planned.add(skein);
  };
  for (const step of Object.values(view.steps)) if (step.kind === "pour") add(step.pour);
  for (const pour of Object.values(view.poured)) if (pour.step !== undefined) add(pour);
  const all = Object.keys(view.skeins);
  return planned.size === 0 ? all : all.filter((id) => planned.has(id));
}

function singleStrengths(view: PublicView): Record<Id, number[]> {
  const found: Record<Id, number[]> = {};
  for (const { strengths, as } of Object.values(view.vessels)) {
    const [only, ...more] = Object.entries(strengths).filter(([, pct]) => pct > 0);
    if (as !== "stock" || only === undefined || more.length > 0) continue;
    const [dye, pct] = only;
    const list = Object.hasOwn(found, dye) ? (found[dye] ?? []) : [];
    if (!list.includes(pct)) list.push(pct);
    found[dye] = list.sort((a, b) => b - a);
  }
  return found;
}
