import { refused } from "../dye/refusal.ts";
import type { Id } from "../session/setup.ts";
import type { Shelf } from "../shelf/shelf.ts";
import type { Pace } from "./pace.ts";
import {
  isTimed,
  type Plan,
  type PlanPan,
  type PlanSkein,
  type PlanStep,
  type PourStep,
  panOfStep,
} from "./plan.ts";
import { placesOf, type Schedule, schedule, sooner, tasksOf } from "./schedule.ts";
import { type Walk, walk } from "./walk.ts";

/** How likely it is that colours meant to be apart run into one another. */
export type Running = "none" | "some" | "high";

/** The same skeins and pours in so many pans. */
export type Arrangement = {
  pans: number;
  /** As the plan stands, one pan a skein, or so many pans. */
  name: "asPlanned" | "onePanEach" | "twoPans" | "threePans" | "allInOne";
  plan: Plan;
  walked: Walk;
  /** Null where the workroom lacks what a step needs. */
  schedule: Schedule | null;
  /** The most rings in use at once. */
  rings: number;
  running: Running;
  /** Pans that would overflow, by name. */
  overflows: readonly string[];
  say: string;
};

/**
 * The plan as it stands and its skeins in one pan each, two, three and all in one, with the length
 * of the stream, rings and the risk of colours running together for each.
 *
 * Method (a heuristic, no search): skeins keep their order, those of one colourway lie together as
 * far as it goes, and runs of skeins are cut where the fibre comes out most evenly. Each new pan is a
 * copy of the pan that most of its fibre lay in, with that pan's steps; a pour goes with its skeins,
 * shared by their parts, at the same place between the heatings. Amounts given by mL of water, acid
 * and salt grow or shrink with the fibre. The order is then the critical-path rule's, where that
 * makes the stream shorter.
 */
export function arrangementsOf(plan: Plan, shelf: Shelf, pace?: Pace): Arrangement[] {
  const lying = plan.skeins.filter((skein) => skein.pan !== undefined);
  const counts = new Map<number, Arrangement["name"]>();
  if (lying.length > 1) counts.set(lying.length, "onePanEach");
  if (lying.length > 2) counts.set(2, "twoPans");
  if (lying.length > 3) counts.set(3, "threePans");
  if (lying.length > 0) counts.set(1, "allInOne");
  const others = [...counts].map(([pans, name]) =>
    arrangement(name, quickest(inPans(plan, pans), shelf, pace), shelf, pace),
  );
  return [arrangement("asPlanned", plan, shelf, pace), ...others];
}

/** The plan with its skeins in so many pans; skeins on the table stay there. `count` 1 or more. */
export function inPans(plan: Plan, count: number): Plan {
  const groups = grouped(plan, count);
  if (groups.length === 0) return plan;
  const homes = groups.map((skeins, at) => homeOf(plan, skeins, at));
  const panOf = new Map<Id, Id>();
  groups.forEach((skeins, at) => {
    for (const skein of skeins) panOf.set(skein.id, homes[at]?.pan.id ?? "");
  });
  const lying = new Set(plan.skeins.flatMap((skein) => skein.pan ?? []));
  const empty = plan.pans.filter(
    (pan) => !lying.has(pan.id) && !homes.some((home) => home.pan.id === pan.id),
  );
  const steps = stepsIn(plan, homes, panOf, new Set(empty.map((pan) => pan.id)));
  return {
    ...plan,
    pans: [...homes.map((home) => home.pan), ...empty],
    skeins: plan.skeins.map((skein) => {
      const pan = panOf.get(skein.id);
      return pan === undefined ? skein : { ...skein, pan };
    }),
    steps,
  };
}

function arrangement(
  name: Arrangement["name"],
  plan: Plan,
  shelf: Shelf,
  pace: Pace | undefined,
): Arrangement {
  const walked = walk(plan, shelf, pace);
  const answer = schedule(tasksOf(walked), placesOf(plan.workroom));
  const forecast = refused(answer) ? null : answer;
  const used = [...walked.pans.values()].filter((pan) => pan.skeins.length > 0);
  const overflows = used
    .filter(({ pan, peakUl }) => pan.capacityUl > 0 && peakUl > pan.capacityUl)
    .map(({ pan }) => pan.name);
  const running = runningOf(plan);
  const rings = forecast ? ringsAtOnce(forecast) : 0;
  const length = forecast
    ? `${Math.round(forecast.streamSeconds / 60)}\u202fmin on air`
    : "not possible in this workroom";
  const parts = [
    `${used.length} ${used.length === 1 ? "pan" : "pans"}: ${length}`,
    `${rings} ${rings === 1 ? "ring" : "rings"}`,
    RUNNING_WORDS[running],
    ...(overflows.length > 0 ? [`pan ${overflows.join(", ")} overflows`] : []),
  ];
  return {
    pans: used.length,
    name,
    plan,
    walked,
    schedule: forecast,
    rings,
    running,
    overflows,
    say: `${parts.join("; ")}.`,
  };
}

const RUNNING_WORDS: Readonly<Record<Running, string>> = {
  none: "colours stay apart",
  some: "colours may touch at the edges",
  high: "colours run together in one bath",
};

/**
 * Colourways that share a bath mix in it; painted side by side they touch (common practice, no
 * source). Skeins of no colourway count as one each.
 */
export function runningOf(plan: Plan): Running {
  let worst: Running = "none";
  for (const pan of plan.pans) {
    const here = plan.skeins.filter((skein) => skein.pan === pan.id);
    const kinds = new Set(here.map((skein) => skein.colourway ?? `skein ${skein.id}`));
    if (kinds.size < 2 || pouredAlike(plan, pan, here)) continue;
    if (pan.method !== "painted") return "high";
    worst = "some";
  }
  return worst;
}

/** Whether every pour into a pan is over all that lies in it: then nothing is meant to be apart. */
function pouredAlike(plan: Plan, pan: PlanPan, here: readonly PlanSkein[]): boolean {
  return plan.steps.every(
    (step) =>
      step.kind !== "pour" ||
      step.pour.pan !== pan.id ||
      step.pour.over === "all" ||
      step.pour.over.length === here.length,
  );
}

function ringsAtOnce({ stays }: Schedule): number {
  const rings = stays.filter((stay) => stay.need === "ring");
  return rings.reduce((most, { startSeconds }) => {
    const now = rings.filter(
      (stay) => stay.startSeconds <= startSeconds && startSeconds < stay.endSeconds,
    );
    return Math.max(most, now.length);
  }, 0);
}

function quickest(plan: Plan, shelf: Shelf, pace: Pace | undefined): Plan {
  const tip = sooner(tasksOf(walk(plan, shelf, pace)), placesOf(plan.workroom));
  return tip ? reordered(plan, tip.order) : plan;
}

/** The plan with its steps in another order; ids that are not its own are left out. */
export function reordered(plan: Plan, order: readonly Id[]): Plan {
  const byId = new Map(plan.steps.map((step) => [step.id, step]));
  return { ...plan, steps: order.flatMap((id) => byId.get(id) ?? []) };
}

/** Skeins that lie in pans, in runs of about the same fibre; never more runs than skeins. */
function grouped(plan: Plan, count: number): PlanSkein[][] {
  const rank = new Map(plan.colourways.map(({ id }, at) => [id, at]));
  const lying = plan.skeins
    .filter((skein) => skein.pan !== undefined)
    .map((skein, at) => ({ skein, at }))
    .sort((a, b) => {
      const of = (one: { skein: PlanSkein }) => rank.get(one.skein.colourway ?? "") ?? rank.size;
      return of(a) - of(b) || a.at - b.at;
    })
    .map(({ skein }) => skein);
  const all = lying.reduce((sum, skein) => sum + skein.massUg, 0);
  const groups: PlanSkein[][] = Array.from({ length: Math.min(count, lying.length) }, () => []);
  let before = 0;
  lying.forEach((skein, at) => {
    const middle = before + skein.massUg / 2;
    const fair = Math.min(groups.length - 1, Math.floor((middle / all) * groups.length));
    // Enough skeins are kept back for every later run to get one, and no run is passed over.
    const latest = groups.filter((group) => group.length > 0).length;
    const least = Math.max(0, groups.length - (lying.length - at));
    groups[Math.max(Math.min(fair, latest), least)]?.push(skein);
    before += skein.massUg;
  });
  return groups;
}

/** A new pan, and the pan of the plan whose steps it follows. */
type Home = { pan: PlanPan; from: Id; skeins: readonly PlanSkein[]; share: number };

function homeOf(plan: Plan, skeins: readonly PlanSkein[], at: number): Home {
  const massIn = (pan: Id) =>
    skeins.reduce((sum, skein) => (skein.pan === pan ? sum + skein.massUg : sum), 0);
  const [first] = plan.pans;
  const from = plan.pans.reduce<PlanPan | undefined>(
    (a, b) => (a === undefined || massIn(b.id) > massIn(a.id) ? b : a),
    first,
  );
  if (!from) throw new RangeError("a skein lies in a pan that is not in the plan");
  const oldUg = plan.skeins.reduce(
    (sum, skein) => (skein.pan === from.id ? sum + skein.massUg : sum),
    0,
  );
  const newUg = skeins.reduce((sum, skein) => sum + skein.massUg, 0);
  const share = oldUg > 0 ? newUg / oldUg : 1;
  const water =
    from.water.by === "ratio"
      ? from.water
      : { by: "volume" as const, volumeUl: Math.round(from.water.volumeUl * share) };
  const own = plan.pans[at];
  const id = own?.id ?? `${from.id}.${at + 1}`;
  return {
    pan: { ...from, id, name: own?.name ?? `${from.name} ${at + 1}`, water },
    from: from.id,
    skeins,
    share,
  };
}

/** Steps of the plan dealt out to the new pans, in the order they had. */
function stepsIn(
  plan: Plan,
  homes: readonly Home[],
  panOf: ReadonlyMap<Id, Id>,
  kept: ReadonlySet<Id>,
): PlanStep[] {
  // Where a step stands between the heatings of its own pan: pours go in at the same phase.
  const phases = new Map<Id, number>();
  const placed: { step: PlanStep; pan: Id | null; phase: number; at: number }[] = [];
  plan.steps.forEach((step, at) => {
    const old = panOfStep(step);
    const phase = old === null ? 0 : (phases.get(old) ?? 0);
    if (old === null || kept.has(old)) {
      placed.push({ step, pan: old, phase, at });
    } else if (step.kind === "pour") {
      for (const home of homes) {
        const part = pourInto(plan, step, home, panOf);
        if (part) placed.push({ step: part, pan: home.pan.id, phase, at });
      }
    } else {
      for (const home of homes) {
        if (home.from !== old) continue;
        placed.push({ step: stepInto(step, home), pan: home.pan.id, phase, at });
      }
    }
    if (old !== null && isTimed(step)) phases.set(old, phase + 1);
  });
  const queues = new Map<Id | null, typeof placed>();
  for (const one of placed) {
    const queue = queues.get(one.pan);
    if (queue) queue.push(one);
    else queues.set(one.pan, [one]);
  }
  for (const queue of queues.values()) {
    // A timed step closes its phase, so the pours of that phase from other pans come before it.
    queue.sort(
      (a, b) =>
        a.phase - b.phase || Number(isTimed(a.step)) - Number(isTimed(b.step)) || a.at - b.at,
    );
  }
  const taken = new Map<Id, number>();
  return merged(queues).map(({ step }) => {
    const n = (taken.get(step.id) ?? 0) + 1;
    taken.set(step.id, n);
    return n === 1 ? step : { ...step, id: `${step.id}.${n}` };
  });
}

/** Queues put together again: always the head that stood earliest in the plan. */
function merged<One extends { at: number }>(queues: ReadonlyMap<Id | null, One[]>): One[] {
  const lists = [...queues.values()].map((queue) => [...queue]);
  const all: One[] = [];
  for (;;) {
    const [next] = lists
      .filter((list) => list.length > 0)
      .sort((a, b) => (a[0]?.at ?? 0) - (b[0]?.at ?? 0));
    const one = next?.shift();
    if (!one) return all;
    all.push(one);
  }
}

function stepInto(
  step: Exclude<PlanStep, { kind: "pour" | "talk" }> | PlanStep,
  home: Home,
): PlanStep {
  if (step.kind === "talk" || step.kind === "pour") return step;
  if (step.kind !== "add") return { ...step, pan: home.pan.id };
  const { amount } = step;
  const scale = (n: number) => Math.max(1, Math.round(n * home.share));
  const scaled =
    amount.by === "volume"
      ? { ...amount, volumeUl: scale(amount.volumeUl) }
      : amount.by === "mass"
        ? { ...amount, massUg: scale(amount.massUg) }
        : amount;
  return { ...step, pan: home.pan.id, amount: scaled };
}

/** The part of a pour that goes with a new pan's skeins; null where none of them had any of it. */
function pourInto(
  plan: Plan,
  step: PourStep,
  home: Home,
  panOf: ReadonlyMap<Id, Id>,
): PourStep | null {
  const { pour } = step;
  const over =
    pour.over === "all"
      ? plan.skeins
          .filter((skein) => skein.pan === pour.pan)
          .map((skein) => ({ skein: skein.id, parts: null }))
      : pour.over;
  const weight = ({ skein, parts }: { skein: Id; parts: number | null }) =>
    parts ?? plan.skeins.find((one) => one.id === skein)?.massUg ?? 0;
  const here = over.filter(({ skein }) => panOf.get(skein) === home.pan.id);
  if (over.length === 0) return home.from === pour.pan ? withPan(step, home.pan.id, "all") : null;
  if (here.length === 0) return null;
  const all = over.reduce((sum, one) => sum + weight(one), 0);
  const part = here.reduce((sum, one) => sum + weight(one), 0) / all;
  const whole = here.length === home.skeins.length && here.every((one) => one.parts === null);
  const next = withPan(step, home.pan.id, whole ? "all" : here);
  return { ...next, pour: { ...next.pour, amount: partOfAmount(pour.amount, part) } };
}

function withPan(step: PourStep, pan: Id, over: PourStep["pour"]["over"]): PourStep {
  return { ...step, pour: { ...step.pour, pan, over } };
}

function partOfAmount(
  amount: PourStep["pour"]["amount"],
  part: number,
): PourStep["pour"]["amount"] {
  if (part === 1) return amount;
  switch (amount.by) {
    case "depth":
      return amount;
    case "volume":
      return {
        ...amount,
        volumeUl: Math.max(1, Math.round(amount.volumeUl * part)),
        plusMinusUl: Math.ceil(amount.plusMinusUl * part),
      };
    case "drops":
      return { ...amount, drops: Math.max(1, Math.round(amount.drops * part)) };
    case "mass":
      return {
        ...amount,
        massUg: Math.max(1, Math.round(amount.massUg * part)),
        plusMinusUg: Math.ceil(amount.plusMinusUg * part),
      };
  }
}
