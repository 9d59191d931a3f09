import { type Hazard, hazardsOfAll, type LiveStep } from "../../cautions/hazards.ts";
import { depthPct } from "../../dye/depth.ts";
import { totalUg } from "../../dye/vessel.ts";
import type { AdditionAmount, Id } from "../setup.ts";
import { additionMeasured, type OwnPour, ownPour } from "./ownPour.ts";
import {
  isMine,
  type Own,
  ownTerms,
  ratioOfPan,
  sameRatio,
  scaledBy,
  type Terms,
} from "./ownTerms.ts";
import type { PublicPour, PublicPoured, PublicStep, PublicView } from "./publicView.ts";

/** Average depth of one skein around a pour, % owf, with the doubt about it by then. */
export type FollowDepth = {
  skein: Id;
  beforePct: number;
  afterPct: number;
  plusMinusPct: number;
  /** Depth of this pour where it touches the yarn, % of the fibre touched. */
  localPct: number;
};

export type FollowPour = { pour: PublicPour; own: OwnPour; depths: readonly FollowDepth[] };

/** A step that is not done yet, for the viewer's own fibre and stocks. */
export type FollowStep = { id: Id; running: boolean } & (
  | ({ kind: "pour"; nth: number } & FollowPour)
  | ({ kind: "add" } & FollowAddition)
  | ({ kind: "heat"; mine: boolean } & HeatFacts)
);

/** Water, acid or salt for the viewer's fibre. */
export type FollowAddition = {
  /** False where it goes into a pan with nothing of the viewer's. */
  mine: boolean;
  ownAmount: AdditionAmount;
  /** As the viewer's tool measures it, in words, where it does. */
  inTool: string | null;
} & Pick<AddStep, "pan" | "what" | "label" | "amount">;

/** Something that was done, or left out, in the order in which it happened. */
export type FollowDone = { key: string } & (
  | ({ kind: "pour"; n: number; at: number; corrected: boolean; planned: boolean } & FollowPour)
  | ({ kind: "add"; at: number } & FollowAddition)
  | ({ kind: "heat"; mine: boolean; ended?: "early" } & HeatFacts)
  | { kind: "skipped"; step: PublicStep }
);

type AddStep = Extract<PublicStep, { kind: "add" }>;
type HeatStep = Extract<PublicStep, { kind: "heat" }>;
type HeatFacts = Pick<HeatStep, "how" | "pan" | "seconds" | "waitingFor" | "celsius">;

/** A bottle that the viewer needs, and how much of it: poured so far, and still to come. */
export type Need = {
  key: string;
  title: string;
  hex: string;
  of: "volume" | "mass";
  poured: number;
  coming: number;
};

/** A stock that the viewer may have at another strength, % w/v in the session (one or more). */
export type FollowStock = { id: Id; kind: "dye" | "mix"; name: string; hex: string } & {
  sessionPct: readonly number[];
  ownPct: number | null;
  /** What a mix is made of, % w/v by dye name. */
  of?: readonly { name: string; pct: number }[];
};

export type FollowRecipe = {
  terms: Terms;
  stocks: readonly FollowStock[];
  now: FollowStep | null;
  /** What comes after `now`, in order. */
  coming: readonly FollowStep[];
  /** In the order in which it was done. */
  done: readonly FollowDone[];
  /** Pours made, and pours in all: made or still to come. */
  pours: { made: number; all: number };
  needs: readonly Need[];
  /**
   * Each pan with yarn of the viewer's: water at the start, and a pan that is as roomy as the
   * session's, uL, for the viewer's own fibre.
   */
  water: readonly { pan: Id; volumeUl: number; capacityUl: number }[];
  /** Colourways of the skeins by name, with their fibre, ug. */
  colourways: readonly { name: string; skeins: readonly Id[]; massUg: number }[];
  /** Depth of each skein once all that is planned is in, % owf. */
  finalPct: Readonly<Record<Id, number>>;
  /** Hazards of anything in the recipe, whatever is live now. */
  hazards: readonly Hazard[];
};

/** What was worked out before, to be taken over where pour and terms are the same. */
type Kept = { terms: Terms; amounts: WeakMap<PublicPour, OwnPour> };
const keptIn = new WeakMap<FollowRecipe, Kept>();

/**
 * The whole session as a recipe for a viewer's own fibre, stocks and tool: every pour recomputed so
 * that its depth of shade is kept.
 *
 * @param was the recipe before the last change; pours that did not change are taken over from it
 */
export function followRecipe(view: PublicView, own: Own, was?: FollowRecipe): FollowRecipe {
  const terms = ownTerms(view, own);
  const kept = was && keptIn.get(was);
  const amounts = kept && sameTerms(kept.terms, terms) ? kept.amounts : new WeakMap();
  const amountsOf = (pour: PublicPour): OwnPour => {
    const known = amounts.get(pour);
    if (known) return known;
    const made = ownPour(pour, terms, view);
    // A pour into a bare bath goes by the skeins that lie in the pan, which may come and go.
    if (pour.bathDyes === undefined) amounts.set(pour, made);
    return made;
  };

  const done = doneSoFar(view, terms, amountsOf);
  const made = Object.keys(view.poured).length;
  const open = openSteps(view);
  const steps = comingSteps(view, open, made, terms, amountsOf);
  const [first, ...rest] = steps;
  const now = first !== undefined && first.id === view.current ? first : null;
  const recipe: FollowRecipe = {
    terms,
    stocks: stocksOf(view, own),
    now,
    coming: now === null ? steps : rest,
    done,
    pours: { made, all: made + steps.filter((step) => step.kind === "pour").length },
    needs: needsOf(steps, done),
    water: Object.entries(view.pans).flatMap(([pan, { waterUl, capacityUl }]) => {
      const ratio = ratioOfPan(terms, view, pan);
      if (ratio.toUg === 0) return [];
      const [volumeUl, roomUl] = [scaledBy(ratio, waterUl), scaledBy(ratio, capacityUl)];
      return [{ pan, volumeUl, capacityUl: roomUl }];
    }),
    colourways: colourwaysOf(view),
    finalPct: finalDepths(view, steps),
    hazards: hazardsOfFollowing(view),
  };
  keptIn.set(recipe, { terms, amounts });
  return recipe;
}

function sameTerms(a: Terms, b: Terms): boolean {
  const ids = Object.keys(b.skeins);
  return (
    a.own === b.own &&
    ids.length === Object.keys(a.skeins).length &&
    ids.every((id) => {
      const [was, is] = [a.skeins[id], b.skeins[id]];
      return was !== undefined && is !== undefined && sameRatio(was, is);
    }) &&
    JSON.stringify(a.singlePct) === JSON.stringify(b.singlePct)
  );
}

type OpenStep = { id: Id; step: PublicStep };

/** Steps still to be done, the current one first: the dyer may have taken it out of turn. */
function openSteps(view: PublicView): OpenStep[] {
  if (view.session.phase === "closed") return [];
  return Object.entries(view.steps)
    .filter(([, { status }]) => status === "open" || status === "running")
    .map(([id, step]) => ({ id, step }))
    .sort((a, b) => {
      if (a.id === view.current) return -1;
      if (b.id === view.current) return 1;
      return a.step.n - b.step.n;
    });
}

/** Adds up depths along the steps to come, for the view only knows what each would add today. */
function comingSteps(
  view: PublicView,
  open: readonly OpenStep[],
  made: number,
  terms: Terms,
  amountsOf: (pour: PublicPour) => OwnPour,
): FollowStep[] {
  const soFar = new Map<Id, { pct: number; plusMinusPct: number }>();
  for (const [id, { depthPct, plusMinusPct }] of Object.entries(view.skeins)) {
    soFar.set(id, { pct: depthPct, plusMinusPct });
  }
  const steps: FollowStep[] = [];
  let nth = made;
  for (const { id, step } of open) {
    const running = step.status === "running";
    if (step.kind === "pour") {
      nth += 1;
      const { pour } = step;
      const depths = mineOf(terms, depthsOf(view, pour, soFar));
      steps.push({ id, running, kind: "pour", nth, pour, own: amountsOf(pour), depths });
    } else if (step.kind === "add") {
      steps.push({ id, running, kind: "add", ...ownAddition(view, terms, step) });
    } else {
      const mine = ratioOfPan(terms, view, step.pan).toUg > 0;
      steps.push({ id, running, kind: "heat", mine, ...heatFacts(step), ...setTo(view, id) });
    }
  }
  return steps;
}

type Sums = Map<Id, { pct: number; plusMinusPct: number }>;

/** Depth of each skein before and after a pour; `soFar` is moved on past it. */
function depthsOf(view: PublicView, pour: PublicPour, soFar: Sums): FollowDepth[] {
  return Object.entries(pour.doses).map(([skein, dose]) => {
    const fibreUg = view.skeins[skein]?.massUg ?? 1;
    const addsPct = depthPct(totalUg(dose.dyes), fibreUg);
    const before = soFar.get(skein) ?? { pct: 0, plusMinusPct: 0 };
    const after = {
      pct: before.pct + addsPct,
      plusMinusPct: before.plusMinusPct + doubtPct(pour, addsPct),
    };
    soFar.set(skein, after);
    return {
      skein,
      beforePct: before.pct,
      afterPct: after.pct,
      plusMinusPct: after.plusMinusPct,
      localPct: dose.localPct,
    };
  });
}

function doubtPct(pour: PublicPour, addsPct: number): number {
  const amount = pour.volumeUl ?? pour.massUg ?? 0;
  return amount === 0 ? 0 : (addsPct * pour.plusMinus) / amount;
}

function doneSoFar(
  view: PublicView,
  terms: Terms,
  amountsOf: (pour: PublicPour) => OwnPour,
): FollowDone[] {
  const doubts: Sums = new Map();
  const acts = [
    ...Object.entries(view.poured).map(([act, pour]) => ({ act: Number(act), pour })),
    ...Object.entries(view.additions).map(([act, addition]) => ({ act: Number(act), addition })),
    ...Object.entries(view.heats ?? {}).map(([act, heat]) => ({ act: Number(act), heat })),
  ].sort((a, b) => a.act - b.act);

  const done: { n: number; line: FollowDone }[] = acts.map((one) => {
    const key = String(one.act);
    if ("addition" in one) {
      const { at } = one.addition;
      const line: FollowDone = { key, kind: "add", at, ...ownAddition(view, terms, one.addition) };
      return { n: 0, line };
    }
    if ("heat" in one) {
      const { heat } = one;
      const mine = ratioOfPan(terms, view, heat.pan).toUg > 0;
      const early = heat.ended === undefined ? {} : { ended: heat.ended };
      const line: FollowDone = { key, kind: "heat", mine, ...heatFacts(heat), ...early };
      return { n: stepNumber(view, heat), line };
    }
    const { pour } = one;
    const depths = mineOf(terms, depthsOf(view, pour, doubts)).map((depth) => ({
      ...depth,
      beforePct: pour.doses[depth.skein]?.beforePct ?? depth.beforePct,
      afterPct: pour.doses[depth.skein]?.afterPct ?? depth.afterPct,
    }));
    const planned = pour.step !== undefined;
    const { n, at, corrected } = pour;
    const line: FollowDone = {
      key,
      kind: "pour",
      n,
      at,
      corrected,
      planned,
      pour,
      own: amountsOf(pour),
      depths,
    };
    return { n: stepNumber(view, pour), line };
  });
  for (const { step, line } of withoutAct(view, terms)) {
    // These have no act of their own in the view: they go where the plan has them among the pours.
    let at = done.length;
    while (at > 0 && !isBefore(done[at - 1]?.n ?? 0, step.n)) at -= 1;
    done.splice(at, 0, { n: step.n, line });
  }
  return done.map(({ line }) => line);
}

/** Whether something done belongs to a step ahead of this one; what was not planned is no guide. */
function isBefore(n: number, stepN: number): boolean {
  return n > 0 && n < stepN;
}

function stepNumber(view: PublicView, { step }: Pick<PublicPoured, "step">): number {
  return step === undefined ? 0 : (view.steps[step]?.n ?? 0);
}

/** Steps that were left out, and heats that are begun and not waited for. */
function withoutAct(view: PublicView, terms: Terms): { step: PublicStep; line: FollowDone }[] {
  const heated = new Set(Object.values(view.heats ?? {}).map(({ step }) => step));
  return Object.entries(view.steps)
    .filter(([id]) => !heated.has(id))
    .sort(([, a], [, b]) => a.n - b.n)
    .flatMap(([id, step]): { step: PublicStep; line: FollowDone }[] => {
      const key = `step ${id}`;
      if (step.status === "skipped") return [{ step, line: { key, kind: "skipped", step } }];
      if (step.status !== "done" || step.kind !== "heat") return [];
      const mine = ratioOfPan(terms, view, step.pan).toUg > 0;
      const facts = { ...heatFacts(step), ...setTo(view, id) };
      return [{ step, line: { key, kind: "heat", mine, ...facts } }];
    });
}

function heatFacts({ how, pan, seconds, waitingFor, celsius }: HeatFacts): HeatFacts {
  return { how, pan, seconds, waitingFor, ...(celsius === undefined ? {} : { celsius }) };
}

/** How long the timer of a step is set to by now, where it runs. */
function setTo({ timers }: PublicView, id: Id): { seconds?: number } {
  const timer = Object.values(timers).find(({ step }) => step === id);
  return timer === undefined ? {} : { seconds: timer.seconds };
}

function ownAddition(
  view: PublicView,
  terms: Terms,
  { pan, what, label, amount }: Pick<AddStep, "pan" | "what" | "label" | "amount">,
): FollowAddition {
  const ratio = ratioOfPan(terms, view, pan);
  const ownAmount =
    "volumeUl" in amount
      ? { volumeUl: scaledBy(ratio, amount.volumeUl) }
      : { massUg: scaledBy(ratio, amount.massUg) };
  const inTool = additionMeasured(ownAmount, terms.own.tool);
  return { mine: ratio.toUg > 0, pan, what, label, amount, ownAmount, inTool };
}

function mineOf(terms: Terms, depths: readonly FollowDepth[]): FollowDepth[] {
  return depths.filter(({ skein }) => isMine(terms, skein));
}

function colourwaysOf(view: PublicView): FollowRecipe["colourways"] {
  const found = new Map<string, { name: string; skeins: Id[]; massUg: number }>();
  for (const [id, { colourway, massUg }] of Object.entries(view.skeins)) {
    if (colourway === undefined) continue;
    const one = found.get(colourway) ?? { name: colourway, skeins: [], massUg: 0 };
    one.skeins.push(id);
    one.massUg += massUg;
    found.set(colourway, one);
  }
  return [...found.values()];
}

function needsOf(steps: readonly FollowStep[], done: readonly FollowDone[]): Need[] {
  const needs = new Map<string, Need>();
  const count = (own: OwnPour, when: "poured" | "coming") => {
    for (const { key, title, hex, of, amount } of own.parts) {
      const need = needs.get(key) ?? { key, title, hex, of, poured: 0, coming: 0 };
      needs.set(key, { ...need, [when]: need[when] + amount });
    }
  };
  for (const line of done) if (line.kind === "pour") count(line.own, "poured");
  for (const step of steps) if (step.kind === "pour") count(step.own, "coming");
  return [...needs.values()];
}

function finalDepths(view: PublicView, steps: readonly FollowStep[]): Record<Id, number> {
  const finalPct: Record<Id, number> = {};
  for (const [id, skein] of Object.entries(view.skeins)) finalPct[id] = skein.depthPct;
  for (const step of steps) {
    if (step.kind !== "pour") continue;
    for (const { skein, afterPct } of step.depths) finalPct[skein] = afterPct;
  }
  return finalPct;
}

/** Dyes whose strength a viewer may say: those in bottles and jugs; and stocks of several dyes. */
function stocksOf(view: PublicView, own: Own): FollowStock[] {
  const dyes = new Map<Id, Set<number>>();
  const mixes: FollowStock[] = [];
  for (const [id, vessel] of Object.entries(view.vessels)) {
    const parts = Object.entries(vessel.strengths).filter(([, pct]) => pct > 0);
    if (vessel.as === "jug") {
      for (const [dye] of parts) if (!dyes.has(dye)) dyes.set(dye, new Set());
    } else if (parts.length === 1) {
      for (const [dye, pct] of parts) dyes.set(dye, (dyes.get(dye) ?? new Set()).add(pct));
    } else if (parts.length > 1) {
      mixes.push({
        id,
        kind: "mix",
        name: vessel.name,
        hex: vessel.hex,
        sessionPct: [vessel.strengthPct],
        ownPct: (Object.hasOwn(own.mixPct, id) ? own.mixPct[id] : undefined) ?? null,
        of: parts.map(([dye, pct]) => ({ name: view.dyes[dye]?.name ?? dye, pct })),
      });
    }
  }
  const singles = Object.entries(view.dyes).flatMap(([id, { name }]): FollowStock[] => {
    const sessionPct = dyes.get(id);
    if (sessionPct === undefined) return [];
    const ownPct = (Object.hasOwn(own.dyePct, id) ? own.dyePct[id] : undefined) ?? null;
    const hex = hexOfDye(view, id);
    return [{ id, kind: "dye", name, hex, sessionPct: [...sessionPct], ownPct }];
  });
  return [...singles, ...mixes];
}

/** A dye as its own bottle shows it, at 1 % on the session's yarn; else its swatch. */
function hexOfDye(view: PublicView, dye: Id): string {
  const bottle = Object.values(view.vessels).find(({ strengths }) => {
    const [only, ...more] = Object.keys(strengths);
    return only === dye && more.length === 0;
  });
  return bottle?.hex ?? view.dyes[dye]?.hex ?? "#837b6e";
}

/**
 * A viewer makes up stocks and tips a bath as well, and may be a step behind: so all that the
 * recipe has counts, and what is live now besides, which alone knows of the dyes' own hazards.
 */
function hazardsOfFollowing(view: PublicView): Hazard[] {
  const steps: LiveStep[] = [
    { kind: "stockMade", powder: false, dyeHazards: view.hazards },
    { kind: "tip" },
  ];
  const pouring = (pour: PublicPour) =>
    steps.push({ kind: "pour", powder: pour.source.from === "powder", dyeHazards: [] });
  for (const step of Object.values(view.steps)) {
    if (step.kind === "pour") pouring(step.pour);
    else if (step.kind === "add") steps.push({ kind: "add", what: step.what });
    else steps.push(step.how === "rest" ? { kind: "rest" } : { kind: "heat", how: step.how });
  }
  for (const pour of Object.values(view.poured)) pouring(pour);
  for (const { what } of Object.values(view.additions)) steps.push({ kind: "add", what });
  for (const { how } of Object.values(view.heats ?? {})) {
    steps.push(how === "rest" ? { kind: "rest" } : { kind: "heat", how });
  }
  return hazardsOfAll(steps);
}
