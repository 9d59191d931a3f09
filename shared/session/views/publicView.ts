import type { Hazard } from "../../cautions/hazards.ts";
import { keptWith } from "../../colour/kept.ts";
import { depthPct, localDepthPct } from "../../dye/depth.ts";
import { strengthPct } from "../../dye/strength.ts";
import { type DyeMasses, shareLiquor, totalUg } from "../../dye/vessel.ts";
import { type Recap, type RecapColour, recapOf } from "../../recap/recap.ts";
import type { Bleed, Look } from "../act.ts";
import type { BenchSkein, BenchTimer, Poured, Rinse } from "../bench.ts";
import { correctionsAfter } from "../corrected.ts";
import type { OverlayParts, OverlayView } from "../event.ts";
import { type Heated, heatsOf } from "../heated.ts";
import { liveHazards } from "../liveHazards.ts";
import { comparison, type SeenColour, seenColour, seenOfLot } from "../outcome.ts";
import { pourNow } from "../pourNow.ts";
import { dyeTint, liquorTint, type SkeinColour, skeinColour } from "../predicted.ts";
import { saySource, sayVessel } from "../say.ts";
import type {
  Addition,
  AdditionAmount,
  Fibre,
  Fleck,
  Heating,
  Id,
  Method,
  Pour,
  Step,
  Technique,
} from "../setup.ts";
import { currentStep, type Phase, type State, stepAmount } from "../state.ts";

/** A dye with the colour its swatches show; `uncertainty` is how far off it may well be, CIEDE2000. */
export type PublicDye = { name: string; hex: string; uncertainty: number };
export type PublicBase = {
  name: string;
  fibres: readonly Fibre[];
  superwash: boolean;
  hex: string;
  flecks: readonly Fleck[];
};

/** A bottle or jug by what is in it; how much is left in it stays on the bench. */
export type PublicVessel = {
  name: string;
  /** Name with strength, "Saltmarsh 1 %". */
  title: string;
  as: "stock" | "jug";
  strengthPct: number;
  /** % w/v of each dye. */
  strengths: Record<Id, number>;
  /** Predicted colour at 1 % depth of shade on the first base, `#rrggbb`; how far off, CIEDE2000. */
  hex: string;
  uncertainty: number;
};

export type PublicSkein = {
  n: number;
  name: string;
  base: Id;
  massUg: number;
  colourway?: string;
  pan?: Id;
  /** Dye offered so far, µg per dye, and the worst-case half-width of each. */
  dyes: DyeMasses;
  plusMinusUg: DyeMasses;
  depthPct: number;
  plusMinusPct: number;
  /** Predicted colour so far: its ground, and the patches of pours that did not cover it. */
  colour: SkeinColour;
  /** Its colour once dry and rinsed, as measured or as a photograph shows it. */
  seen?: SeenColour;
  /** How far that is from the prediction, CIEDE2000. */
  strayed?: number;
  /** How much dye came off it when it was last rinsed. */
  rinse?: { water: Bleed; cloth?: Bleed };
  /** Dyed after the stream. */
  offAir?: true;
};

export type PublicPan = {
  n: number;
  name: string;
  capacityUl: number;
  /** Water it started with. */
  waterUl: number;
  bathUl: number;
  method: Method;
  /** Dry fibre of the skeins that lie in it, µg, and their depth of shade taken together, % owf. */
  fibreUg: number;
  depthPct: number;
  celsius?: number;
  look?: Look;
  fate?: "kept" | "tipped";
};

/** A pour as viewers see it: planned, current or done. */
export type PublicPour = {
  source: { from: "vessel"; vessel: Id } | { from: "powder"; dye: Id };
  /** "Saltmarsh 1 %", or "Lantern powder". */
  title: string;
  hex: string;
  pan: Id;
  technique: Technique;
  coverage: number;
  placement?: string;
  how: "measured" | "estimated" | "unsettled";
  /** By volume for a stock or jug, by mass for powder. */
  volumeUl?: number;
  massUg?: number;
  plusMinus: number;
  drops?: number;
  /** Per skein: dye of this pour (µg per dye), and its average depth before and after. */
  doses: Record<Id, PublicDose>;
  /** Dye that goes into a bath with no skein in it, µg per dye; only where `doses` is empty. */
  bathDyes?: DyeMasses;
};

export type PublicDose = {
  dyes: DyeMasses;
  beforePct: number;
  afterPct: number;
  /** Depth of this pour where it touches the yarn, % of the fibre touched. */
  localPct: number;
};

export type PublicStep = { n: number; status: "open" | "running" | "done" | "skipped" } & (
  | { kind: "pour"; pour: PublicPour }
  | { kind: "add"; pan: Id; what: Addition; label: string; amount: AdditionAmount }
  | {
      kind: "heat";
      how: Heating;
      pan: Id;
      seconds: number;
      waitingFor: string;
      wait: boolean;
      celsius?: number;
    }
);

/** A pour that was made. `n` counts from 1 in the order in which they were made. */
export type PublicPoured = PublicPour & {
  n: number;
  at: number;
  step?: Id;
  corrected: boolean;
  /** Poured after the stream. */
  offAir?: true;
};

/** A correction that was made after the stream, in words. */
export type PublicCorrection = {
  at: number;
  /** The act that it corrects. */
  act: number;
  was: string;
  /** What it was in truth; absent where it never happened. */
  now?: string;
  reason: string;
};

export type PublicAddition = {
  at: number;
  pan: Id;
  what: Addition;
  label: string;
  amount: AdditionAmount;
};

/** A heat or rest that is over; `seconds` is how long it was in truth. */
export type PublicHeat = Omit<Heated, "act" | "ended"> & { ended?: "early" };

export type PublicTimer = {
  how: Heating;
  pan: Id;
  seconds: number;
  waitingFor: string;
  startedAt: number;
  /** The step of the sheet that it belongs to. */
  step?: Id;
};

/**
 * All that a viewer may see, and the whole of what overlay and follow page receive. Collections
 * are keyed by identifier and hold no `null`, so that changes travel as JSON Merge Patches.
 */
export type PublicView = {
  session: {
    name: string;
    phase: Phase;
    openedAt: number;
    liveAt?: number;
    closedAt?: number;
    /** How long a follow page waits before it shows what it received, s; absent for not at all. */
    holdBackSeconds?: number;
  };
  overlay: { view: OverlayView; parts: OverlayParts; code?: string };
  dyes: Record<Id, PublicDye>;
  bases: Record<Id, PublicBase>;
  vessels: Record<Id, PublicVessel>;
  skeins: Record<Id, PublicSkein>;
  pans: Record<Id, PublicPan>;
  steps: Record<Id, PublicStep>;
  /** Identifier of the step that is next; absent when all are done. */
  current?: Id;
  /** By act number. */
  poured: Record<string, PublicPoured>;
  additions: Record<string, PublicAddition>;
  /** Heats and rests that are over, by the act that began them; absent while there is none. */
  heats?: Record<string, PublicHeat>;
  /** Running timers. */
  timers: Record<Id, PublicTimer>;
  /** Hazards of the current step and of all that is running. */
  hazards: readonly Hazard[];
  notes: Record<string, { at: number; text: string }>;
  /** Corrections made after the stream, by act number; absent while there is none. */
  corrections?: Record<string, PublicCorrection>;
  /** The session looked back on; while the recap card is on screen, and once the session is closed. */
  recap?: Recap;
};

export function publicView(state: State): PublicView {
  const { setup, bench, phase } = state;
  const current = phase === "closed" ? null : currentStep(state);
  return {
    session: {
      name: setup.name,
      phase,
      openedAt: state.openedAt,
      ...(state.liveAt === null ? {} : { liveAt: state.liveAt }),
      ...(state.closedAt === null ? {} : { closedAt: state.closedAt }),
      ...(state.holdBackSeconds ? { holdBackSeconds: state.holdBackSeconds } : {}),
    },
    overlay: state.overlay,
    dyes: mapValues(setup.dyes, (dye) => {
      const { hex, uncertainty } = dyeTint(dye);
      return { name: dye.name, hex, uncertainty };
    }),
    bases: mapValues(setup.bases, ({ name, fibres, superwash, hex, flecks }) => ({
      name,
      fibres,
      superwash,
      hex,
      flecks,
    })),
    vessels: mapValues(bench.vessels, (vessel) => {
      const { madeUg, madeUl } = vessel.vessel;
      return {
        name: vessel.name,
        title: sayVessel(state, vessel.id),
        as: vessel.as,
        strengthPct: strengthPct(totalUg(madeUg), madeUl),
        strengths: mapValues(madeUg, (ug) => strengthPct(ug, madeUl)),
        ...chipOf(state, madeUg),
      };
    }),
    skeins: publicSkeins(state),
    pans: publicPans(state),
    steps: publicSteps(state),
    ...(current === null ? {} : { current: current.id }),
    poured: publicPoured(state),
    additions: publicAdditions(state),
    ...publicHeats(state),
    timers: mapValues(running(state), ({ how, pan, seconds, waitingFor, startedAt, step }) => ({
      how,
      pan,
      seconds,
      waitingFor,
      startedAt,
      ...(step === null ? {} : { step }),
    })),
    hazards: liveHazards(state, current),
    notes: publicNotes(state),
    ...publicCorrections(state),
    ...(state.overlay.view === "recap" || phase === "closed" ? { recap: recapView(state) } : {}),
  };
}

/** The session looked back on, in the colours of this view. */
export function recapView(state: State): Recap {
  return recapOf(state, {
    skein: (id) => {
      const { ground, patches } = skeinColour(state, id);
      const seen = seenOfLot(state, id);
      // One colour says nothing of a skein in several: there the prediction stays.
      if (seen && patches.length === 0) {
        const known: SeenColour & Pick<RecapColour, "patches"> = { ...seen, patches: [] };
        return known;
      }
      return {
        hex: ground.hex,
        patches: patches.map(({ hex, coverage, specks }) => ({ hex, coverage, specks })),
      };
    },
    liquor: (dyes) => liquorHex(state, dyes),
  });
}

function mapValues<In, Out>(
  record: Readonly<Record<string, In>>,
  change: (value: In, key: string) => Out,
): Record<string, Out> {
  const changed: Record<string, Out> = {};
  for (const key of Object.keys(record)) changed[key] = change(record[key] as In, key);
  return changed;
}

function running(state: State): Record<Id, BenchTimer> {
  const timers: Record<Id, BenchTimer> = {};
  for (const timer of Object.values(state.bench.timers)) {
    if (timer.stoppedAt === null) timers[timer.id] = timer;
  }
  return timers;
}

/** Predicted colour of a liquor as 1 % of it would dye the session's first base, `#rrggbb`. */
export function liquorHex(state: State, dyes: DyeMasses): string {
  return liquorTint(state, dyes).hex;
}

function chipOf(state: State, dyes: DyeMasses): { hex: string; uncertainty: number } {
  const { hex, uncertainty } = liquorTint(state, dyes);
  return { hex, uncertainty };
}

function publicSkeins(state: State): Record<Id, PublicSkein> {
  let n = 0;
  return mapValues(state.bench.skeins, (there, id) => {
    const { skein, pan, dyes, plusMinusUg, outcome, rinse, offAir } = there;
    const seen = seenColour(outcome);
    const strayed = seen === null ? undefined : comparison(state, id)?.difference;
    const colourway =
      skein.colourway === undefined ? undefined : state.setup.colourways[skein.colourway]?.name;
    n += 1;
    return {
      n,
      name: skein.name,
      base: skein.base,
      massUg: skein.massUg,
      ...(colourway === undefined ? {} : { colourway }),
      ...(pan === null ? {} : { pan }),
      dyes,
      plusMinusUg,
      depthPct: depthPct(totalUg(dyes), skein.massUg),
      plusMinusPct: depthPct(totalUg(plusMinusUg), skein.massUg),
      colour: skeinColour(state, id),
      ...(seen === null ? {} : { seen }),
      ...(strayed === undefined ? {} : { strayed }),
      ...(rinse === undefined ? {} : { rinse: bleedOf(rinse) }),
      ...(offAir === true ? { offAir } : {}),
    };
  });
}

function publicPans(state: State): Record<Id, PublicPan> {
  let n = 0;
  return mapValues(state.bench.pans, ({ pan, bathUl, celsius, look, fate }, id) => {
    const skeins = Object.values(state.bench.skeins).filter((skein) => skein.pan === id);
    const fibreUg = skeins.reduce((sum, { skein }) => sum + skein.massUg, 0);
    const dyeUg = skeins.reduce((sum, { dyes }) => sum + totalUg(dyes), 0);
    n += 1;
    return {
      n,
      name: pan.name,
      capacityUl: pan.capacityUl,
      waterUl: pan.waterUl,
      bathUl,
      method: pan.method,
      fibreUg,
      depthPct: fibreUg === 0 ? 0 : depthPct(dyeUg, fibreUg),
      ...(celsius === null ? {} : { celsius }),
      ...(look === null ? {} : { look }),
      ...(fate === null ? {} : { fate }),
    };
  });
}

/*
 * Viewers are told at every event, and an event changes little of a long session: a step and a pour
 * are told anew only where something has changed that they are told from. Then they are also the
 * very same as before, which patches see at once.
 */
const toldSteps = keptWith<PublicStep>();
const toldPours = keptWith<PublicPoured>();

function publicSteps(state: State): Record<Id, PublicStep> {
  const { setup, bench, adjusted } = state;
  const lying = new Map<Id, BenchSkein[]>();
  for (const skein of Object.values(bench.skeins)) {
    if (skein.pan !== null) lying.set(skein.pan, [...(lying.get(skein.pan) ?? []), skein]);
  }
  const steps: Record<Id, PublicStep> = {};
  setup.steps.forEach((step, i) => {
    const from: unknown[] = [setup, bench.steps[step.id]?.status, adjusted[step.id]];
    if (step.kind === "pour") {
      const { pan, source } = step.pour;
      if (source.from === "vessel") from.push(...strengthOf(state, source.vessel));
      from.push(...(lying.get(pan) ?? []));
    }
    steps[step.id] = toldSteps(step, from, () => ({ n: i + 1, ...publicStep(state, step) }));
  });
  return steps;
}

/** All of a bottle or jug that its pours are told by: they are the same however it empties. */
function strengthOf({ bench }: State, id: Id): readonly unknown[] {
  const there = bench.vessels[id];
  return [there?.name, there?.vessel.madeUl, there?.vessel.madeUg];
}

function publicStep(state: State, step: Step): Omit<PublicStep, "n"> & PublicStepKind {
  const status = state.bench.steps[step.id]?.status ?? "open";
  switch (step.kind) {
    case "pour":
      return { status, kind: "pour", pour: plannedPour(state, step) };
    case "add": {
      const pending = stepAmount(state, step);
      const amount = pending?.of === "addition" ? pending.amount : step.amount;
      const { pan, what, label } = step;
      return { status, kind: "add", pan, what, label, amount };
    }
    case "heat": {
      const { how, pan, seconds, waitingFor, wait, celsius } = step;
      const hot = celsius === undefined ? {} : { celsius };
      return { status, kind: "heat", how, pan, seconds, waitingFor, wait, ...hot };
    }
  }
}
type PublicStepKind = PublicStep extends infer S
  ? S extends unknown
    ? Omit<S, "n">
    : never
  : never;

/** A planned pour with the depth each skein has now and would have after it. */
function plannedPour(state: State, step: Extract<Step, { kind: "pour" }>): PublicPour {
  const pour = pourNow(state, step);
  const dyes = offeredDyes(state, pour);
  const weights = pour.shares.map((share) => share.parts);
  const parts = weights.reduce((sum, weight) => sum + weight, 0);
  const shares = parts === 0 ? [] : shareLiquor({ volumeUl: 0, dyes }, weights);
  const doses: Record<Id, PublicDose> = {};
  pour.shares.forEach(({ skein, parts: own }, i) => {
    const there = state.bench.skeins[skein];
    if (!there) return;
    // Depth is told from the exact share, so that like skeins are told alike: the microgram that
    // sharing out cannot split goes to some of them only when the pour is made.
    const dyeUg = (totalUg(dyes) * own) / parts;
    const { massUg } = there.skein;
    const beforePct = depthPct(totalUg(there.dyes), massUg);
    doses[skein] = {
      dyes: shares[i]?.dyes ?? {},
      beforePct,
      afterPct: beforePct + depthPct(dyeUg, massUg),
      localPct: localDepthPct(dyeUg, massUg, pour.coverage),
    };
  });
  return { ...pourFacts(state, pour, dyes), doses, ...bathDyes(doses, dyes) };
}

function bathDyes(doses: PublicPour["doses"], dyes: DyeMasses): { bathDyes?: DyeMasses } {
  return Object.keys(doses).length === 0 ? { bathDyes: dyes } : {};
}

/** Dye that a pour would bring at the bottle's strength, µg. */
function offeredDyes(state: State, pour: Pour): DyeMasses {
  const { source } = pour;
  if (source.from === "powder") return { [source.dye]: source.amount.massUg };
  const vessel = state.bench.vessels[source.vessel]?.vessel;
  if (!vessel) return {};
  const { volumeUl } = source.amount;
  return mapValues(vessel.madeUg, (ug) => Math.round((ug * volumeUl) / vessel.madeUl));
}

/** What is the same for a planned pour and one that was made, which may have been of another strength. */
function pourFacts(
  state: State,
  pour: Pour,
  dyes: DyeMasses,
  strength?: number,
): Omit<PublicPour, "doses"> {
  const { source, pan, technique, coverage, placement } = pour;
  const facts = {
    title: saySource(state, source, strength),
    hex: liquorHex(state, dyes),
    pan,
    technique,
    coverage,
    ...(placement === undefined ? {} : { placement }),
    how: source.amount.how,
  };
  if (source.from === "powder") {
    const { massUg, plusMinusUg } = source.amount;
    return {
      ...facts,
      source: { from: "powder", dye: source.dye },
      massUg,
      plusMinus: plusMinusUg,
    };
  }
  const { volumeUl, plusMinusUl, drops } = source.amount;
  return {
    ...facts,
    source: { from: "vessel", vessel: source.vessel },
    volumeUl,
    plusMinus: plusMinusUl,
    ...(drops === undefined ? {} : { drops }),
  };
}

function publicPoured(state: State): Record<string, PublicPoured> {
  const poured: Record<string, PublicPoured> = {};
  state.bench.poured.forEach((one, i) => {
    const { source } = one.pour;
    const name = source.from === "vessel" ? state.bench.vessels[source.vessel]?.name : undefined;
    poured[one.act] = toldPours(one, [state.setup, i, name], () => ({
      n: i + 1,
      ...pouredFacts(state, one),
    }));
  });
  return poured;
}

function pouredFacts(state: State, poured: Poured): Omit<PublicPoured, "n"> {
  const doses: Record<Id, PublicDose> = {};
  for (const { skein, dyes, beforePct, afterPct } of poured.doses) {
    const fibreUg = state.bench.skeins[skein]?.skein.massUg ?? 1;
    const localPct = localDepthPct(totalUg(dyes), fibreUg, poured.pour.coverage);
    doses[skein] = { dyes, beforePct, afterPct, localPct };
  }
  return {
    ...pourFacts(state, poured.pour, poured.dyes, poured.strengthPct ?? undefined),
    doses,
    ...bathDyes(doses, poured.dyes),
    at: poured.at,
    ...(poured.step === null ? {} : { step: poured.step }),
    corrected: poured.corrected,
    ...(poured.offAir === true ? { offAir: true } : {}),
  };
}

function bleedOf({ water, cloth }: Rinse): { water: Bleed; cloth?: Bleed } {
  return { water, ...(cloth === undefined ? {} : { cloth }) };
}

function publicCorrections(state: State): Pick<PublicView, "corrections"> {
  const corrections: Record<string, PublicCorrection> = {};
  for (const { seq, at, act, was, now, reason } of correctionsAfter(state)) {
    corrections[seq] = { at, act, was, ...(now === null ? {} : { now }), reason };
  }
  return Object.keys(corrections).length === 0 ? {} : { corrections };
}

function publicAdditions(state: State): Record<string, PublicAddition> {
  const additions: Record<string, PublicAddition> = {};
  for (const [pan, { additions: added }] of Object.entries(state.bench.pans)) {
    for (const { act, at, what, label, amount } of added) {
      additions[act] = { at, pan, what, label, amount };
    }
  }
  return additions;
}

function publicHeats(state: State): Pick<PublicView, "heats"> {
  const heats: Record<string, PublicHeat> = {};
  for (const { act, ended, ...heat } of heatsOf(state)) {
    if (ended !== "notYet") heats[act] = ended === undefined ? heat : { ...heat, ended };
  }
  return Object.keys(heats).length === 0 ? {} : { heats };
}

function publicNotes(state: State): PublicView["notes"] {
  const notes: PublicView["notes"] = {};
  for (const { act, at, text, seen } of state.bench.notes) {
    if (seen === "public") notes[act] = { at, text };
  }
  return notes;
}
