import type { RecordedSeen } from "../colour/seen.ts";
import { depthPct } from "../dye/depth.ts";
import { mulDivCeil } from "../dye/mulDiv.ts";
import { strengthPct } from "../dye/strength.ts";
import {
  addLiquor,
  addMasses,
  type DyeMasses,
  draw,
  type Liquor,
  leftUl,
  pourIn,
  shareLiquor,
  shareMasses,
  totalUg,
  type Vessel,
  vesselOf,
} from "../dye/vessel.ts";
import type { Act, Bleed, Entry, Look, Replacement } from "./act.ts";
import type { Addition, AdditionAmount, Heating, Id, Pan, Pour, Setup, Skein } from "./setup.ts";

/** What one skein was given by one pour. */
export type SkeinDose = {
  skein: Id;
  volumeUl: number;
  dyes: DyeMasses;
  /** Average depth over the whole skein before and after, % owf, all dyes summed. */
  beforePct: number;
  afterPct: number;
};

/** A pour as it stands in the record, corrections and settlements applied. */
export type Poured = {
  act: number;
  at: number;
  step: Id | null;
  pour: Pour;
  /** Strength of the bottle or jug when it was poured from, % w/v; `null` for powder. */
  strengthPct: number | null;
  /** Dye that this pour offered, µg. */
  dyes: DyeMasses;
  /** Half-width of the uncertainty of each dye's mass, µg. */
  plusMinusUg: DyeMasses;
  doses: readonly SkeinDose[];
  corrected: boolean;
  /** True where it was poured, or written down, after the session had been closed. */
  offAir?: true;
};

/** A look at how much dye comes off a skein; `cloth` where a white cloth was pressed on it. */
export type Rinse = { act: number; at: number; water: Bleed; cloth?: Bleed; words: string };

/** How a skein came out, dry and rinsed: its colour, a photograph by its digest, or both. */
export type Outcome = {
  act: number;
  at: number;
  seen?: RecordedSeen;
  photograph?: string;
  words: string;
};

export type BenchVessel = { id: Id; name: string; as: "stock" | "jug"; vessel: Vessel };

export type BenchSkein = {
  skein: Skein;
  pan: Id | null;
  /** Dye offered so far, µg. */
  dyes: DyeMasses;
  /** Worst-case half-width of each, µg. */
  plusMinusUg: DyeMasses;
  /** True where it was put on the bench after the session had been closed. */
  offAir?: true;
  /** The last of each. */
  rinse?: Rinse;
  outcome?: Outcome;
};

export type PanAddition = {
  act: number;
  at: number;
  what: Addition;
  label: string;
  amount: AdditionAmount;
};

export type BenchPan = {
  pan: Pan;
  /** Liquor in the pan: water, acid and all that was poured, less what was tipped. */
  bathUl: number;
  /** Dye poured into a bath with no skein in it, waiting for one, µg. */
  bathDyes: DyeMasses;
  bathPlusMinusUg: DyeMasses;
  additions: readonly PanAddition[];
  celsius: number | null;
  /** True from its first heat until it was noted to be cool, rested or tipped. */
  hot: boolean;
  look: Look | null;
  fate: "kept" | "tipped" | null;
};

export type BenchTimer = {
  id: Id;
  how: Heating;
  pan: Id;
  seconds: number;
  waitingFor: string;
  wait: boolean;
  step: Id | null;
  startedAt: number;
  stoppedAt: number | null;
};

export type StepProgress = { status: "running" | "done" | "skipped"; act: number };

/** Where dye is that is neither in a bottle nor offered to a skein, µg per dye. */
export type Losses = { tipped: DyeMasses; spilled: DyeMasses };

export type Note = { act: number; at: number; text: string; seen: "public" | "private" };

/** The bench after all acts: bottles, pans, skeins, timers and the account of every dye. */
export type Bench = {
  vessels: Record<Id, BenchVessel>;
  skeins: Record<Id, BenchSkein>;
  pans: Record<Id, BenchPan>;
  timers: Record<Id, BenchTimer>;
  steps: Record<Id, StepProgress>;
  poured: Poured[];
  notes: Note[];
  losses: Losses;
  /** Dye and liquid that came onto the bench: bottles at the start, powder and water since. */
  brought: Liquor;
  /** Liquid poured, tipped or spilled out of bottles and jugs, µL. */
  outUl: { poured: number; tipped: number; spilled: number };
};

/** What is wrong with a list of acts: the act that cannot be, and why. */
export type BenchProblem = {
  act: number;
  code: "overdrawn" | "noLiquid" | "tooStrong";
  vessel: Id;
  leftUl: number;
};

const none: DyeMasses = {};

/** Water at this temperature scalds within a minute or so; common practice, no source. */
export const hotCelsius = 50;
const nothing: Liquor = { volumeUl: 0, dyes: none };

export function benchOf(setup: Setup): Bench {
  const bench: Bench = {
    vessels: {},
    skeins: {},
    pans: {},
    timers: {},
    steps: {},
    poured: [],
    notes: [],
    losses: { tipped: none, spilled: none },
    brought: { volumeUl: 0, dyes: none },
    outUl: { poured: 0, tipped: 0, spilled: 0 },
  };
  for (const stock of Object.values(setup.stocks)) {
    const liquor = { volumeUl: stock.volumeUl, dyes: stock.dyes };
    bench.vessels[stock.id] = {
      id: stock.id,
      name: stock.name,
      as: "stock",
      vessel: vesselOf(liquor),
    };
    bench.brought = addLiquor(bench.brought, liquor);
  }
  for (const pan of Object.values(setup.pans)) bench.pans[pan.id] = benchPan(pan);
  for (const skein of Object.values(setup.skeins)) {
    bench.skeins[skein.id] = benchSkein(skein);
  }
  return bench;
}

/** A copy that can be acted on without the first one noticing; entries themselves are shared. */
export function copyBench(bench: Bench): Bench {
  return {
    vessels: { ...bench.vessels },
    skeins: { ...bench.skeins },
    pans: { ...bench.pans },
    timers: { ...bench.timers },
    steps: { ...bench.steps },
    poured: bench.poured.slice(),
    notes: bench.notes.slice(),
    losses: bench.losses,
    brought: bench.brought,
    outUl: { ...bench.outUl },
  };
}

/** What an act was in truth; `corrected` when somebody said so, not when a reading settled it. */
export type Truth = { to: Replacement; corrected: boolean };

/** What every act really was, once corrections and settlements are counted in; by number. */
export function replacements(entries: readonly Entry[]): Map<number, Truth> {
  const truth = new Map<number, Truth>();
  let pours: Map<number, Truth> | null = null;
  for (const { act } of entries) {
    if (act.kind === "correct") truth.set(act.act, { to: act.to, corrected: true });
    if (act.kind !== "settle") continue;
    if (pours === null) {
      pours = new Map();
      for (const { seq, act } of entries) {
        if (act.kind === "pour") pours.set(seq, { to: act, corrected: false });
      }
    }
    for (const { act: seq, volumeUl, plusMinusUl } of act.amounts) {
      const was = truth.get(seq) ?? pours.get(seq);
      if (was?.to?.kind !== "pour" || was.to.pour.source.from !== "vessel") continue;
      const amount = { how: "measured" as const, volumeUl, plusMinusUl };
      const source = { ...was.to.pour.source, amount };
      truth.set(seq, { ...was, to: { ...was.to, pour: { ...was.to.pour, source } } });
    }
  }
  return truth;
}

/** The bench after `entries`, from the beginning; or the first act that cannot be. */
export function replay(setup: Setup, entries: readonly Entry[]): Bench | BenchProblem {
  const bench = benchOf(setup);
  const truth = replacements(entries);
  for (const entry of entries) {
    const problem = applyAct(bench, entry, truth.get(entry.seq));
    if (problem) return problem;
  }
  return bench;
}

export function isProblem(result: Bench | BenchProblem): result is BenchProblem {
  return "code" in result;
}

/**
 * Lets one act happen on `bench`, which is changed. `truth` stands in for what was written when
 * the act was corrected later; `null` leaves it out, though the step it ended stays ended.
 */
export function applyAct(bench: Bench, entry: Entry, truth?: Truth): BenchProblem | null {
  const written = entry.act;
  if ("step" in written && written.step !== undefined) endStep(bench, written, entry.seq);
  if (truth?.to === null) return null;
  const act = truth?.to ?? written;
  switch (act.kind) {
    case "pour":
      return applyPour(bench, entry, act.pour, act.step ?? null, truth?.corrected === true);
    case "mix":
      return applyMix(bench, entry.seq, act);
    case "discard":
      return applyDiscard(bench, entry.seq, act);
    case "add": {
      const pan = bench.pans[act.pan];
      if (!pan) return null;
      const { what, label, amount } = act;
      const added = "volumeUl" in amount ? amount.volumeUl : 0;
      bench.pans[act.pan] = {
        ...pan,
        bathUl: pan.bathUl + added,
        additions: [...pan.additions, { act: entry.seq, at: entry.at, what, label, amount }],
      };
      return null;
    }
    case "skeinNew":
      bench.skeins[act.skein.id] = { ...benchSkein(act.skein), ...offAirOf(entry) };
      if (act.skein.pan !== undefined) takeUpBath(bench, act.skein.pan);
      return null;
    case "skeinMove": {
      const skein = bench.skeins[act.skein];
      if (!skein) return null;
      bench.skeins[act.skein] = { ...skein, pan: act.to };
      if (act.to !== null) takeUpBath(bench, act.to);
      return null;
    }
    case "panNew":
      bench.pans[act.pan.id] = benchPan(act.pan);
      return null;
    case "temperature":
      return changePan(bench, act.pan, { celsius: act.celsius, hot: act.celsius >= hotCelsius });
    case "look":
      return changePan(bench, act.pan, { look: act.look });
    case "bath":
      return endBath(bench, act.pan, act.fate);
    case "timerStart": {
      const { how, pan, seconds, waitingFor, wait } = act;
      bench.timers[act.timer] = {
        id: act.timer,
        how,
        pan,
        seconds,
        waitingFor,
        wait,
        step: act.step ?? null,
        startedAt: entry.at,
        stoppedAt: null,
      };
      return how === "rest" ? null : changePan(bench, pan, { hot: true });
    }
    case "timerExtend": {
      const timer = bench.timers[act.timer];
      if (timer) {
        bench.timers[act.timer] = { ...timer, seconds: timer.seconds + act.seconds };
      }
      return null;
    }
    case "timerStop": {
      const timer = bench.timers[act.timer];
      if (!timer) return null;
      bench.timers[act.timer] = { ...timer, stoppedAt: entry.at };
      return timer.how === "rest" ? changePan(bench, timer.pan, { hot: false }) : null;
    }
    case "note":
      bench.notes.push({ act: entry.seq, at: entry.at, text: act.text, seen: act.seen });
      return null;
    case "rinse": {
      const { kind: _, skeins, ...rinse } = act;
      for (const id of skeins) {
        changeSkein(bench, id, { rinse: { act: entry.seq, at: entry.at, ...rinse } });
      }
      return null;
    }
    case "result": {
      const { kind: _, skein, ...outcome } = act;
      return changeSkein(bench, skein, { outcome: { act: entry.seq, at: entry.at, ...outcome } });
    }
    case "skip":
    case "settle":
    case "correct":
      return null;
  }
}

function offAirOf({ offAir }: Entry): { offAir?: true } {
  return offAir ? { offAir } : {};
}

function changeSkein(bench: Bench, id: Id, change: Partial<BenchSkein>): null {
  const skein = bench.skeins[id];
  if (skein) bench.skeins[id] = { ...skein, ...change };
  return null;
}

function benchPan(pan: Pan): BenchPan {
  return {
    pan,
    bathUl: pan.waterUl,
    bathDyes: none,
    bathPlusMinusUg: none,
    additions: [],
    celsius: null,
    hot: false,
    look: null,
    fate: null,
  };
}

function benchSkein(skein: Skein): BenchSkein {
  return { skein, pan: skein.pan ?? null, dyes: none, plusMinusUg: none };
}

function endStep(bench: Bench, act: Act & { step?: Id }, seq: number): void {
  if (act.step === undefined) return;
  const status =
    act.kind === "skip" ? "skipped" : act.kind === "timerStart" && act.wait ? "running" : "done";
  bench.steps[act.step] = { status, act: seq };
}

function changePan(bench: Bench, id: Id, change: Partial<BenchPan>): null {
  const pan = bench.pans[id];
  if (pan) bench.pans[id] = { ...pan, ...change };
  return null;
}

/** Draws from a bottle or jug, or says that it does not hold so much. */
function drawFrom(bench: Bench, seq: number, id: Id, volumeUl: number): Liquor | BenchProblem {
  const vessel = bench.vessels[id];
  const heldUl = vessel ? leftUl(vessel.vessel) : 0;
  if (!vessel || volumeUl > heldUl) {
    return { act: seq, code: "overdrawn", vessel: id, leftUl: heldUl };
  }
  const { vessel: after, drawn } = draw(vessel.vessel, volumeUl);
  bench.vessels[id] = { ...vessel, vessel: after };
  return drawn;
}

function applyPour(
  bench: Bench,
  entry: Entry,
  pour: Pour,
  step: Id | null,
  corrected: boolean,
): BenchProblem | null {
  const { source } = pour;
  let liquor: Liquor;
  let strength: number | null = null;
  if (source.from === "vessel") {
    const made = bench.vessels[source.vessel]?.vessel;
    if (made) strength = strengthPct(totalUg(made.madeUg), made.madeUl);
    const drawn = drawFrom(bench, entry.seq, source.vessel, source.amount.volumeUl);
    if ("code" in drawn) return drawn;
    liquor = drawn;
    bench.outUl.poured += drawn.volumeUl;
  } else {
    liquor = { volumeUl: 0, dyes: { [source.dye]: source.amount.massUg } };
    bench.brought = addLiquor(bench.brought, liquor);
  }
  const plusMinusUg = doubt(source, liquor.dyes);
  let doses: SkeinDose[] = [];
  if (pour.shares.length === 0) {
    const pan = bench.pans[pour.pan];
    if (pan) {
      bench.pans[pour.pan] = {
        ...pan,
        bathDyes: addMasses(pan.bathDyes, liquor.dyes),
        bathPlusMinusUg: addMasses(pan.bathPlusMinusUg, plusMinusUg),
      };
    }
  } else {
    doses = offerShares(bench, pour.shares, liquor, plusMinusUg);
  }
  const pan = bench.pans[pour.pan];
  if (pan) bench.pans[pour.pan] = { ...pan, bathUl: pan.bathUl + liquor.volumeUl };
  bench.poured.push({
    act: entry.seq,
    at: entry.at,
    step,
    pour,
    strengthPct: strength,
    dyes: liquor.dyes,
    plusMinusUg,
    doses,
    corrected,
    ...offAirOf(entry),
  });
  return null;
}

/**
 * The part of each dye that is in doubt: as the amount is, in proportion, rounded up. Over several
 * pours doubts add in full, never as the root of the sum of squares, which is for independent
 * errors: pours settled from one level are not independent, nor are two guesses by one eye.
 */
function doubt(source: Pour["source"], dyes: DyeMasses): DyeMasses {
  const [of, plusMinus] =
    source.from === "vessel"
      ? [source.amount.volumeUl, source.amount.plusMinusUl]
      : [source.amount.massUg, source.amount.plusMinusUg];
  if (plusMinus === 0) return none;
  const doubts: Record<Id, number> = {};
  for (const [dye, ug] of Object.entries(dyes)) doubts[dye] = mulDivCeil(ug, plusMinus, of);
  return doubts;
}

/** Offers liquor, and the doubt about it, to skeins by their parts, each to the last unit. */
function offerShares(
  bench: Bench,
  shares: Pour["shares"],
  liquor: Liquor,
  plusMinusUg: DyeMasses,
): SkeinDose[] {
  const parts = shares.map((share) => share.parts);
  const liquors = shareLiquor(liquor, parts);
  const doubts = plusMinusUg === none ? [] : shareMasses(plusMinusUg, parts);
  const doses: SkeinDose[] = [];
  shares.forEach(({ skein }, at) => {
    const dose = offer(bench, skein, liquors[at] ?? nothing, doubts[at] ?? none);
    if (dose) doses.push(dose);
  });
  return doses;
}

function offer(bench: Bench, id: Id, liquor: Liquor, plusMinusUg: DyeMasses): SkeinDose | null {
  const skein = bench.skeins[id];
  if (!skein) return null;
  const beforeUg = totalUg(skein.dyes);
  const afterUg = beforeUg + totalUg(liquor.dyes);
  bench.skeins[id] = {
    ...skein,
    dyes: addMasses(skein.dyes, liquor.dyes),
    plusMinusUg:
      plusMinusUg === none ? skein.plusMinusUg : addMasses(skein.plusMinusUg, plusMinusUg),
  };
  return {
    skein: id,
    volumeUl: liquor.volumeUl,
    dyes: liquor.dyes,
    beforePct: depthPct(beforeUg, skein.skein.massUg),
    afterPct: depthPct(afterUg, skein.skein.massUg),
  };
}

/** Dye that waits in a bath is offered to the skeins that come into it, by weight. */
function takeUpBath(bench: Bench, id: Id): void {
  const pan = bench.pans[id];
  if (!pan || totalUg(pan.bathDyes) === 0) return;
  const shares = Object.values(bench.skeins)
    .filter((skein) => skein.pan === id)
    .map((skein) => ({ skein: skein.skein.id, parts: skein.skein.massUg }));
  if (shares.length === 0) return;
  offerShares(bench, shares, { volumeUl: 0, dyes: pan.bathDyes }, pan.bathPlusMinusUg);
  changePan(bench, id, { bathDyes: none, bathPlusMinusUg: none });
}

function applyMix(
  bench: Bench,
  seq: number,
  act: Extract<Act, { kind: "mix" }>,
): BenchProblem | null {
  let liquor: Liquor = { volumeUl: act.waterUl, dyes: none };
  for (const { dye, massUg } of act.powder) {
    liquor = addLiquor(liquor, { volumeUl: 0, dyes: { [dye]: massUg } });
  }
  bench.brought = addLiquor(bench.brought, liquor);
  for (const part of act.parts) {
    const drawn = drawFrom(bench, seq, part.vessel, part.volumeUl);
    if ("code" in drawn) return drawn;
    liquor = addLiquor(liquor, drawn);
  }
  const into = bench.vessels[act.into];
  const vessel = into ? pourIn(into.vessel, liquor) : vesselOf(liquor);
  const problem = { act: seq, vessel: act.into, leftUl: vessel.madeUl };
  if (vessel.madeUl === 0) return { ...problem, code: "noLiquid" };
  if (strengthPct(totalUg(vessel.madeUg), vessel.madeUl) > 100) {
    return { ...problem, code: "tooStrong" };
  }
  if (into) bench.vessels[act.into] = { ...into, vessel };
  else if (act.made) bench.vessels[act.into] = { id: act.into, ...act.made, vessel };
  return null;
}

function applyDiscard(
  bench: Bench,
  seq: number,
  act: Extract<Act, { kind: "discard" }>,
): BenchProblem | null {
  const drawn = drawFrom(bench, seq, act.vessel, act.volumeUl);
  if ("code" in drawn) return drawn;
  bench.losses = { ...bench.losses, [act.how]: addMasses(bench.losses[act.how], drawn.dyes) };
  bench.outUl[act.how] += drawn.volumeUl;
  return null;
}

/** A tipped bath is gone, with the dye that was still waiting in it; a kept one stays. */
function endBath(bench: Bench, id: Id, fate: "kept" | "tipped"): null {
  const pan = bench.pans[id];
  if (!pan) return null;
  if (fate === "kept") return changePan(bench, id, { fate });
  bench.losses = { ...bench.losses, tipped: addMasses(bench.losses.tipped, pan.bathDyes) };
  return changePan(bench, id, {
    fate,
    bathUl: 0,
    bathDyes: none,
    bathPlusMinusUg: none,
    look: null,
    celsius: null,
    hot: false,
    additions: [],
  });
}
