import { type Refusal, refuse } from "../dye/refusal.ts";
import type { Id } from "../session/setup.ts";
import type { PlanStep, Workroom } from "./plan.ts";
import type { Walk } from "./walk.ts";

/** What a step needs while it runs. Cooling, resting, soaking and drying need nothing. */
export type Need = "dyer" | "ring" | "steamer" | "oven" | null;

/** A step as the clock sees it. */
export type Task = {
  id: Id;
  kind: PlanStep["kind"];
  pan: Id | null;
  need: Need;
  /** How long it runs, s, 0 or more. */
  seconds: number;
  onAir: boolean;
  /** Nothing that stands later in the plan begins before it ends. */
  wait: boolean;
};

/** A step in the forecast. Times are seconds from the start of the stream; before it, negative. */
export type Slot = {
  task: Task;
  startSeconds: number;
  endSeconds: number;
  /** Which ring, steamer or oven it is on, from 0; null for what needs none. */
  place: number | null;
  /** What it had to wait for once its pan was ready, and the step that gave that up. */
  waited: { need: Exclude<Need, null>; seconds: number; behind: Id } | null;
  /** The step whose end let it begin; null for what could begin at once. */
  after: Id | null;
};

/** A pan on one ring, steamer or oven, from the first step there to the last. */
export type Stay = {
  need: "ring" | "steamer" | "oven";
  place: number;
  pan: Id;
  startSeconds: number;
  endSeconds: number;
};

export type Bottleneck = {
  /** What the longest chain of the stream hangs on. */
  on: "dyer" | "ring" | "steamer" | "oven" | "pan";
  /** The pan, where it is one pan's own time. */
  pan: Id | null;
  /** Its time on that chain, s. */
  seconds: number;
  /** The steps of the chain, first to last. */
  chain: readonly Id[];
};

export type Schedule = {
  ok: true;
  slots: readonly Slot[];
  stays: readonly Stay[];
  /** From the first step on air to the end of the last, s; 0 where nothing is on air. */
  streamSeconds: number;
  /** What is done before the stream, and when the last step of all ends after its start, s. */
  beforeSeconds: number;
  endSeconds: number;
  /** Time that the dyer's hands are busy on air, s. */
  handsSeconds: number;
  bottleneck: Bottleneck | null;
};

/** How many of each there are. */
export type Places = { ring: number; steamer: number; oven: number };

export function placesOf(workroom: Workroom): Places {
  return { ring: workroom.rings, steamer: workroom.steamers, oven: workroom.ovens };
}

const NEEDS: Readonly<Record<PlanStep["kind"], Need>> = {
  pour: "dyer",
  add: "dyer",
  talk: "dyer",
  rinse: "dyer",
  heat: "ring",
  hold: "ring",
  steam: "steamer",
  oven: "oven",
  wetOut: null,
  cool: null,
  rest: null,
  dry: null,
};

/** The tasks of a plan that was walked, in its order. */
export function tasksOf(walked: Walk): Task[] {
  return walked.steps.map(({ step, pan, seconds }) => ({
    id: step.id,
    kind: step.kind,
    pan,
    need: NEEDS[step.kind],
    seconds,
    onAir: step.onAir,
    wait: "wait" in step && step.wait,
  }));
}

/**
 * Forecast of a plan: when each step begins and ends.
 *
 * Method: list scheduling. Time runs from one end of a step to the next; at each of them, the steps
 * that may begin are taken in the order of the plan, as long as what they need is free. The steps of
 * one pan follow one another. The dyer does one thing at a time (pours, additions, rinses, talk);
 * heating, steaming, cooling run without her. A talk begins when everything of hers that stands
 * before it is done. A pan keeps its ring while its next steps are pours between two heatings, and
 * gives it up after the last; where nothing else could go on, it is taken off for another.
 *
 * Steps off air at the head of a pan are done before the stream, with the same hands and rings; those
 * at its tail that need the dyer are left until the stream is over.
 *
 * It is the shortest stream where no two pans compete for hands or a ring, and for one pan always.
 * Otherwise it is a heuristic: never longer than doing one thing after the other, and not always the
 * shortest; `sooner` tries another order.
 *
 * @param order rank of each task, smaller first; the order of the plan when left out
 * @returns a refusal when a step needs what the workroom does not have
 */
export function schedule(
  tasks: readonly Task[],
  places: Places,
  order?: ReadonlyMap<Id, number>,
): Schedule | Refusal {
  const missing = missingPlace(tasks, places);
  if (missing) return missing;
  const { before, main } = parted(tasks);
  const early = new Clock(before, places, order).run();
  const beforeSeconds = early.slots.reduce((end, slot) => Math.max(end, slot.endSeconds), 0);
  const late = new Clock(main, places, order).run();
  const slots = [...early.slots.map((slot) => moved(slot, -beforeSeconds)), ...late.slots];
  const stays = [...early.stays.map((stay) => moved(stay, -beforeSeconds)), ...late.stays];
  const onAir = late.slots.filter((slot) => slot.task.onAir);
  const first = Math.min(...onAir.map((slot) => slot.startSeconds));
  const last = Math.max(...onAir.map((slot) => slot.endSeconds));
  return {
    ok: true,
    slots,
    stays,
    streamSeconds: onAir.length > 0 ? last - first : 0,
    beforeSeconds,
    endSeconds: late.slots.reduce((end, slot) => Math.max(end, slot.endSeconds), 0),
    handsSeconds: onAir.reduce(
      (sum, slot) => (slot.task.need === "dyer" ? sum + slot.task.seconds : sum),
      0,
    ),
    bottleneck: bottleneckOf(onAir, late.slots),
  };
}

/**
 * An order of the same steps in which the stream may be shorter: at every choice the step whose pan
 * has most still before it goes first (the critical-path rule). Steps of one pan keep their order.
 *
 * @returns the ids in their new order and the forecast with it, only where it is shorter; else null
 */
export function sooner(
  tasks: readonly Task[],
  places: Places,
): { order: readonly Id[]; schedule: Schedule } | null {
  const now = schedule(tasks, places);
  if (!("ok" in now)) return null;
  const tail = new Map<Id | null, number>();
  const rank = new Map<Id, number>();
  for (let at = tasks.length - 1; at >= 0; at--) {
    const task = tasks[at];
    if (!task) continue;
    const rest = (tail.get(task.pan) ?? 0) + task.seconds;
    if (task.pan !== null) tail.set(task.pan, rest);
    rank.set(task.id, task.pan === null ? -1 : -rest);
  }
  const other = schedule(tasks, places, rank);
  if (!("ok" in other)) return null;
  const places0 = new Map(tasks.map((task, at) => [task.id, at]));
  const order = [...other.slots]
    .sort(
      (a, b) =>
        a.startSeconds - b.startSeconds ||
        (places0.get(a.task.id) ?? 0) - (places0.get(b.task.id) ?? 0),
    )
    .map((slot) => slot.task.id);
  const reordered = ordered(tasks, order);
  const then = schedule(reordered, places);
  return "ok" in then && then.streamSeconds < now.streamSeconds
    ? { order: reordered.map((task) => task.id), schedule: then }
    : null;
}

function ordered(tasks: readonly Task[], order: readonly Id[]): Task[] {
  const byId = new Map(tasks.map((task) => [task.id, task]));
  return order.flatMap((id) => byId.get(id) ?? []);
}

function missingPlace(tasks: readonly Task[], places: Places): Refusal | null {
  for (const { need } of tasks) {
    if (need !== null && need !== "dyer" && places[need] === 0) {
      return refuse(
        "schedule.noPlace",
        `A step needs ${need === "oven" ? "an" : "a"} ${need} and the workroom has none. Say how many there are.`,
      );
    }
  }
  return null;
}

/** Steps before the stream, and all others. */
function parted(tasks: readonly Task[]): { before: Task[]; main: Task[] } {
  const firstOnAir = tasks.findIndex((task) => task.onAir);
  const lastOnAirOf = new Map<Id | null, number>();
  tasks.forEach((task, at) => {
    if (task.onAir) lastOnAirOf.set(task.pan, at);
  });
  const begun = new Set<Id | null>();
  const before: Task[] = [];
  const main: Task[] = [];
  tasks.forEach((task, at) => {
    const leads = at < firstOnAir || at < (lastOnAirOf.get(task.pan) ?? -1);
    if (!task.onAir && !begun.has(task.pan) && leads) {
      before.push(task);
    } else {
      if (task.onAir || task.pan !== null) begun.add(task.pan);
      main.push(task);
    }
  });
  return { before, main };
}

function moved<Timed extends { startSeconds: number; endSeconds: number }>(
  timed: Timed,
  by: number,
): Timed {
  return { ...timed, startSeconds: timed.startSeconds + by, endSeconds: timed.endSeconds + by };
}

type Running = { slot: Slot; at: number };

/** One run of the clock over some tasks. */
class Clock {
  private readonly slots: Slot[] = [];
  private readonly stays: Stay[] = [];
  private now = 0;
  private running: Running[] = [];
  /** Tasks not begun yet, by their place in the list; talks queue by themselves. */
  private readonly queues = new Map<Id | null, number[]>();
  private readonly ended: boolean[];
  /** When what comes before each task in its pan ended, and which step that was. */
  private readonly readyBy = new Map<Id | null, { at: number; by: Id | null }>();
  /** Which pan is on each ring, steamer and oven, and since when; and the step that last freed it. */
  private readonly held: Record<"ring" | "steamer" | "oven", ({ pan: Id; since: number } | null)[]>;
  private readonly freedBy: Partial<Record<Exclude<Need, null>, Id>> = {};
  private dyerBusy = false;
  private readonly trailing: boolean[];
  private onAirLeft: number;

  constructor(
    private readonly tasks: readonly Task[],
    places: Places,
    private readonly order?: ReadonlyMap<Id, number>,
  ) {
    const none = (count: number) => Array.from({ length: count }, () => null);
    this.held = { ring: none(places.ring), steamer: none(places.steamer), oven: none(places.oven) };
    this.ended = tasks.map(() => false);
    tasks.forEach((task, at) => {
      const queue = this.queues.get(task.pan);
      if (queue) queue.push(at);
      else this.queues.set(task.pan, [at]);
    });
    const lastOnAir = new Map<Id | null, number>();
    tasks.forEach((task, at) => {
      if (task.onAir) lastOnAir.set(task.pan, at);
    });
    this.trailing = tasks.map((task, at) => !task.onAir && at > (lastOnAir.get(task.pan) ?? -1));
    this.onAirLeft = tasks.filter((task) => task.onAir).length;
  }

  run(): { slots: Slot[]; stays: Stay[] } {
    let left = this.tasks.length;
    while (left > 0 || this.running.length > 0) {
      const next = this.nextToBegin();
      if (next !== null) {
        this.begin(next);
        left -= 1;
      } else if (this.running.length > 0) {
        this.advance();
      } else {
        this.takeOff();
      }
    }
    for (const need of ["ring", "steamer", "oven"] as const) {
      this.held[need].forEach((_, place) => {
        this.release(need, place);
      });
    }
    return { slots: this.slots, stays: this.stays };
  }

  /** The first task, by rank, that may begin now. */
  private nextToBegin(): number | null {
    const heads = [...this.queues.values()]
      .flatMap(([head]) => (head === undefined ? [] : [head]))
      .sort((a, b) => this.rank(a) - this.rank(b) || a - b);
    const open = this.tasks.findIndex(
      (task, at) => task.wait && !this.ended[at] && !this.trailing[at],
    );
    for (const at of heads) {
      if (open >= 0 && at > open) continue;
      if (!this.panBusy(at) && this.mayBegin(at)) return at;
    }
    return null;
  }

  private rank(at: number): number {
    return this.order?.get(this.tasks[at]?.id ?? "") ?? at;
  }

  private panBusy(at: number): boolean {
    const pan = this.tasks[at]?.pan ?? null;
    return pan !== null && this.running.some(({ slot }) => slot.task.pan === pan);
  }

  private mayBegin(at: number): boolean {
    const task = this.tasks[at];
    if (!task) return false;
    if (task.need === "dyer") {
      if (this.dyerBusy) return false;
      if (this.trailing[at] && this.onAirLeft > 0) return false;
      return task.kind !== "talk" || this.handsDoneBefore(at);
    }
    return task.need === null || this.placeFor(task, task.need) >= 0;
  }

  private handsDoneBefore(at: number): boolean {
    for (let earlier = 0; earlier < at; earlier++) {
      if (this.tasks[earlier]?.need === "dyer" && !this.ended[earlier] && !this.trailing[earlier]) {
        return false;
      }
    }
    return true;
  }

  /** The place where its pan stands already, else the first free one; -1 where there is none. */
  private placeFor(task: Task, need: "ring" | "steamer" | "oven"): number {
    const own = this.held[need].findIndex((stay) => stay !== null && stay.pan === task.pan);
    return own >= 0 ? own : this.held[need].indexOf(null);
  }

  private begin(at: number): void {
    const task = this.tasks[at];
    if (!task) return;
    this.queues.get(task.pan)?.shift();
    let place: number | null = null;
    if (task.need === "dyer") this.dyerBusy = true;
    else if (task.need !== null) {
      place = this.placeFor(task, task.need);
      this.held[task.need][place] ??= { pan: task.pan ?? "", since: this.now };
    }
    const ready = this.readyBy.get(task.pan) ?? { at: 0, by: null };
    const behind = task.need === null ? undefined : this.freedBy[task.need];
    const late = this.now - ready.at;
    const waited =
      task.need !== null && late > 0 && behind !== undefined
        ? { need: task.need, seconds: late, behind }
        : null;
    const slot: Slot = {
      task,
      startSeconds: this.now,
      endSeconds: this.now + task.seconds,
      place,
      waited,
      after: late > 0 ? (waited?.behind ?? this.lastEnded) : ready.by,
    };
    this.slots.push(slot);
    this.running.push({ slot, at });
  }

  private lastEnded: Id | null = null;

  /** Goes to the next end, and frees what ended there. */
  private advance(): void {
    this.now = Math.min(...this.running.map(({ slot }) => slot.endSeconds));
    const ending = this.running.filter(({ slot }) => slot.endSeconds === this.now);
    this.running = this.running.filter(({ slot }) => slot.endSeconds !== this.now);
    for (const { slot, at } of ending) {
      const { task } = slot;
      this.ended[at] = true;
      this.lastEnded = task.id;
      if (task.onAir) this.onAirLeft -= 1;
      if (task.pan !== null) this.readyBy.set(task.pan, { at: this.now, by: task.id });
      if (task.need === "dyer") {
        this.dyerBusy = false;
        this.freedBy.dyer = task.id;
      }
      for (const need of ["ring", "steamer", "oven"] as const) {
        const place = this.held[need].findIndex((stay) => stay !== null && stay.pan === task.pan);
        if (place >= 0 && !this.comesBack(task.pan, need)) {
          this.release(need, place);
          this.freedBy[need] = task.id;
        }
      }
    }
  }

  /** Whether a pan goes on where it stands: the same need again with nothing but pours between. */
  private comesBack(pan: Id | null, need: Need): boolean {
    for (const at of this.queues.get(pan) ?? []) {
      const next = this.tasks[at];
      if (!next) return false;
      if (next.need === need) return true;
      if (next.kind !== "pour" && next.kind !== "add") return false;
    }
    return false;
  }

  private release(need: "ring" | "steamer" | "oven", place: number): void {
    const stay = this.held[need][place];
    if (!stay) return;
    this.held[need][place] = null;
    const { pan, since } = stay;
    if (this.now > since) {
      this.stays.push({ need, place, pan, startSeconds: since, endSeconds: this.now });
    }
  }

  /** Nothing runs and nothing can begin: a pan that only keeps its place gives it up. */
  private takeOff(): void {
    for (const need of ["ring", "steamer", "oven"] as const) {
      const place = this.held[need].findIndex((stay) => stay !== null);
      if (place >= 0) {
        this.release(need, place);
        return;
      }
    }
    throw new RangeError("no task can begin although every place is free");
  }
}

/** Follows what each step began after, from the last on air back to the first. */
function bottleneckOf(onAir: readonly Slot[], slots: readonly Slot[]): Bottleneck | null {
  const last = onAir.reduce<Slot | null>(
    (a, b) => (a === null || b.endSeconds > a.endSeconds ? b : a),
    null,
  );
  if (last === null) return null;
  const byId = new Map(slots.map((slot) => [slot.task.id, slot]));
  const chain: Slot[] = [];
  for (let slot: Slot | undefined = last; slot; slot = byId.get(slot.after ?? "")) {
    chain.unshift(slot);
    if (slot.after === null || chain.length > slots.length) break;
  }
  const ids = chain.map((slot) => slot.task.id);
  const time = (some: readonly Slot[]) => some.reduce((sum, slot) => sum + slot.task.seconds, 0);
  for (const need of ["ring", "steamer", "oven"] as const) {
    if (chain.some((slot) => slot.waited?.need === need)) {
      const seconds = time(chain.filter((slot) => slot.task.need === need));
      return { on: need, pan: null, seconds, chain: ids };
    }
  }
  const hands = time(chain.filter((slot) => slot.task.need === "dyer"));
  if (hands * 2 >= time(chain)) return { on: "dyer", pan: null, seconds: hands, chain: ids };
  const pans = [...new Set(chain.map((slot) => slot.task.pan))].filter((pan) => pan !== null);
  const inPan = (pan: Id) => time(chain.filter((slot) => slot.task.pan === pan));
  const pan = pans.reduce<Id | null>((a, b) => (a === null || inPan(b) > inPan(a) ? b : a), null);
  return { on: "pan", pan, seconds: pan === null ? 0 : inPan(pan), chain: ids };
}

/** "Rings: 50 min of the longest chain wait their turn on one." */
export function sayBottleneck(bottleneck: Bottleneck, panName: (pan: Id) => string): string {
  const minutes = `${Math.round(bottleneck.seconds / 60)}\u202fmin`;
  switch (bottleneck.on) {
    case "dyer":
      return `Your hands: ${minutes} of pours and talk follow one another.`;
    case "pan":
      return `Pan ${panName(bottleneck.pan ?? "")}: its own steps take ${minutes}, whatever else goes on.`;
    default: {
      const all = { ring: "Rings", steamer: "Steamers", oven: "Ovens" }[bottleneck.on];
      return `${all}: pans wait their turn, and ${minutes} on one follow each other.`;
    }
  }
}
