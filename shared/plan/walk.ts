import {
  type AcidMasses,
  type AcidSource,
  acidOf,
  acidUgForPct,
  acidUgForPh,
  acidUgIn,
  amountWith,
} from "../dye/acid.ts";
import { bathUlForRatio, dyeUgForDepth, volumeUlForDepth } from "../dye/depth.ts";
import { showVolume } from "../dye/display.ts";
import { type DyeClass, type Practice, practiceFor } from "../dye/dyeClass.ts";
import { boilingCelsius, coolSeconds, heatSeconds } from "../dye/heat.ts";
import { mulDivRound } from "../dye/mulDiv.ts";
import { refused } from "../dye/refusal.ts";
import { strengthPct } from "../dye/strength.ts";
import { addMasses, type DyeMasses, massOf, shareMasses, totalUg } from "../dye/vessel.ts";
import { maxMassUg, maxVolumeUl } from "../session/command.ts";
import type {
  AdditionAmount,
  Id,
  Pour,
  Setup,
  Share,
  Source,
  Step,
  Stock,
} from "../session/setup.ts";
import { baseOnBench, dyesOnBench } from "../shelf/onBench.ts";
import type { Shelf, ShelfBase, ShelfDye, ShelfStock } from "../shelf/shelf.ts";
import { type Pace, usualPace } from "./pace.ts";
import {
  type AddStep,
  isTimed,
  type Place,
  type Plan,
  type PlanPan,
  type PlanPour,
  type PlanSkein,
  type PlanStep,
  type PourStep,
  panOfStep,
  type TimedKind,
  type TimedStep,
} from "./plan.ts";

/** Why a line of a plan cannot be poured as it stands. */
export type PlanProblem = { place: Place; code: string; say: string };

/** One step of a plan, worked out at its place. */
export type Walked = {
  step: PlanStep;
  pan: Id | null;
  /** As it enters the record; null for a talk, or where a problem says why it cannot. */
  entering: Step | null;
  /** How long it takes, s, 0 or more. */
  seconds: number;
  /** Bath of its pan after it, uL, and the temperature before and after. */
  bathUl: number;
  fromCelsius: number;
  toCelsius: number;
};

/** A pan as the plan runs it. */
export type WalkedPan = {
  pan: PlanPan;
  skeins: readonly PlanSkein[];
  fibreUg: number;
  waterUl: number;
  /** The most liquor that it holds at any time, and at the end, uL. */
  peakUl: number;
  finalUl: number;
  /** Acid in it as pure substance, ug; salt, ug. */
  acids: AcidMasses;
  saltUg: number;
  /** Liquor in it and acids when it is first heated (at the end, where it never is). */
  heatedAt: { bathUl: number; acids: AcidMasses } | null;
  classes: readonly DyeClass[];
  practice: Practice;
  dyes: DyeMasses;
  pours: number;
};

/** Dye that the plan offers to a skein, ug, and the deepest it lies where a pour touches, % owf. */
export type WalkedSkein = { skein: PlanSkein; dyes: DyeMasses; localPct: number };

/** A plan walked from the first step to the last. */
export type Walk = {
  steps: readonly Walked[];
  pans: ReadonlyMap<Id, WalkedPan>;
  skeins: ReadonlyMap<Id, WalkedSkein>;
  /** Everything that can enter the record; what cannot is left out and told in `problems`. */
  setup: Setup;
  problems: readonly PlanProblem[];
};

/** How long a step takes where nothing is given (common practice, no source). */
export const USUAL_SECONDS: Readonly<Record<Exclude<TimedKind, "heat" | "hold" | "cool">, number>> =
  { wetOut: 1_800, steam: 1_500, oven: 1_800, rest: 600, rinse: 600, dry: 12 * 3_600 };

/** To what a bath is left to cool before it is rinsed, degrees C (common practice, no source). */
export const COOLED_CELSIUS = 40;
/** What an oven is set to (common practice, no source). */
export const OVEN_CELSIUS = 110;

/** A step of the record is two days at the most. */
const mostSeconds = 48 * 3_600;

type Shelves = {
  dyes: ReadonlyMap<Id, ShelfDye>;
  bases: ReadonlyMap<Id, ShelfBase>;
  stocks: ReadonlyMap<Id, ShelfStock>;
};

type PanSoFar = {
  -readonly [Key in keyof WalkedPan]: WalkedPan[Key];
} & { celsius: number; bathUl: number };

/**
 * Walks a plan in its order and works out every amount, time and temperature; each amount is
 * rounded once, here. Never throws for a plan that its schema took.
 */
export function walk(plan: Plan, shelf: Shelf, pace: Pace = usualPace): Walk {
  return new Walking(plan, shelf, pace).result();
}

class Walking {
  private readonly problems: PlanProblem[] = [];
  private readonly shelves: Shelves;
  private readonly pans = new Map<Id, PanSoFar>();
  private readonly skeins = new Map<Id, { skein: PlanSkein; dyes: DyeMasses; localPct: number }>();
  private readonly boils: number;

  constructor(
    private readonly plan: Plan,
    private readonly shelf: Shelf,
    private readonly pace: Pace,
  ) {
    this.shelves = { dyes: byId(shelf.dyes), bases: byId(shelf.bases), stocks: byId(shelf.stocks) };
    this.boils = boilingCelsius(plan.workroom.altitudeM);
  }

  result(): Walk {
    const { plan } = this;
    for (const skein of plan.skeins) {
      this.skeins.set(skein.id, { skein, dyes: {}, localPct: 0 });
      if (!this.shelves.bases.has(skein.base)) {
        const say = `Skein ${skein.name} is of a base that is not on the shelf. Choose its base.`;
        this.problem("skeins", skein.id, "skein.noBase", say);
      }
    }
    const classes = this.classesByPan();
    for (const pan of plan.pans) this.pans.set(pan.id, this.panAtStart(pan, classes));
    const steps = plan.steps.map((step) => this.walked(step));
    for (const pan of this.pans.values()) {
      pan.finalUl = pan.bathUl;
      pan.heatedAt ??= pan.bathUl > 0 ? { bathUl: pan.bathUl, acids: pan.acids } : null;
    }
    return {
      steps,
      pans: this.pans,
      skeins: this.skeins,
      setup: this.setup(steps),
      problems: this.problems,
    };
  }

  private problem(part: Place["part"], id: Id | null, code: string, say: string): void {
    this.problems.push({ place: { part, id }, code, say });
  }

  /** The classes of all dye that goes into each pan at any time: they set its ramp and acid. */
  private classesByPan(): Map<Id, Set<DyeClass>> {
    const found = new Map<Id, Set<DyeClass>>();
    for (const step of this.plan.steps) {
      if (step.kind !== "pour") continue;
      const { source, pan } = step.pour;
      const dyes =
        source.from === "powder"
          ? [source.dye]
          : Object.keys(this.shelves.stocks.get(source.stock)?.dyes ?? {});
      const classes = found.get(pan) ?? new Set();
      for (const dye of dyes) classes.add(this.shelves.dyes.get(dye)?.dyeClass ?? "unsure");
      found.set(pan, classes);
    }
    return found;
  }

  private panAtStart(pan: PlanPan, classesByPan: ReadonlyMap<Id, Set<DyeClass>>): PanSoFar {
    const skeins = this.plan.skeins.filter((skein) => skein.pan === pan.id);
    const fibreUg = skeins.reduce((sum, skein) => sum + skein.massUg, 0);
    const waterUl =
      pan.water.by === "volume" ? pan.water.volumeUl : bathUlForRatio(pan.water.ratio, fibreUg);
    if (waterUl > maxVolumeUl) {
      const say = `Pan ${pan.name} would take more than 100 L of water. Check its ratio.`;
      this.problem("pans", pan.id, "pan.tooMuchWater", say);
    }
    const classes = [...(classesByPan.get(pan.id) ?? [])];
    return {
      pan,
      skeins,
      fibreUg,
      waterUl,
      peakUl: waterUl,
      finalUl: waterUl,
      acids: {},
      saltUg: 0,
      heatedAt: null,
      classes,
      practice: practiceFor(classes),
      dyes: {},
      pours: 0,
      celsius: this.plan.workroom.tapCelsius,
      bathUl: waterUl,
    };
  }

  private walked(step: PlanStep): Walked {
    const id = panOfStep(step);
    const pan = id === null ? undefined : this.pans.get(id);
    if (id !== null && !pan) {
      this.problem("steps", step.id, "step.noPan", "This step has no pan. Choose one.");
    }
    const fromCelsius = pan?.celsius ?? this.plan.workroom.roomCelsius;
    let entering: Step | null = null;
    let seconds = 0;
    if (step.kind === "talk") {
      seconds = step.seconds ?? this.pace.talkSeconds;
    } else if (pan && step.kind === "pour") {
      seconds = step.seconds ?? this.pace.pourSeconds;
      const pour = this.pour(step, pan);
      const whole = step.pour.over === "all" ? { whole: true } : {};
      if (pour) entering = { id: step.id, kind: "pour", pour, ...whole };
    } else if (pan && step.kind === "add") {
      seconds = step.seconds ?? this.pace.addSeconds;
      entering = this.addition(step, pan);
    } else if (pan && isTimed(step)) {
      seconds = this.timed(step, pan);
      if (seconds > mostSeconds) {
        const say = "This takes more than two days by itself. Give it a time, or less to cool.";
        this.problem("steps", step.id, "step.tooLong", say);
        seconds = 0;
      }
      entering = seconds > 0 ? enteringTimed(step, seconds, pan.celsius) : null;
    }
    const bathUl = pan?.bathUl ?? 0;
    return {
      step,
      pan: id,
      entering,
      seconds,
      bathUl,
      fromCelsius,
      toCelsius: pan?.celsius ?? fromCelsius,
    };
  }

  /** Fills `pan` with so much more, at the temperature of the tap. */
  private fill(pan: PanSoFar, volumeUl: number): void {
    const all = pan.bathUl + volumeUl;
    if (all > 0) {
      const { tapCelsius } = this.plan.workroom;
      pan.celsius = (pan.celsius * pan.bathUl + tapCelsius * volumeUl) / all;
    }
    pan.bathUl = all;
    pan.peakUl = Math.max(pan.peakUl, all);
  }

  private pour(step: PourStep, pan: PanSoFar): Pour | null {
    const { pour } = step;
    const shares = this.shares(step, pan);
    if (!shares) return null;
    const fibreUg = shares.reduce(
      (sum, share) => sum + (this.skeins.get(share.skein)?.skein.massUg ?? 0),
      0,
    );
    const source = this.source(step, fibreUg);
    if (!source) return null;
    const { liquorUl, dyes } = this.drawn(source);
    this.fill(pan, liquorUl);
    pan.dyes = addMasses(pan.dyes, dyes);
    pan.pours += 1;
    this.offer(shares, dyes, pour.coverage);
    const placed = pour.placement === undefined ? {} : { placement: pour.placement };
    const { technique, coverage } = pour;
    return { source, pan: pan.pan.id, shares, technique, coverage, ...placed };
  }

  private shares(step: PourStep, pan: PanSoFar): Share[] | null {
    const { over } = step.pour;
    if (over === "all") {
      return pan.skeins.map((skein) => ({ skein: skein.id, parts: skein.massUg }));
    }
    const shares: Share[] = [];
    for (const { skein: id, parts } of over) {
      const skein = this.skeins.get(id)?.skein;
      if (!skein || skein.pan !== pan.pan.id) {
        const name = skein ? `Skein ${skein.name}` : "A skein of this pour";
        const say = `${name} does not lie in pan ${pan.pan.name}. Put it there, or leave it out.`;
        this.problem("steps", step.id, "pour.skeinNotThere", say);
        return null;
      }
      shares.push({ skein: id, parts: parts ?? skein.massUg });
    }
    return shares;
  }

  private source(step: PourStep, fibreUg: number): Source | null {
    const { source, amount } = step.pour;
    const refuse = (code: string, say: string) => {
      this.problem("steps", step.id, code, say);
      return null;
    };
    if (amount.by === "depth" && fibreUg === 0) {
      return refuse(
        "pour.noFibre",
        "A depth of shade needs skeins in the pan. Put one there, or give mL.",
      );
    }
    if (source.from === "powder") {
      if (!this.shelves.dyes.has(source.dye)) {
        return refuse("pour.noDye", "This dye is not on the shelf. Choose another.");
      }
      return (
        powderSource(source.dye, amount, fibreUg) ??
        refuse("pour.notByMass", "Dry powder is given in g or as a depth of shade.")
      );
    }
    const stock = this.shelves.stocks.get(source.stock);
    if (!stock) return refuse("pour.noStock", "This bottle is not on the shelf. Choose another.");
    if (amount.by === "mass") {
      return refuse("pour.notByVolume", "A stock is given in mL, drops or as a depth of shade.");
    }
    if (amount.by === "depth" && (stock.volumeUl === 0 || totalUg(stock.dyes) === 0)) {
      return refuse(
        "pour.noStrength",
        `${stock.name} is empty, so that its strength is not known. Fill it, or give mL.`,
      );
    }
    const volumeUl = volumeOf(stock, amount, fibreUg);
    if (volumeUl === 0) {
      return refuse("pour.nothing", "This amount is less than 0.001 mL. Give more, or dilute.");
    }
    if (volumeUl > maxVolumeUl) {
      return refuse(
        "pour.tooMuch",
        `${stock.name} is so weak that this takes more than 100 L of it.`,
      );
    }
    const how = amount.by === "volume" ? amount.how : ("measured" as const);
    const plusMinusUl = amount.by === "volume" ? amount.plusMinusUl : 0;
    const drops = amount.by === "drops" ? { drops: amount.drops } : {};
    return {
      from: "vessel",
      vessel: stock.id,
      amount: { how, volumeUl, plusMinusUl, ...drops },
    };
  }

  /** What a source gives at the bottle's own strength, whether it holds so much or not. */
  private drawn(source: Source): { liquorUl: number; dyes: DyeMasses } {
    if (source.from === "powder") {
      return { liquorUl: 0, dyes: { [source.dye]: source.amount.massUg } };
    }
    const { volumeUl } = source.amount;
    const stock = this.shelves.stocks.get(source.vessel);
    const dyes: Record<Id, number> = {};
    if (stock && stock.volumeUl > 0) {
      for (const dye of Object.keys(stock.dyes)) {
        dyes[dye] = mulDivRound(massOf(stock.dyes, dye), volumeUl, stock.volumeUl);
      }
    }
    return { liquorUl: volumeUl, dyes };
  }

  private offer(shares: readonly Share[], dyes: DyeMasses, coverage: number): void {
    if (shares.length === 0) return;
    const doses = shareMasses(
      dyes,
      shares.map((share) => share.parts),
    );
    shares.forEach((share, at) => {
      const skein = this.skeins.get(share.skein);
      if (!skein) return;
      const dose = doses[at] ?? {};
      skein.dyes = addMasses(skein.dyes, dose);
      const localPct = (totalUg(dose) / skein.skein.massUg / coverage) * 100;
      skein.localPct = Math.max(skein.localPct, localPct);
    });
  }

  private addition(step: AddStep, pan: PanSoFar): Step | null {
    const amount = this.additionAmount(step, pan);
    if (!amount) return null;
    if ("volumeUl" in amount ? amount.volumeUl > maxVolumeUl : amount.massUg > maxMassUg) {
      const say = "This comes to more than 100 L or 100 kg. Check the amount and the strength.";
      this.problem("steps", step.id, "add.tooMuch", say);
      return null;
    }
    const { id, what, label } = step;
    if (what === "acid") {
      const acid = step.acid === undefined ? null : acidOf(step.acid);
      if (step.acid && acid) {
        const ug = (pan.acids[acid] ?? 0) + acidUgIn(step.acid, amount);
        pan.acids = { ...pan.acids, [acid]: ug };
      }
    }
    if (what === "salt" && "massUg" in amount) pan.saltUg += amount.massUg;
    if ("volumeUl" in amount) this.fill(pan, amount.volumeUl);
    return { id, kind: "add", pan: pan.pan.id, what, label, amount };
  }

  private additionAmount(step: AddStep, pan: PanSoFar): AdditionAmount | null {
    const { amount, what } = step;
    const refuse = (code: string, say: string) => {
      this.problem("steps", step.id, code, say);
      return null;
    };
    switch (amount.by) {
      case "volume":
        return { volumeUl: amount.volumeUl };
      case "mass":
        return { massUg: amount.massUg };
      case "ratio": {
        if (what !== "water") return refuse("add.ratio", "Only water is added to a ratio.");
        const volumeUl = bathUlForRatio(amount.ratio, pan.fibreUg) - pan.bathUl;
        const have = `Pan ${pan.pan.name} has ${showVolume(pan.bathUl)} already`;
        return volumeUl > 0
          ? { volumeUl }
          : refuse(
              "add.fullAlready",
              `${have}, which is ${amount.ratio}:1 or more. Leave this out.`,
            );
      }
      case "pctOfFibre": {
        const massUg = acidUgForPct(amount.pct, pan.fibreUg);
        if (massUg === 0) return refuse("add.noFibre", "There is no fibre in this pan to go by.");
        if (what === "salt") return { massUg };
        return what === "acid" && step.acid
          ? someOf(step.acid, massUg)
          : refuse("add.unknownAcid", "Say which acid this is, so that it can be measured.");
      }
      case "ph": {
        if (what !== "acid" || !step.acid) {
          return refuse("add.unknownAcid", "Say which acid this is, so that it can be measured.");
        }
        if (pan.bathUl === 0) {
          return refuse("add.noBath", "A pH needs a bath. Give the pan water first.");
        }
        const { alkalinityMgPerL } = this.plan.workroom;
        const alkaline = alkalinityMgPerL === undefined ? {} : { alkalinityMgPerL };
        const bath = { volumeUl: pan.bathUl, acids: pan.acids, ...alkaline };
        const ug = acidUgForPh(amount.ph, acidOf(step.acid), bath);
        if (refused(ug)) return refuse(ug.code, ug.say);
        return ug > 0
          ? someOf(step.acid, ug)
          : refuse("add.sourAlready", `This bath is at pH ${amount.ph} or below already.`);
      }
    }
  }

  /** How long a timed step takes; moves the pan to the temperature it ends at. */
  private timed(step: TimedStep, pan: PanSoFar): number {
    const { kind } = step;
    const { tapCelsius, roomCelsius } = this.plan.workroom;
    switch (kind) {
      case "heat":
        return this.heated(step, pan);
      case "hold":
        this.noteHeated(pan);
        return step.seconds ?? pan.practice.holdSeconds;
      case "steam":
        this.noteHeated(pan);
        pan.celsius = this.boils;
        return step.seconds ?? USUAL_SECONDS.steam;
      case "oven":
        this.noteHeated(pan);
        pan.celsius = Math.min(step.celsius ?? OVEN_CELSIUS, this.boils);
        return step.seconds ?? USUAL_SECONDS.oven;
      case "cool": {
        const toCelsius = step.celsius ?? Math.max(COOLED_CELSIUS, roomCelsius + 5);
        const worked = coolSeconds({
          ...this.vessel(pan),
          fromCelsius: pan.celsius,
          toCelsius,
          roomCelsius,
        });
        pan.celsius = Math.min(pan.celsius, toCelsius);
        if (step.seconds !== null) return step.seconds;
        if (refused(worked)) {
          this.problem("steps", step.id, worked.code, worked.say);
          return 0;
        }
        return worked;
      }
      case "rinse":
      case "wetOut":
        pan.celsius = step.celsius ?? tapCelsius;
        return step.seconds ?? USUAL_SECONDS[kind];
      case "dry":
        pan.celsius = roomCelsius;
        return step.seconds ?? USUAL_SECONDS.dry;
      case "rest":
        return step.seconds ?? USUAL_SECONDS.rest;
    }
  }

  private heated(step: TimedStep, pan: PanSoFar): number {
    this.noteHeated(pan);
    const { workroom } = this.plan;
    const wished = step.celsius ?? Math.min(pan.practice.holdCelsius, this.boils);
    const from = pan.celsius;
    pan.celsius = Math.max(from, wished);
    if (wished > this.boils + 0.5) {
      const boils = Math.round(this.boils);
      const say = `Water boils at ${boils}\u202f\u00b0C at this height: the bath cannot reach ${wished}\u202f\u00b0C.`;
      this.problem("steps", step.id, "heat.aboveBoiling", say);
      pan.celsius = this.boils;
    }
    if (step.seconds !== null) return step.seconds;
    const seconds = heatSeconds({
      ...this.vessel(pan),
      fromCelsius: from,
      toCelsius: pan.celsius,
      roomCelsius: workroom.roomCelsius,
      ringWatts: workroom.ringWatts,
      efficiency: workroom.ringEfficiency,
      rampPerMin: pan.practice.rampPerMin,
    });
    if (refused(seconds)) {
      this.problem("steps", step.id, seconds.code, seconds.say);
      return 0;
    }
    return seconds;
  }

  private vessel(pan: PanSoFar) {
    const { panUg, metal, lid } = pan.pan;
    return { bathUl: pan.bathUl, fibreUg: pan.fibreUg, panUg, metal, lid };
  }

  private noteHeated(pan: PanSoFar): void {
    if (pan.bathUl > 0) pan.heatedAt ??= { bathUl: pan.bathUl, acids: pan.acids };
  }

  private setup(steps: readonly Walked[]): Setup {
    const { plan, shelves } = this;
    const entering = steps.flatMap((walked) => (walked.entering ? [walked.entering] : []));
    const stockIds = new Set<Id>(plan.setOut);
    const dyeIds = new Set<Id>();
    for (const step of entering) {
      if (step.kind !== "pour") continue;
      const { source } = step.pour;
      if (source.from === "vessel") stockIds.add(source.vessel);
      else dyeIds.add(source.dye);
    }
    const stocks = [...stockIds].flatMap((id) => stockOf(shelves.stocks.get(id)));
    for (const stock of stocks) for (const dye of Object.keys(stock.dyes)) dyeIds.add(dye);
    const bases = new Set(plan.skeins.map((skein) => skein.base));
    const there = <Item>(items: ReadonlyMap<Id, Item>, ids: ReadonlySet<Id>) =>
      [...ids].flatMap((id) => items.get(id) ?? []);
    const skeins = plan.skeins.filter((skein) => shelves.bases.has(skein.base));
    return {
      name: plan.name,
      dyes: dyesOnBench(this.shelf, dyeIds),
      bases: keyed(there(shelves.bases, bases).map(baseOnBench)),
      stocks: keyed(stocks),
      colourways: keyed(plan.colourways),
      pans: keyed(
        [...this.pans.values()].map(({ pan, waterUl }) => {
          const { id, name, capacityUl, method } = pan;
          return { id, name, capacityUl, waterUl: Math.min(waterUl, maxVolumeUl), method };
        }),
      ),
      skeins: keyed(skeins.map(({ targetPct: _, ...skein }) => skein)),
      steps: entering,
      presetsUl: plan.presetsUl,
    };
  }
}

function enteringTimed(step: TimedStep, seconds: number, celsius: number): Step {
  const { id, kind, pan, wait } = step;
  const how =
    kind === "heat" || kind === "hold"
      ? "stove"
      : kind === "steam" || kind === "oven"
        ? kind
        : "rest";
  const waitingFor = step.waitingFor || WAITING[kind];
  const given = step.celsius ?? (kind === "heat" ? Math.round(celsius) : undefined);
  const hot = given === undefined ? {} : { celsius: given };
  return { id, kind: "heat", how, pan, seconds, waitingFor, wait, ...hot };
}

/** What is being waited for, where the dyer has not put it in her own words. */
const WAITING: Readonly<Record<TimedKind, string>> = {
  wetOut: "the yarn to wet out",
  heat: "the bath to warm",
  hold: "the dye to go on",
  steam: "the dye to set",
  oven: "the dye to set",
  cool: "the bath to cool",
  rest: "the bath to rest",
  rinse: "the rinse to run clear",
  dry: "the yarn to dry",
};

function powderSource(dye: Id, amount: PlanPour["amount"], fibreUg: number): Source | null {
  if (amount.by === "mass") {
    const { how, massUg, plusMinusUg } = amount;
    return { from: "powder", dye, amount: { how, massUg, plusMinusUg } };
  }
  if (amount.by !== "depth") return null;
  const massUg = Math.min(maxMassUg, Math.max(1, dyeUgForDepth(amount.pct, fibreUg)));
  return { from: "powder", dye, amount: { how: "measured", massUg, plusMinusUg: 0 } };
}

function volumeOf(
  stock: ShelfStock,
  amount: Exclude<PlanPour["amount"], { by: "mass" }>,
  fibreUg: number,
): number {
  switch (amount.by) {
    case "volume":
      return amount.volumeUl;
    case "drops":
      return Math.round(amount.drops * amount.dropUl);
    case "depth":
      return volumeUlForDepth(
        amount.pct,
        fibreUg,
        strengthPct(totalUg(stock.dyes), stock.volumeUl),
      );
  }
}

/** An amount of a source with so much acid, never rounded to nothing. */
function someOf(source: AcidSource, acidUg: number): AdditionAmount {
  const amount = amountWith(source, acidUg);
  return "massUg" in amount
    ? { massUg: Math.max(1, amount.massUg) }
    : { volumeUl: Math.max(1, amount.volumeUl) };
}

function byId<Item extends { id: Id }>(items: readonly Item[]): Map<Id, Item> {
  return new Map(items.map((item) => [item.id, item]));
}

function keyed<Item extends { id: Id }>(items: readonly Item[]): Record<Id, Item> {
  return Object.fromEntries(items.map((item) => [item.id, item]));
}

function stockOf(stock: ShelfStock | undefined): Stock[] {
  if (!stock) return [];
  const { id, name, volumeUl, dyes, madeOn } = stock;
  return [{ id, name, volumeUl, dyes, ...(madeOn === undefined ? {} : { madeOn }) }];
}
