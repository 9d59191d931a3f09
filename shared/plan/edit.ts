import { type Refusal, refuse } from "../dye/refusal.ts";
import type { Id } from "../session/setup.ts";
import {
  type Plan,
  type PlanColourway,
  type PlanPan,
  type PlanPart,
  type PlanPour,
  type PlanSkein,
  type PlanStep,
  panOfStep,
  type Workroom,
} from "./plan.ts";

/** Items of a plan by the part they stand in. */
export type PlanItem =
  | { part: "colourways"; item: PlanColourway }
  | { part: "skeins"; item: PlanSkein }
  | { part: "pans"; item: PlanPan }
  | { part: "steps"; item: PlanStep };

/**
 * One change of a plan. Ids of new things come in with it. `at` and `to` count from 0 in the list as
 * it is afterwards; left out, the end.
 */
export type Edit =
  | { edit: "name"; name: string }
  | ({ edit: "put"; at?: number } & PlanItem)
  | { edit: "remove"; part: PlanPart; id: Id }
  | { edit: "move"; part: PlanPart; id: Id; to: number }
  | { edit: "duplicate"; part: PlanPart; id: Id; as: Id }
  | { edit: "workroom"; workroom: Workroom }
  | { edit: "presets"; presetsUl: readonly number[] }
  | { edit: "setOut"; stocks: readonly Id[] }
  | { edit: "replace"; plan: Plan; because: string };

export type Edited = { ok: true; plan: Plan; say: string };

const KIND: Readonly<Record<PlanPart, string>> = {
  colourways: "colourway",
  skeins: "skein",
  pans: "pan",
  steps: "step",
};

const gone = refuse("edit.gone", "This is not in the plan any more. Nothing was changed.");

/**
 * A plan after one change, and what was done in words; or why not. What leads to a removed thing
 * goes with it: its steps with a pan, its name in pours with a skein, so that no plan has a name
 * that leads nowhere.
 */
export function edited(plan: Plan, edit: Edit): Edited | Refusal {
  switch (edit.edit) {
    case "name":
      return done({ ...plan, name: edit.name }, `named the plan ${edit.name}`);
    case "workroom":
      return done({ ...plan, workroom: edit.workroom }, "changed the workroom");
    case "presets":
      return done({ ...plan, presetsUl: edit.presetsUl }, "changed the amounts offered by one tap");
    case "setOut":
      return done({ ...plan, setOut: edit.stocks }, "changed the bottles that are set out");
    case "replace":
      return done(edit.plan, edit.because);
    case "put":
      return put(plan, edit);
    case "remove":
      return removed(plan, edit.part, edit.id);
    case "move":
      return moved(plan, edit.part, edit.id, edit.to);
    case "duplicate":
      return duplicated(plan, edit.part, edit.id, edit.as);
  }
}

function done(plan: Plan, say: string): Edited {
  return { ok: true, plan, say };
}

function put(plan: Plan, { at, ...rest }: Extract<Edit, { edit: "put" }>): Edited | Refusal {
  const { part, item } = rest;
  const lost = leadsNowhere(plan, rest);
  if (lost) return lost;
  const items: readonly { id: Id }[] = plan[part];
  const there = items.findIndex((one) => one.id === item.id);
  const others = items.filter((one) => one.id !== item.id);
  const place = at ?? (there >= 0 ? there : others.length);
  const next = { ...plan, [part]: inserted(others, item, place) };
  const verb = there >= 0 ? "changed" : "added";
  const say = `${verb} ${sayItem(part, item)}`;
  return done(part === "skeins" ? leftOutWhereItIsNot(next) : next, say);
}

/** Why an item cannot stand in this plan: it names something that is not there. */
function leadsNowhere(plan: Plan, { part, item }: PlanItem): Refusal | null {
  const has = (other: PlanPart, id: Id) => plan[other].some((one) => one.id === id);
  const none = (other: PlanPart, id: Id) =>
    refuse("edit.unknown", `There is no ${KIND[other]} "${id}" in this plan.`);
  if (part === "skeins") {
    if (item.pan !== undefined && !has("pans", item.pan)) return none("pans", item.pan);
    if (item.colourway !== undefined && !has("colourways", item.colourway)) {
      return none("colourways", item.colourway);
    }
  }
  if (part === "steps") {
    const pan = panOfStep(item);
    if (pan !== null && !has("pans", pan)) return none("pans", pan);
    if (item.kind === "pour" && item.pour.over !== "all") {
      for (const { skein } of item.pour.over)
        if (!has("skeins", skein)) return none("skeins", skein);
    }
  }
  return null;
}

/** Pours no longer name a skein that lies in another pan; one that named no other is over all. */
function leftOutWhereItIsNot(plan: Plan): Plan {
  const panOf = new Map(plan.skeins.map((skein) => [skein.id, skein.pan]));
  let changed = false;
  const steps = plan.steps.map((step) => {
    if (step.kind !== "pour" || step.pour.over === "all") return step;
    const over = step.pour.over.filter(({ skein }) => panOf.get(skein) === step.pour.pan);
    if (over.length === step.pour.over.length) return step;
    changed = true;
    const pour: PlanPour = { ...step.pour, over: over.length > 0 ? over : "all" };
    return { ...step, pour };
  });
  return changed ? { ...plan, steps } : plan;
}

function removed(plan: Plan, part: PlanPart, id: Id): Edited | Refusal {
  const item = plan[part].find((one) => one.id === id);
  if (!item) return gone;
  const rest = { ...plan, [part]: plan[part].filter((one) => one.id !== id) };
  const what = `took out ${sayItem(part, item)}`;
  switch (part) {
    case "steps":
      return done(rest, what);
    case "colourways":
      return done(
        { ...rest, skeins: rest.skeins.map((skein) => without(skein, "colourway", id)) },
        what,
      );
    case "pans": {
      const steps = rest.steps.filter((step) => panOfStep(step) !== id);
      const skeins = rest.skeins.map((skein) => without(skein, "pan", id));
      const n = rest.steps.length - steps.length;
      return done(
        { ...rest, steps, skeins },
        n > 0 ? `${what} with its ${count(n, "step")}` : what,
      );
    }
    case "skeins": {
      const steps = rest.steps.flatMap((step) => withoutSkein(step, id));
      const n = rest.steps.length - steps.length;
      return done({ ...rest, steps }, n > 0 ? `${what} with its ${count(n, "pour")}` : what);
    }
  }
}

function without(skein: PlanSkein, key: "pan" | "colourway", id: Id): PlanSkein {
  if (skein[key] !== id) return skein;
  const { [key]: _, ...rest } = skein;
  return rest;
}

function withoutSkein(step: PlanStep, id: Id): PlanStep[] {
  if (step.kind !== "pour" || step.pour.over === "all") return [step];
  const over = step.pour.over.filter(({ skein }) => skein !== id);
  if (over.length === step.pour.over.length) return [step];
  return over.length === 0 ? [] : [{ ...step, pour: { ...step.pour, over } }];
}

function moved(plan: Plan, part: PlanPart, id: Id, to: number): Edited | Refusal {
  const items: readonly { id: Id }[] = plan[part];
  const item = items.find((one) => one.id === id);
  if (!item) return gone;
  const others = items.filter((one) => one.id !== id);
  const place = Math.min(Math.max(0, Math.trunc(to)), others.length);
  const next = { ...plan, [part]: inserted(others, item, place) };
  return done(next, `moved ${sayItem(part, item)} to place ${place + 1}`);
}

/**
 * A second one beside the first. A colourway is copied with its skeins, a skein with the pours that
 * are over it alone, a pan with its steps but without skeins. A pour that names a copied skein among
 * others names the copy too, at the same parts; its amount stays as it was.
 */
function duplicated(plan: Plan, part: PlanPart, id: Id, as: Id): Edited | Refusal {
  if (plan[part].some((one) => one.id === as)) {
    return refuse("edit.twice", `"${as}" stands in the plan already. Give another short name.`);
  }
  const at = plan[part].findIndex((one) => one.id === id);
  const item = plan[part][at];
  if (!item) return gone;
  const say = `made a second ${sayItem(part, item)}`;
  const names = plan[part].flatMap((one) => ("name" in one ? [one.name] : []));
  switch (part) {
    case "steps":
      return done(
        { ...plan, steps: inserted(plan.steps, { ...(item as PlanStep), id: as }, at + 1) },
        say,
      );
    case "colourways": {
      const copy = { id: as, name: secondName((item as PlanColourway).name, names) };
      const colourways = inserted(plan.colourways, copy, at + 1);
      const skeins = plan.skeins.filter((skein) => skein.colourway === id);
      const taken = new Set(plan.skeins.map((skein) => skein.id));
      const copies = new Map(skeins.map((skein) => [skein.id, fresh(`${as}.${skein.id}`, taken)]));
      return done(withCopies({ ...plan, colourways }, copies, { from: id, to: as }), say);
    }
    case "skeins":
      return done(withCopies(plan, new Map([[id, as]])), say);
    case "pans": {
      const copy = {
        ...(item as PlanPan),
        id: as,
        name: secondName((item as PlanPan).name, names),
      };
      const taken = new Set(plan.steps.map((step) => step.id));
      const steps = plan.steps.flatMap((step) =>
        panOfStep(step) === id ? [step, inPan(step, as, fresh(`${as}.${step.id}`, taken))] : [step],
      );
      return done({ ...plan, pans: inserted(plan.pans, copy, at + 1), steps }, say);
    }
  }
}

function inPan(step: PlanStep, pan: Id, id: Id): PlanStep {
  if (step.kind === "talk") return { ...step, id };
  if (step.kind !== "pour") return { ...step, id, pan };
  return { ...step, id, pour: { ...step.pour, pan, over: "all" } };
}

/** The plan with copies of some skeins, each behind its first one, poured on as that one is. */
function withCopies(
  plan: Plan,
  copies: ReadonlyMap<Id, Id>,
  colourway?: { from: Id; to: Id },
): Plan {
  const names = plan.skeins.map((skein) => skein.name);
  const skeins = plan.skeins.flatMap((skein) => {
    const id = copies.get(skein.id);
    if (id === undefined) return [skein];
    const name = secondName(skein.name, names);
    names.push(name);
    const changed =
      colourway && skein.colourway === colourway.from ? { colourway: colourway.to } : {};
    return [skein, { ...skein, id, name, ...changed }];
  });
  const taken = new Set(plan.steps.map((step) => step.id));
  const steps = plan.steps.flatMap((step): PlanStep[] => {
    if (step.kind !== "pour" || step.pour.over === "all") return [step];
    const twins = step.pour.over.flatMap(({ skein, parts }) => {
      const copy = copies.get(skein);
      return copy === undefined ? [] : [{ skein: copy, parts }];
    });
    if (twins.length === 0) return [step];
    if (twins.length < step.pour.over.length) {
      return [{ ...step, pour: { ...step.pour, over: [...step.pour.over, ...twins] } }];
    }
    const id = fresh(`${twins[0]?.skein}.${step.id}`, taken);
    return [step, { ...step, id, pour: { ...step.pour, over: twins } }];
  });
  return { ...plan, skeins, steps };
}

function secondName(name: string, taken: readonly string[]): string {
  const stem = name.replace(/ \d+$/, "").slice(0, 74);
  for (let n = 2; ; n++) {
    const next = `${stem} ${n}`;
    if (!taken.includes(next)) return next;
  }
}

/** An id that is not taken yet, from a wish; takes it. */
function fresh(wish: Id, taken: Set<Id>): Id {
  const stem = wish.slice(0, 72);
  let id = stem;
  for (let n = 2; taken.has(id); n++) id = `${stem}-${n}`;
  taken.add(id);
  return id;
}

function inserted<Item>(items: readonly Item[], item: Item, at: number): Item[] {
  const place = Math.min(Math.max(0, at), items.length);
  return [...items.slice(0, place), item, ...items.slice(place)];
}

function sayItem(part: PlanPart, item: { id: Id }): string {
  if ("name" in item) return `${KIND[part]} ${item.name}`;
  const step = item as PlanStep;
  return step.kind === "talk" ? "a talk" : `a ${STEP_WORDS[step.kind]}`;
}

const STEP_WORDS: Readonly<Record<Exclude<PlanStep["kind"], "talk">, string>> = {
  pour: "pour",
  add: "bath addition",
  wetOut: "soak",
  heat: "heating",
  hold: "hold",
  steam: "steaming",
  oven: "baking",
  cool: "cooling",
  rest: "rest",
  rinse: "rinse",
  dry: "drying",
};

function count(n: number, noun: string): string {
  return n === 1 ? noun : `${n} ${noun}s`;
}
