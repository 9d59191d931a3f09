import { showVolume } from "../dye/display.ts";
import { type Refusal, refuse } from "../dye/refusal.ts";
import { difference } from "./difference.ts";
import { reflectanceOf } from "./kubelkaMunk.ts";
import { dosesAround, isTooFine, type Means, type MeasuredDose } from "./measure.ts";
import { xyzOfReflectance } from "./observer.ts";
import { type Dose, ksOfDoses, type Prediction, predict } from "./predict.ts";
import type { Yarn } from "./seen.ts";
import type { Dye } from "./swatch.ts";
import { type Lab, labOfXyz } from "./tone.ts";
import { differenceSeenBy, VISIONS, type Vision } from "./vision.ts";

/** A dye of a fade; without `means` its doses are not rounded. */
export type FadeDye = { readonly id: string; readonly dye: Dye; readonly means?: Means };

/** Depth of shade of each dye, % owf; a dye that is not there is 0. */
export type FadeStop = Readonly<Record<string, number>>;

export type FadeOrder = {
  readonly yarn: Yarn;
  readonly dyes: readonly FadeDye[];
  /** The recipes that the fade runs through, two or more. */
  readonly stops: readonly FadeStop[];
  /** How many skeins, 2 or more. */
  readonly skeins: number;
  /** A step meant to be seen: after so many skeins, so many times the other steps. */
  readonly breaks?: readonly { readonly after: number; readonly times: number }[];
};

export type FadeDose = {
  readonly id: string;
  readonly depthPct: number;
  readonly exactPct: number;
  readonly measured?: MeasuredDose;
};

export type FadeSkein = { readonly doses: readonly FadeDose[]; readonly predicted: Prediction };

export type Fade = {
  readonly skeins: readonly FadeSkein[];
  /** CIEDE2000 from each skein to the next, with doses as they can be measured and with exact ones. */
  readonly steps: readonly number[];
  readonly exactSteps: readonly number[];
  /** Largest step by smallest, deliberate breaks set aside at the size that they were asked. */
  readonly ratio: number;
  readonly exactRatio: number;
  /** CIEDE2000 of each step for eyes that lack a cone. */
  readonly seenBy: Readonly<Record<Vision, readonly number[]>>;
  readonly notes: readonly Refusal[];
};

/** Steps are even enough when the largest is at most this many times the smallest. */
export const EVEN = 1.25;

/** Neighbours nearer than this, CIEDE2000, are told apart by nobody: no source, yarn is uneven. */
const APART = 2;

/** The most combinations of measurable doses held against each other for one skein. */
const MOST_CHOICES = 64;

/** Shares of a dose that half a division may be, tried in turn until the steps are even. */
const SHARES = [0.05, 0.02, 0.01, 0.005] as const;

/** Points along the way at which it is first looked at, for each leg. */
const LOOKS = 120;

/**
 * Plans a fade: skeins along the straight line of doses from recipe to recipe, so spaced that each is
 * as far from the next in CIEDE2000 as every other, on the yarn. Ends are kept; a recipe between them
 * is passed through, not stopped at. Measurable doses are then so chosen, together for all skeins,
 * that the steps stay as even as they can.
 */
export function fade(order: FadeOrder): Fade | Refusal {
  const refusal = unusable(order);
  if (refusal) return refusal;
  const way = new Way(order);
  const weights = stepWeights(order);
  const places = evenPlaces(way, weights);
  if (!places) {
    return refuse(
      "fade.noWay",
      "The recipes have the same colour: there is nothing to fade between.",
    );
  }
  const exact = places.map((at) => way.dosesAt(at));
  const exactLabs = places.map((at) => way.labAt(at));
  const exactSteps = stepsOf(exactLabs);
  let measured = measure(way, order, exact, exactLabs, weights, SHARES[0]);
  for (const share of SHARES.slice(1)) {
    if (measured.ratio <= EVEN) break;
    const finer = measure(way, order, exact, exactLabs, weights, share);
    if (finer.ratio < measured.ratio) measured = finer;
  }
  const skeins = measured.picked.map((choice, n): FadeSkein => {
    const doses = order.dyes.flatMap(({ id }, d): FadeDose[] => {
      const depthPct = choice.doses[d] ?? 0;
      const exactPct = exact[n]?.[d] ?? 0;
      const dose = choice.measured[d];
      if (depthPct === 0 && exactPct === 0) return [];
      return [{ id, depthPct, exactPct, ...(dose ? { measured: dose } : {}) }];
    });
    return { doses, predicted: predict(order.yarn, way.given(choice.doses)) };
  });
  const labs = skeins.map(({ predicted }) => predicted.lab);
  const steps = stepsOf(labs);
  const hexes = skeins.map(({ predicted }) => predicted.hex);
  const seenBy = Object.fromEntries(
    VISIONS.map((vision) => [
      vision,
      hexes.slice(1).map((hex, n) => differenceSeenBy(vision, hexes[n] ?? hex, hex)),
    ]),
  ) as Record<Vision, number[]>;
  const ratio = ratioOf(steps, weights);
  return {
    skeins,
    steps,
    exactSteps,
    ratio,
    exactRatio: ratioOf(exactSteps, weights),
    seenBy,
    notes: notesOn(order, way, places, skeins, steps, ratio, seenBy),
  };
}

function unusable({ stops, skeins, dyes, breaks = [] }: FadeOrder): Refusal | undefined {
  if (stops.length < 2) return refuse("fade.oneStop", "A fade runs between two recipes or more.");
  if (!Number.isSafeInteger(skeins) || skeins < 2 || skeins > 100) {
    return refuse("fade.skeins", "A fade has from 2 to 100 skeins.");
  }
  const depths = stops.flatMap((stop) => dyes.map(({ id }) => stop[id] ?? 0));
  if (depths.some((depthPct) => !Number.isFinite(depthPct) || depthPct < 0)) {
    return refuse("fade.depth", "The depth of a dye in a recipe is 0 % or more.");
  }
  for (const { after, times } of breaks) {
    if (!Number.isSafeInteger(after) || after < 1 || after >= skeins || !(times > 0)) {
      return refuse(
        "fade.break",
        "A break lies between two skeins, and is a number of steps wide.",
      );
    }
  }
  return undefined;
}

function stepWeights({ skeins, breaks = [] }: FadeOrder): number[] {
  const weights = new Array<number>(skeins - 1).fill(1);
  for (const { after, times } of breaks) weights[after - 1] = times;
  return weights;
}

/** The line of doses through the stops: 0 is the first, 1 the second, and so on. */
class Way {
  readonly end: number;
  private readonly order: FadeOrder;
  private readonly stops: readonly (readonly number[])[];

  constructor(order: FadeOrder) {
    this.order = order;
    this.stops = order.stops.map((stop) => order.dyes.map(({ id }) => stop[id] ?? 0));
    this.end = this.stops.length - 1;
  }

  dosesAt(at: number): number[] {
    const leg = Math.min(this.end - 1, Math.floor(at));
    const from = this.stops[leg] ?? [];
    const to = this.stops[leg + 1] ?? from;
    return from.map((dose, d) => Math.max(0, dose + (at - leg) * ((to[d] ?? 0) - dose)));
  }

  given(doses: readonly number[]): Dose[] {
    return this.order.dyes.flatMap(({ dye }, d) => {
      const depthPct = doses[d] ?? 0;
      return depthPct > 0 ? [{ dye, depthPct }] : [];
    });
  }

  labOf(doses: readonly number[]): Lab {
    const ks = ksOfDoses(this.order.yarn, this.given(doses));
    return labOfXyz(xyzOfReflectance(ks.map(reflectanceOf)));
  }

  labAt(at: number): Lab {
    return this.labOf(this.dosesAt(at));
  }
}

/**
 * Places along the way whose neighbours are as far apart as their weights say, the ends among them.
 * Walking finds them where the colour always moves on; where the way turns back on itself, they are
 * shifted to and fro instead.
 */
function evenPlaces(way: Way, weights: readonly number[]): number[] | undefined {
  const looks = Math.round(way.end * LOOKS);
  const looked = Array.from({ length: looks + 1 }, (_, n) => way.labAt((n * way.end) / looks));
  const lengths = [0];
  for (const step of stepsOf(looked)) lengths.push((lengths.at(-1) ?? 0) + step);
  const longest = Math.max(...looked.map((lab) => difference(looked[0] as Lab, lab)));
  if (longest < 1e-6) return undefined;
  const walked = walkedPlaces(way, looked, weights, lengths.at(-1) ?? 0);
  const unevenness = (places: readonly number[]) =>
    ratioOf(stepsOf(places.map((at) => way.labAt(at))), weights);
  if (walked && unevenness(walked) < NEARLY_EVEN) return walked;
  const shifted = shiftedPlaces(way, alongLength(way, lengths, weights), weights);
  return walked && unevenness(walked) <= unevenness(shifted) ? walked : shifted;
}

/** Steps as even as arithmetic needs. */
const NEARLY_EVEN = 1.001;

/** Halves in on the size of the step until the last one is as long as the others. */
function walkedPlaces(
  way: Way,
  looked: readonly Lab[],
  weights: readonly number[],
  length: number,
): number[] | undefined {
  const last = looked.at(-1) as Lab;
  let low = 0;
  let high = (2 * length) / Math.min(1, ...weights);
  let best: number[] | undefined;
  for (let round = 0; round < 60 && high - low > 1e-9 * high; round++) {
    const step = (low + high) / 2;
    const places = walk(way, looked, weights.slice(0, -1), step);
    const rest = places ? difference(way.labAt(places.at(-1) ?? 0), last) : 0;
    if (places && rest >= step * (weights.at(-1) ?? 1)) {
      low = step;
      best = [...places, way.end];
    } else {
      high = step;
    }
  }
  return best;
}

/** Places that share out the length of the way, turns and all. */
function alongLength(way: Way, lengths: readonly number[], weights: readonly number[]): number[] {
  const whole = lengths.at(-1) ?? 1;
  const parts = weights.reduce((sum, weight) => sum + weight, 0);
  const places = [0];
  let gone = 0;
  for (const weight of weights.slice(0, -1)) {
    gone += (weight * whole) / parts;
    const right = lengths.findIndex((length) => length >= gone);
    const before = lengths[right - 1] ?? 0;
    const share = (gone - before) / Math.max(1e-12, (lengths[right] ?? before) - before);
    places.push(((right - 1 + share) * way.end) / (lengths.length - 1));
  }
  return [...places, way.end];
}

/** Widens each gap whose step is too small and narrows the others, again and again. */
function shiftedPlaces(way: Way, from: readonly number[], weights: readonly number[]): number[] {
  let places = [...from];
  let best = places;
  let least = Number.POSITIVE_INFINITY;
  for (let round = 0; round < 400; round++) {
    const steps = stepsOf(places.map((at) => way.labAt(at))).map(
      (step, n) => Math.max(step, 1e-6) / (weights[n] ?? 1),
    );
    const ratio = Math.max(...steps) / Math.min(...steps);
    if (ratio < least) {
      least = ratio;
      best = places;
    }
    if (ratio < NEARLY_EVEN) break;
    const mean = Math.exp(steps.reduce((sum, step) => sum + Math.log(step), 0) / steps.length);
    const power = round < 200 ? 0.5 : 0.15;
    const gaps = steps.map(
      (step, n) => ((places[n + 1] ?? 0) - (places[n] ?? 0)) * (mean / step) ** power,
    );
    const whole = gaps.reduce((sum, gap) => sum + gap, 0);
    let at = 0;
    places = [0, ...gaps.map((gap) => (at += (gap * way.end) / whole))];
    places[places.length - 1] = way.end;
  }
  return best;
}

/** Walks steps of a size along the way; `undefined` when it ends before they are made. */
function walk(
  way: Way,
  looked: readonly Lab[],
  weights: readonly number[],
  step: number,
): number[] | undefined {
  const places = [0];
  const looks = looked.length - 1;
  let here = looked[0] as Lab;
  let at = 0;
  for (const weight of weights) {
    const far = step * weight;
    let next = Math.floor((at / way.end) * looks + 1e-9) + 1;
    while (next <= looks && difference(here, looked[next] as Lab) < far) next++;
    if (next > looks) return undefined;
    let low = Math.max(at, ((next - 1) * way.end) / looks);
    let high = (next * way.end) / looks;
    for (let round = 0; round < 40 && high - low > 1e-10; round++) {
      const middle = (low + high) / 2;
      if (difference(here, way.labAt(middle)) < far) low = middle;
      else high = middle;
    }
    at = high;
    here = way.labAt(at);
    places.push(at);
  }
  return places;
}

type Choice = {
  doses: readonly number[];
  measured: readonly (MeasuredDose | undefined)[];
  lab: Lab;
  /** CIEDE2000 from the exact colour. */
  off: number;
};

/** Picks measurable doses for all skeins together, so that the steps stay even. */
function measure(
  way: Way,
  order: FadeOrder,
  exact: readonly (readonly number[])[],
  exactLabs: readonly Lab[],
  weights: readonly number[],
  share: number,
): { picked: Choice[]; ratio: number } {
  const choices = exact.map((doses, n) =>
    choicesFor(way, order, doses, exactLabs[n] as Lab, share),
  );
  const exactSteps = stepsOf(exactLabs);
  let paths = (choices[0] ?? []).map((choice) => ({ cost: cost(choice), picked: [choice] }));
  for (const [n, next] of choices.slice(1).entries()) {
    const wanted = exactSteps[n] ?? 1;
    paths = next.map((choice) => {
      let best = paths[0] as (typeof paths)[number];
      let least = Number.POSITIVE_INFINITY;
      for (const path of paths) {
        const step = difference((path.picked.at(-1) as Choice).lab, choice.lab);
        const uneven = Math.log(Math.max(step, 1e-6) / wanted);
        const total = path.cost + uneven * uneven + cost(choice);
        if (total < least) {
          least = total;
          best = path;
        }
      }
      return { cost: least, picked: [...best.picked, choice] };
    });
  }
  const best = paths.reduce((a, b) => (b.cost < a.cost ? b : a));
  return {
    picked: best.picked,
    ratio: ratioOf(stepsOf(best.picked.map(({ lab }) => lab)), weights),
  };
}

/** Staying by the exact colour counts for little beside even steps. */
function cost({ off }: Choice): number {
  return 1e-4 * off * off;
}

function choicesFor(
  way: Way,
  { dyes }: FadeOrder,
  doses: readonly number[],
  lab: Lab,
  share: number,
): Choice[] {
  const options = dyes.map(({ means }, d): { depthPct: number; measured?: MeasuredDose }[] => {
    const exactPct = doses[d] ?? 0;
    if (!means) return [{ depthPct: exactPct }];
    return dosesAround(exactPct, means, share).map((measured) => ({
      depthPct: measured.depthPct,
      measured,
    }));
  });
  let all: { depthPct: number; measured?: MeasuredDose }[][] = [[]];
  for (const [d, dose] of options.entries()) {
    const near = [...dose].sort(
      (a, b) => Math.abs(a.depthPct - (doses[d] ?? 0)) - Math.abs(b.depthPct - (doses[d] ?? 0)),
    );
    const room = all.length * near.length <= MOST_CHOICES ? near : near.slice(0, 1);
    all = all.flatMap((before) => room.map((option) => [...before, option]));
  }
  return all.map((picked) => {
    const given = picked.map(({ depthPct }) => depthPct);
    const there = way.labOf(given);
    return {
      doses: given,
      measured: picked.map(({ measured }) => measured),
      lab: there,
      off: difference(there, lab),
    };
  });
}

function stepsOf(labs: readonly Lab[]): number[] {
  return labs.slice(1).map((lab, n) => difference(labs[n] ?? lab, lab));
}

function ratioOf(steps: readonly number[], weights: readonly number[]): number {
  const even = steps.map((step, n) => step / (weights[n] ?? 1));
  const least = Math.min(...even);
  return least > 0 ? Math.max(...even) / least : Number.POSITIVE_INFINITY;
}

const EYES: Readonly<Record<Vision, string>> = {
  protan: "eyes without the cone for long waves (protan)",
  deutan: "eyes without the cone for middle waves (deutan)",
  tritan: "eyes without the cone for short waves (tritan)",
};

function notesOn(
  order: FadeOrder,
  way: Way,
  places: readonly number[],
  skeins: readonly FadeSkein[],
  steps: readonly number[],
  ratio: number,
  seenBy: Readonly<Record<Vision, readonly number[]>>,
): Refusal[] {
  const notes: Refusal[] = [];
  if (ratio > EVEN) notes.push(uneven(order, skeins, ratio));
  const least = Math.min(...steps);
  if (least < APART) {
    notes.push(
      refuse(
        "fade.tooFine",
        `Some neighbours are only ${least.toFixed(1)} CIEDE2000 apart and will look alike: take fewer skeins, or recipes further apart.`,
      ),
    );
  }
  for (let stop = 1; stop < way.end; stop++) {
    const lab = way.labAt(stop);
    const near = places.map((at) => difference(way.labAt(at), lab));
    const skein = near.indexOf(Math.min(...near));
    const off = near[skein] ?? 0;
    if (off > 1) {
      notes.push(
        refuse(
          "fade.passed",
          `Even steps pass by recipe ${stop + 1}: skein ${skein + 1} comes nearest, ${off.toFixed(1)} CIEDE2000 from it.`,
        ),
      );
    }
  }
  for (const vision of VISIONS) {
    const close = seenBy[vision].flatMap((step, n) =>
      step < APART && (steps[n] ?? 0) >= APART ? [`${n + 1} and ${n + 2}`] : [],
    );
    if (close.length > 0) {
      notes.push(
        refuse(`fade.${vision}`, `To ${EYES[vision]} skeins ${close.join(", ")} look alike.`),
      );
    }
  }
  return notes;
}

/** Says which dose is too small for the syringe, or only that the steps cannot be measured evenly. */
function uneven({ dyes }: FadeOrder, skeins: readonly FadeSkein[], ratio: number): Refusal {
  const share = SHARES[0];
  for (const [n, { doses }] of skeins.entries()) {
    for (const { id, exactPct } of doses) {
      const means = dyes.find((dye) => dye.id === id)?.means;
      if (means && isTooFine(exactPct, means, share)) {
        const mark = showVolume(means.divisionUl);
        const help = means.dilute
          ? "use a finer syringe or a weaker stock"
          : "dilute the stock, or use a finer syringe";
        return refuse(
          "fade.uneven",
          `With marks of ${mark} the largest step is ${ratio.toFixed(2)} times the smallest: the dose of skein ${n + 1} falls between two marks; ${help}.`,
        );
      }
    }
  }
  return refuse(
    "fade.uneven",
    `As it can be measured, the largest step is ${ratio.toFixed(2)} times the smallest: use a finer syringe or a weaker stock.`,
  );
}
