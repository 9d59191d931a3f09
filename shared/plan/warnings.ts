import { showCelsius, showDepth, showMass, showVolume } from "../dye/display.ts";
import { hasNylon, undyeable } from "../dye/fibre.ts";
import type { Id } from "../session/setup.ts";
import { fibresProblem, type Shelf, type ShelfBase, type ShelfStock } from "../shelf/shelf.ts";
import { type Bath, basesOf, bathsOf, type Depths, depthsOf, RATIOS } from "./bath.ts";
import type { Foresight } from "./foresight.ts";
import { isTimed, mostPours, type Place, type Plan } from "./plan.ts";
import type { Walk, Walked } from "./walk.ts";

/** Something to look at before the stream: where, a code for tests, and a sentence. */
export type Warning = { place: Place; code: string; say: string };

/** Above this a pour strikes before it has spread (common practice, no source). */
const HOT_CELSIUS = 60;
/** Steeper than this, or from this far at once, untreated wool felts (common practice, no source). */
const FELTING_RAMP_PER_MIN = 2;
const FELTING_SHOCK_CELSIUS = 25;
/** A target is reached when the depth is this near, as a share of it. */
const NEAR_SHARE = 0.1;

/** What is known of a plan when it is warned about. `today` is a date such as 2031-05-31. */
export type Known = {
  plan: Plan;
  shelf: Shelf;
  walked: Walk;
  foresight: Foresight;
  today: string;
};

/** Every warning of a plan, pans first, then skeins, bottles and steps. They forbid nothing. */
export function warningsOf(known: Known): Warning[] {
  const { plan, shelf, walked } = known;
  const bases = basesOf(shelf);
  const baths = bathsOf(plan, shelf, walked);
  return [
    ...sizeWarnings(plan, walked),
    ...baths.flatMap((bath) => panWarnings(bath, isSoured(plan, bath.pan.id))),
    ...depthsOf(plan, shelf, walked).flatMap((depths) => skeinWarnings(depths, known, bases)),
    ...stockWarnings(known),
    ...stepWarnings(known, bases),
    ...powderWarnings(known),
  ];
}

function sizeWarnings(plan: Plan, walked: Walk): Warning[] {
  const pours = plan.steps.filter((step) => step.kind === "pour").length;
  const place: Place = { part: "steps", id: null };
  if (pours === 0) {
    return [
      {
        place,
        code: "plan.noPours",
        say: "There is no pour in this plan yet. Add one, or improvise when you are live.",
      },
    ];
  }
  if (pours > mostPours) {
    const say = `A plan has ${mostPours} pours at the most, this one ${pours}. Split the session.`;
    return [{ place, code: "plan.tooManyPours", say }];
  }
  return walked.setup.steps.length === 0 && plan.steps.length > 0
    ? [
        {
          place,
          code: "plan.nothingReady",
          say: "No step of this plan can be poured as it stands.",
        },
      ]
    : [];
}

function panWarnings(bath: Bath, soured: boolean): Warning[] {
  const { pan, peakUl, ratio, acids, fibreUg, pours } = bath;
  const warnings: Warning[] = [];
  const warn = (code: string, say: string) =>
    warnings.push({ place: { part: "pans", id: pan.id }, code, say });
  if (pan.capacityUl === 0) {
    warn(
      "pan.noCapacity",
      `Pan ${pan.name} holds 0 L. Measure it, or this plan cannot tell when it overflows.`,
    );
  } else if (peakUl > pan.capacityUl) {
    const over = showVolume(peakUl - pan.capacityUl);
    warn(
      "pan.overflows",
      `Pan ${pan.name} overflows by ${over}: it holds ${showVolume(pan.capacityUl)}.`,
    );
  } else if (fibreUg > 0 && peakUl + fibreUg / 1_000 > pan.capacityUl) {
    // A gram of wet fibre takes up about a mL itself (density of wool 1.3 g/mL and its swelling).
    warn(
      "pan.brimful",
      `Pan ${pan.name} is full to the brim once the yarn is in. Take less water or a larger pan.`,
    );
  }
  if (fibreUg === 0) {
    if (pours > 0)
      warn("pan.empty", `No skein lies in pan ${pan.name}, and dye is poured into it.`);
    return warnings;
  }
  const range = RATIOS[pan.method];
  const words = METHOD_WORDS[pan.method];
  if (ratio !== null && pours > 0) {
    const said = `${Math.round(ratio * 10) / 10}:1`;
    if (ratio < range.least) {
      warn(
        "pan.ratioLow",
        `Pan ${pan.name} is at ${said}, little for ${words}: ${range.least}:1 to ${range.most}:1 is usual.`,
      );
    } else if (ratio > range.most) {
      warn(
        "pan.ratioHigh",
        `Pan ${pan.name} is at ${said}, much for ${words}: ${range.least}:1 to ${range.most}:1 is usual.`,
      );
    }
  }
  if (pours > 0 && !soured && Object.values(acids).every((ug) => !(ug > 0))) {
    warn("pan.noAcid", `No acid goes into pan ${pan.name}: acid dye stays in the bath without it.`);
  }
  return warnings;
}

/** Whether acid goes into a pan, also such of which nobody has said how strong it is. */
function isSoured(plan: Plan, pan: Id): boolean {
  return plan.steps.some((step) => step.kind === "add" && step.what === "acid" && step.pan === pan);
}

const METHOD_WORDS = {
  immersion: "immersion",
  dipped: "dipping",
  lowWater: "pouring on low water",
  painted: "painting",
} as const;

function skeinWarnings(
  depths: Depths,
  { plan, walked, shelf }: Known,
  bases: ReadonlyMap<Id, ShelfBase>,
): Warning[] {
  const { skein } = depths;
  const warnings: Warning[] = [];
  const warn = (code: string, say: string) =>
    warnings.push({ place: { part: "skeins", id: skein.id }, code, say });
  if (skein.pan === undefined) warn("skein.noPan", `Skein ${skein.name} lies in no pan.`);
  const base = bases.get(skein.base);
  if (base) {
    const sum = fibresProblem(base);
    if (sum) warn("base.fibres", sum);
    const none = undyeable(base.fibres);
    if (none.length > 0 && depths.depthPct > 0) {
      const said =
        depths.dyeablePct === null
          ? "none of it takes acid dye"
          : `${showDepth(depths.depthPct)} of the whole is ${showDepth(depths.dyeablePct)} of the fibre that does`;
      warn(
        "skein.fibreTakesNone",
        `${list(none)} in skein ${skein.name} takes no acid dye: ${said}.`,
      );
    }
  }
  const limit = limitOf(plan, shelf, walked, skein.id, base);
  if (depths.depthPct > limit) {
    warn(
      "skein.tooDeep",
      `Skein ${skein.name} is to reach ${showDepth(depths.depthPct)}, above ${showDepth(limit)}: dye may be left in the bath and bleed.`,
    );
  }
  const { targetPct } = depths;
  if (targetPct !== null && Math.abs(depths.depthPct - targetPct) > targetPct * NEAR_SHARE) {
    warn(
      "skein.offTarget",
      `Skein ${skein.name} is meant to reach ${showDepth(targetPct)}; its pours add up to ${showDepth(depths.depthPct)}.`,
    );
  }
  return warnings;
}

/** The least of the workroom's limit, lower on nylon, and those of the dyes that go on the skein. */
function limitOf(
  plan: Plan,
  shelf: Shelf,
  walked: Walk,
  skein: Id,
  base: ShelfBase | undefined,
): number {
  const { limitPct, nylonLimitPct } = plan.workroom;
  const dyes = walked.skeins.get(skein)?.dyes ?? {};
  const own = shelf.dyes.flatMap((dye) =>
    dye.limitPct !== undefined && (dyes[dye.id] ?? 0) > 0 ? [dye.limitPct] : [],
  );
  return Math.min(limitPct, ...own, base && hasNylon(base.fibres) ? nylonLimitPct : limitPct);
}

function stockWarnings({ plan, shelf, walked, foresight, today }: Known): Warning[] {
  const used = new Set<Id>(plan.setOut);
  for (const step of plan.steps) {
    if (step.kind === "pour" && step.pour.source.from === "stock") used.add(step.pour.source.stock);
  }
  const warnings: Warning[] = [];
  for (const stock of shelf.stocks) {
    if (!used.has(stock.id)) continue;
    const warn = (code: string, say: string) =>
      warnings.push({ place: { part: "stocks", id: stock.id }, code, say });
    if (isOld(stock, today)) {
      warn(
        "stock.old",
        `${stock.name} was made on ${stock.madeOn}, more than a year ago. Look for mould and grains, and try it on a scrap.`,
      );
    }
    if (stock.retired) warn("stock.retired", `${stock.name} is out of use on the shelf.`);
  }
  for (const shortage of foresight.shortages) {
    const name = walked.setup.stocks[shortage.stock]?.name ?? shortage.stock;
    warnings.push({
      place: { part: "steps", id: shortage.step },
      code: "stock.short",
      say: `${name} runs short at pour ${shortage.pourNumber}, by ${showVolume(shortage.shortAtPourUl)} there and ${showVolume(shortage.shortUl)} in all.`,
    });
  }
  return warnings;
}

/** Dates as texts compare as dates do; the day of the year is the same a year later. */
function isOld(stock: ShelfStock, today: string): boolean {
  if (stock.madeOn === undefined) return false;
  const [year = "", ...day] = today.split("-");
  const yearAgo = [String(Number(year) - 1).padStart(4, "0"), ...day].join("-");
  return stock.madeOn < yearAgo;
}

function stepWarnings({ walked, plan }: Known, bases: ReadonlyMap<Id, ShelfBase>): Warning[] {
  const warnings: Warning[] = [];
  const told = new Set(walked.problems.map((problem) => problem.place.id));
  for (const at of walked.steps) {
    if (isTimed(at.step) && at.seconds === 0 && !told.has(at.step.id)) {
      warnings.push({
        place: { part: "steps", id: at.step.id },
        code: "step.noTime",
        say: "The pan is at this temperature already, so that this takes no time: it is left out.",
      });
    }
    const pan = at.pan === null ? undefined : walked.pans.get(at.pan);
    if (!pan || pan.fibreUg === 0) continue;
    const inIt = pan.skeins.flatMap((skein) => {
      const base = bases.get(skein.base);
      return base ? [base] : [];
    });
    const untreated = inIt.filter((base) => !base.superwash);
    const superwash = inIt.filter((base) => base.superwash);
    const warn = (code: string, say: string) =>
      warnings.push({ place: { part: "steps", id: at.step.id }, code, say });
    const felting = untreated.length > 0 ? feltsAt(at) : null;
    if (felting)
      warn("step.felts", `${untreated[0]?.name} is not superwash and may felt: ${felting}.`);
    if (at.step.kind === "pour" && at.fromCelsius >= HOT_CELSIUS && meansToSpread(at)) {
      const hot = showCelsius(at.fromCelsius);
      warn(
        "step.strikesUnevenly",
        superwash.length > 0
          ? `Pan ${pan.pan.name} is at ${hot}, and superwash strikes fast: this pour stays where it falls.`
          : `Pan ${pan.pan.name} is at ${hot}: this pour strikes before it has spread.`,
      );
    }
    if (isTimed(at.step) && at.step.kind === "steam" && plan.workroom.steamers === 0) {
      warn("step.noSteamer", "There is no steamer in the workroom. Say how many there are.");
    }
    if (isTimed(at.step) && at.step.kind === "oven" && plan.workroom.ovens === 0) {
      warn("step.noOven", "There is no oven in the workroom. Say how many there are.");
    }
    if (isOnRing(at) && plan.workroom.rings === 0) {
      warn("step.noRing", "There is no ring in the workroom. Say how many there are.");
    }
  }
  return warnings;
}

function isOnRing({ step }: Walked): boolean {
  return step.kind === "heat" || step.kind === "hold";
}

/** Painted, dripped and speckled pours are meant to stay where they fall. */
function meansToSpread({ step }: Walked): boolean {
  return (
    step.kind === "pour" &&
    (step.pour.technique === "immersion" || step.pour.technique === "lowWater")
  );
}

function feltsAt({ step, fromCelsius, toCelsius, seconds }: Walked): string | null {
  const rise = toCelsius - fromCelsius;
  if (step.kind === "heat" && rise > 0 && seconds > 0) {
    const perMin = (rise / seconds) * 60;
    return perMin > FELTING_RAMP_PER_MIN
      ? `its bath rises ${Math.round(perMin * 10) / 10} degrees a minute`
      : null;
  }
  if ((step.kind === "rinse" || step.kind === "wetOut") && -rise > FELTING_SHOCK_CELSIUS) {
    return `it goes from ${showCelsius(fromCelsius)} into ${showCelsius(toCelsius)} at once. Let it cool first`;
  }
  return null;
}

/** Where less powder is on the shelf than is to be weighed. */
function powderWarnings(known: Known): Warning[] {
  const toWeigh = powderToWeigh(known.shelf, known.walked, known.foresight);
  return known.shelf.dyes.flatMap((dye): Warning[] => {
    const need = toWeigh[dye.id] ?? 0;
    if (dye.onHandUg === undefined || need <= dye.onHandUg) return [];
    const say = `${dye.name}: ${showMass(need)} of powder to weigh, and ${showMass(dye.onHandUg)} on the shelf.`;
    return [{ place: { part: "stocks", id: null }, code: "dye.short", say }];
  });
}

/**
 * Powder to weigh before and during the session, ug per dye: what goes into the bottles that are
 * still to be made, and what is poured dry. What a way out of a shortage makes up comes on top once
 * it is taken.
 */
export function powderToWeigh(
  shelf: Shelf,
  walked: Walk,
  foresight: Foresight,
): Readonly<Record<Id, number>> {
  const sum: Record<Id, number> = { ...foresight.powderPouredUg };
  for (const stock of shelf.stocks) {
    if (!stock.toMake || walked.setup.stocks[stock.id] === undefined) continue;
    for (const [dye, ug] of Object.entries(stock.dyes)) sum[dye] = (sum[dye] ?? 0) + ug;
  }
  return sum;
}

function list(names: readonly string[]): string {
  const text = names.join(" and ");
  return text.charAt(0).toUpperCase() + text.slice(1);
}
