import { showCount, showMass, showStrength, showVolume } from "../../dye/display.ts";
import { asNumber, type Fraction, fractionOf, over, plus, times } from "../../dye/fraction.ts";
import { mulDivCeil, mulDivRound } from "../../dye/mulDiv.ts";
import { refused } from "../../dye/refusal.ts";
import { type ScaledDye, scaled } from "../../dye/scale.ts";
import { shareOut } from "../../dye/shareOut.ts";
import {
  measureWith,
  type ProposedDilution,
  proposeDilution,
  showMeasuring,
  type Tool,
} from "../../dye/tool.ts";
import { type DyeMasses, massOf, totalUg } from "../../dye/vessel.ts";
import type { AdditionAmount, Id } from "../setup.ts";
import {
  isMine,
  ownFibreUg,
  type Ratio,
  ratioOfPan,
  ratioOver,
  sameRatio,
  type Terms,
  wholeOf,
} from "./ownTerms.ts";
import type { PublicDose, PublicPour, PublicView } from "./publicView.ts";

/** How a tool measures an amount, or why it does not. */
export type Measured =
  | {
      ok: true;
      /** "3 fills of 10 mL and 7.5 mL", "18 drops". */
      say: string;
      /**
       * What rounding to the tool does to the depth of shade, % owf, signed; of several skeins, on
       * the one that gets the most for its weight.
       */
      errorPct: number;
      /** The depth that it is an error of, % owf, on the same skein. */
      depthPct: number;
      /** True when half a division of the tool is more than 5 % of the amount. */
      tooCoarse: boolean;
      dilution?: ProposedDilution;
      /** A stock made up of powder that is too little to weigh, and how much of it to measure. */
      weighed?: { massUg: number; madeUl: number; portionUl: number };
      /** What to do instead where it is too coarse, in words. */
      instead?: string;
      /** The most that the depth can then be out by, % owf, on the skein that gets the most. */
      insteadErrorPct?: number;
    }
  | { ok: false; say: string };

/** One thing to measure for a pour: liquor of one bottle, or dry powder of one dye. */
export type OwnPart = {
  /** Dye or bottle, and its strength: parts of one key come out of one bottle. */
  key: string;
  title: string;
  hex: string;
  /** Exactly, uL or ug; `amount` is this rounded once. */
  exact: Fraction;
  amount: number;
  plusMinus: number;
  /** What each skein gets, in the order of the pour's doses; sums to `amount`. */
  shares: readonly { skein: Id; amount: number }[];
  measured: Measured | null;
} & ({ of: "volume"; strengthPct: number } | { of: "mass" });

/**
 * How a stock of several dyes is taken: `same` as the session's own mix, `own` from the viewer's
 * bottle of the same mix, `apart` dye by dye because the viewer's stocks are of other strengths,
 * `powder` dye by dye because the viewer has no stocks.
 */
export type Mix = "same" | "own" | "apart" | "powder";

/** A pour as it is for a viewer. */
export type OwnPour = {
  /** False where it goes on skeins that the viewer does not dye; then there are no parts. */
  mine: boolean;
  parts: readonly OwnPart[];
  mix: Mix | null;
  /** True when every skein of the pour gets the same depth from it: it is poured evenly by weight. */
  evenly: boolean;
  /** True when the amount was judged by eye. */
  about: boolean;
};

/**
 * A pour of the session for the viewer's own fibre and stocks: each skein gets the dye that keeps
 * its depth of shade, exactly, and the sum is turned into a volume of the viewer's own stock.
 *
 *   own volume = sum over skeins of (dye x own fibre / fibre) / own strength
 *
 * All is kept as exact fractions and rounded once, at the end.
 */
export function ownPour(pour: PublicPour, terms: Terms, view: PublicView): OwnPour {
  const about = pour.how !== "measured" || pour.plusMinus > 0;
  const doses = Object.entries(pour.doses);
  const mine = doses.filter(([skein]) => isMine(terms, skein));
  const inBath = doses.length === 0 && ratioOfPan(terms, view, pour.pan).toUg > 0;
  if (mine.length === 0 && !inBath) {
    return { mine: false, mix: null, evenly: true, about, parts: [] };
  }
  const offered = offeredBy(pour, view);
  const own = scaledDoses(pour, terms, view, offered);
  const parts = partsOf(pour, terms, view, offered, own);
  const weights = mine.map(([skein, dose]) => {
    const ratio = terms.skeins[skein] ?? { fromUg: 1, toUg: 1 };
    return { skein, weight: mulDivRound(totalUg(dose.dyes), ratio.toUg, ratio.fromUg) };
  });
  const perFibre = mostPerFibre(weights, terms, view);
  const whole = pour.volumeUl ?? pour.massUg ?? 0;
  return {
    mine: true,
    mix: parts.mix,
    evenly: isEven(mine, view),
    about,
    parts: parts.parts.map((part) => {
      const amount = wholeOf(part.exact);
      const plusMinus = whole === 0 ? 0 : mulDivCeil(amount, pour.plusMinus, whole);
      return {
        ...part,
        amount,
        plusMinus,
        shares: shared(amount, weights),
        measured: terms.own.tool && measured(part, terms.own.tool, perFibre),
      };
    }),
  };
}

/**
 * The largest share of a pour that one skein gets, per ug of the viewer's fibre there: a ug of dye
 * too much in the pour is so many ug too much on each ug of that skein. 0 for a bare bath.
 */
function mostPerFibre(
  weights: readonly { skein: Id; weight: number }[],
  terms: Terms,
  view: PublicView,
): number {
  const sum = weights.reduce((sum, { weight }) => sum + weight, 0);
  return weights.reduce((most, { skein, weight }) => {
    const fibreUg = ownFibreUg(terms, view, skein);
    const share = sum === 0 ? 1 / weights.length : weight / sum;
    return fibreUg === 0 ? most : Math.max(most, share / fibreUg);
  }, 0);
}

/** Dye that the session's pour offers in all, ug per dye. */
function offeredBy(pour: PublicPour, view: PublicView): DyeMasses {
  if (pour.bathDyes) return pour.bathDyes;
  const doses = Object.values(pour.doses);
  if (doses.length === 0) return powderOf(pour, view);
  const sum: Record<Id, number> = {};
  for (const { dyes } of doses) {
    for (const [dye, ug] of Object.entries(dyes)) sum[dye] = massOf(sum, dye) + ug;
  }
  return sum;
}

function powderOf(pour: PublicPour, view: PublicView): DyeMasses {
  if (pour.source.from === "powder") return { [pour.source.dye]: pour.massUg ?? 0 };
  const strengths = view.vessels[pour.source.vessel]?.strengths ?? {};
  return Object.fromEntries(
    Object.entries(strengths).map(([dye, pct]) => [
      dye,
      Math.round((pour.volumeUl ?? 0) * pct * 10),
    ]),
  );
}

/** Strength for a dye that has none of the viewer's own; its volume is then not asked for. */
const anyPct = 1;

type ScaledDyes = Readonly<Record<Id, ScaledDye>>;

/** The viewer's dye and volume of stock, exactly, per dye and summed over the skeins of a pour. */
function scaledDoses(
  pour: PublicPour,
  terms: Terms,
  view: PublicView,
  offered: DyeMasses,
): ScaledDyes {
  const strengthPct: Record<Id, number> = {};
  for (const dye of Object.keys(offered)) strengthPct[dye] = pctFor(terms, dye) ?? anyPct;

  const groups: { ratio: Ratio; dyes: Record<Id, number> }[] = [];
  for (const [skein, dose] of Object.entries(pour.doses)) {
    const ratio = terms.skeins[skein] ?? { fromUg: 1, toUg: 1 };
    if (ratio.toUg === 0) continue;
    let group = groups.find((group) => sameRatio(group.ratio, ratio));
    if (group === undefined) {
      group = { ratio, dyes: {} };
      groups.push(group);
    }
    for (const [dye, ug] of Object.entries(dose.dyes)) {
      group.dyes[dye] = massOf(group.dyes, dye) + ug;
    }
  }
  if (groups.length === 0) {
    groups.push({ ratio: ratioOfPan(terms, view, pour.pan), dyes: { ...offered } });
  }
  const sum: Record<Id, ScaledDye> = {};
  for (const { ratio, dyes } of groups) {
    const recipe = { pours: [{ dyes, fibreUg: ratio.fromUg }] };
    const [scaledPour] = scaled(recipe, { fibreUg: ratio.toUg, strengthPct }).pours;
    for (const [dye, more] of Object.entries(scaledPour?.dyes ?? {})) {
      const so = Object.hasOwn(sum, dye) ? sum[dye] : undefined;
      sum[dye] = so
        ? { massUg: plus(so.massUg, more.massUg), volumeUl: plus(so.volumeUl, more.volumeUl) }
        : more;
    }
  }
  return sum;
}

/** Strength at which the viewer has a dye by itself, % w/v; the session's where not said. */
function pctFor(terms: Terms, dye: Id): number | undefined {
  return (
    ownPct(terms, dye) ??
    (Object.hasOwn(terms.singlePct, dye) ? terms.singlePct[dye]?.[0] : undefined)
  );
}

function ownPct(terms: Terms, dye: Id): number | undefined {
  return Object.hasOwn(terms.own.dyePct, dye) ? terms.own.dyePct[dye] : undefined;
}

type Bare = Omit<OwnPart, "amount" | "plusMinus" | "shares" | "measured"> &
  ({ of: "volume"; strengthPct: number } | { of: "mass" });

const nothing: Fraction = { num: 0n, den: 1n };

function partsOf(
  pour: PublicPour,
  terms: Terms,
  view: PublicView,
  offered: DyeMasses,
  own: ScaledDyes,
): { parts: Bare[]; mix: Mix | null } {
  const { source } = pour;
  if (source.from === "powder") {
    return { parts: [powderPart(source.dye, pour.title, pour.hex, own)], mix: null };
  }
  const dyes = Object.keys(offered).filter((dye) => massOf(offered, dye) > 0);
  const vessel = view.vessels[source.vessel];
  const [only] = dyes;
  if (terms.own.powder && only !== undefined) {
    const parts = dyes.map((dye) => {
      const { name, hex } = view.dyes[dye] ?? { name: dye, hex: pour.hex };
      return powderPart(dye, `${name} powder`, dyes.length > 1 ? hex : pour.hex, own);
    });
    return { parts, mix: dyes.length > 1 ? "powder" : null };
  }
  if (dyes.length <= 1) {
    const pct = only === undefined ? undefined : ownPct(terms, only);
    if (only === undefined || pct === undefined) {
      return { parts: [asThere(pour, source.vessel, offered, own, terms, view)], mix: null };
    }
    const name = vessel?.name ?? pour.title;
    return { parts: [stockPart(`${only} ${pct}`, name, pour.hex, pct, own[only])], mix: null };
  }
  const mixPct = Object.hasOwn(terms.own.mixPct, source.vessel)
    ? terms.own.mixPct[source.vessel]
    : undefined;
  if (mixPct !== undefined) {
    const massUg = sumOf(dyes, own);
    const exact = over(massUg, times(fractionOf(mixPct), fractionOf(10)));
    const title = `${vessel?.name ?? pour.title} ${showStrength(mixPct)}`;
    const key = `${source.vessel} ${mixPct}`;
    const part: Bare = { key, title, hex: pour.hex, of: "volume", strengthPct: mixPct, exact };
    return { parts: [part], mix: "own" };
  }
  if (vessel?.as === "jug" && dyes.some((dye) => ownPct(terms, dye) !== undefined)) {
    const parts = dyes.map((dye) => {
      const { name, hex } = view.dyes[dye] ?? { name: dye, hex: pour.hex };
      const pct = pctFor(terms, dye);
      return pct === undefined
        ? powderPart(dye, `${name} powder`, hex, own)
        : stockPart(`${dye} ${pct}`, name, hex, pct, own[dye]);
    });
    return { parts, mix: "apart" };
  }
  return { parts: [asThere(pour, source.vessel, offered, own, terms, view)], mix: "same" };
}

/** Liquor of the strength it has in the session: its volume grows as its dye does. */
function asThere(
  pour: PublicPour,
  vessel: Id,
  offered: DyeMasses,
  own: ScaledDyes,
  terms: Terms,
  view: PublicView,
): Bare {
  const volumeUl = pour.volumeUl ?? 0;
  const offeredUg = totalUg(offered);
  const exact =
    offeredUg === 0
      ? times(fractionOf(volumeUl), quotient(ratioOfPour(pour, terms, view)))
      : over(times(fractionOf(volumeUl), sumOf(Object.keys(offered), own)), fractionOf(offeredUg));
  const strengthPct = volumeUl === 0 ? 0 : offeredUg / volumeUl / 10;
  return {
    key: `${vessel} there`,
    title: pour.title,
    hex: pour.hex,
    of: "volume",
    strengthPct,
    exact,
  };
}

function ratioOfPour(pour: PublicPour, terms: Terms, view: PublicView): Ratio {
  const skeins = Object.keys(pour.doses);
  return skeins.length === 0
    ? ratioOfPan(terms, view, pour.pan)
    : ratioOver(view, terms.skeins, skeins);
}

function quotient({ fromUg, toUg }: Ratio): Fraction {
  return over(fractionOf(toUg), fractionOf(fromUg));
}

function stockPart(
  key: string,
  name: string,
  hex: string,
  strengthPct: number,
  dye: ScaledDye | undefined,
): Bare {
  const title = `${name} ${showStrength(strengthPct)}`;
  return { key, title, hex, of: "volume", strengthPct, exact: dye?.volumeUl ?? nothing };
}

function powderPart(dye: Id, title: string, hex: string, own: ScaledDyes): Bare {
  return { key: `${dye} powder`, title, hex, of: "mass", exact: own[dye]?.massUg ?? nothing };
}

function sumOf(dyes: readonly Id[], own: ScaledDyes): Fraction {
  return dyes.reduce((sum, dye) => plus(sum, own[dye]?.massUg ?? nothing), nothing);
}

function shared(amount: number, weights: readonly { skein: Id; weight: number }[]) {
  const sum = weights.reduce((sum, { weight }) => sum + weight, 0);
  if (sum === 0 || sum > Number.MAX_SAFE_INTEGER) {
    return weights.map(({ skein }) => ({ skein, amount: Math.floor(amount / weights.length) }));
  }
  const shares = shareOut(
    amount,
    weights.map(({ weight }) => weight),
  );
  return weights.map(({ skein }, at) => ({ skein, amount: shares[at] ?? 0 }));
}

/** Shares rounded to a ug per dye are still shares of one depth. */
function isEven(mine: readonly [Id, PublicDose][], view: PublicView): boolean {
  const doses = mine.map(([skein, { dyes }]) => ({
    ug: totalUg(dyes),
    fibreUg: view.skeins[skein]?.massUg ?? 1,
    slackUg: Object.keys(dyes).length + 1,
  }));
  const ug = doses.reduce((sum, dose) => sum + dose.ug, 0);
  const fibreUg = doses.reduce((sum, dose) => sum + dose.fibreUg, 0);
  return doses.every((dose) => Math.abs(dose.ug - (ug * dose.fibreUg) / fibreUg) <= dose.slackUg);
}

/** More drops or fills than these are miscounted sooner than measured; common practice, no source. */
const mostDrops = 100;
const mostFills = 20;

/** @param perFibre the largest share of the pour on one ug of the viewer's fibre, as above */
function measured(part: Bare, tool: Tool, perFibre: number): Measured {
  const wanted = asNumber(part.exact);
  if (!(wanted > 0)) return { ok: false, say: "There is nothing to measure." };
  if (part.of === "mass") {
    if (tool.kind !== "scale" && tool.kind !== "powderSpoon") {
      return { ok: false, say: "Powder is weighed: use a scale that shows 0.01 g or finer." };
    }
    const dye = part.key.replace(/ powder$/, "");
    const onScale = measureWith(tool, { massUg: wanted, dye });
    if (refused(onScale)) return { ok: false, say: onScale.say };
    const { tooCoarse, errorUg } = onScale;
    return {
      ok: true,
      say: showMeasuring(tool, onScale),
      errorPct: errorUg * perFibre * 100,
      depthPct: wanted * perFibre * 100,
      tooCoarse,
      ...(tooCoarse && tool.kind === "scale" ? madeUp(wanted, tool.divisionUg, perFibre) : {}),
      ...(tooCoarse && tool.kind !== "scale"
        ? { instead: "Use a scale that shows 0.01 g or finer." }
        : {}),
    };
  }
  const inTool = measureWith(tool, { volumeUl: wanted });
  if (refused(inTool)) return { ok: false, say: inTool.say };
  const tooMany = sayTooMany(tool, inTool.fills);
  if (tooMany !== null) return { ok: false, say: tooMany };
  const { tooCoarse, errorUl } = inTool;
  const ugPerUl = part.strengthPct * 10;
  const facts = {
    ok: true as const,
    say: showMeasuring(tool, inTool),
    errorPct: errorUl * ugPerUl * perFibre * 100,
    depthPct: wanted * ugPerUl * perFibre * 100,
    tooCoarse,
  };
  if (!tooCoarse || part.strengthPct === 0) return facts;
  const dilution = proposeDilution(wanted, part.strengthPct, tool);
  if (refused(dilution)) return { ...facts, instead: dilution.say };
  const dilutedPct = wanted * ugPerUl * perFibre * 100 * dilution.worstShare;
  return { ...facts, instead: dilution.say, dilution, insteadErrorPct: dilutedPct };
}

function sayTooMany(tool: Tool, fills: number): string | null {
  if (tool.kind === "dropper") {
    const drops = `That is ${showCount(fills, "drop")}: use a syringe or a cylinder.`;
    return fills > mostDrops ? drops : null;
  }
  return fills > mostFills ? `That is ${showCount(fills, "fill")}: use a larger measure.` : null;
}

/**
 * A stock made up for powder that is too little to weigh: ten divisions of the scale, so that half a
 * division is 5 % of it, in so much water that the portion is a millilitre or more.
 */
function madeUp(wantedUg: number, divisionUg: number, perFibre: number) {
  const weighedUg = divisionUg * 10;
  const portion = (madeUl: number) => Math.round((wantedUg * madeUl) / weighedUg);
  const madeUl = [100_000, 1_000_000].find((made) => portion(made) >= 1_000);
  if (madeUl === undefined) return { instead: "Use a finer scale, or dye more yarn at once." };
  const portionUl = portion(madeUl);
  // Half a division of the scale in what is weighed; a portion is said to half a per cent or better.
  const worstShare = (1 + 0.5 / 10) * (1 + 0.005) - 1;
  return {
    instead: `Weigh ${showMass(weighedUg)} into water made up to ${showVolume(madeUl)}, which is ${showStrength(weighedUg / madeUl / 10)}, and measure ${showVolume(portionUl)} of that.`,
    insteadErrorPct: wantedUg * perFibre * 100 * worstShare,
    weighed: { massUg: weighedUg, madeUl, portionUl },
  };
}

/**
 * Water, acid or salt as a tool measures it, in words; `null` where there is nothing to say, for a
 * tool that does not suit it is not the one that it is measured with.
 */
export function additionMeasured(amount: AdditionAmount, tool: Tool | null): string | null {
  if (tool === null) return null;
  if ("massUg" in amount) {
    if (tool.kind !== "scale" || amount.massUg === 0) return null;
    const onScale = measureWith(tool, { massUg: amount.massUg, dye: "" });
    return refused(onScale) ? null : showMeasuring(tool, onScale);
  }
  if (tool.kind === "powderSpoon" || amount.volumeUl === 0) return null;
  const inTool = measureWith(tool, amount);
  if (refused(inTool) || sayTooMany(tool, inTool.fills) !== null) return null;
  return showMeasuring(tool, inTool);
}
