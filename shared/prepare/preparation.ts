import { type Refusal, refuse, refused } from "../dye/refusal.ts";
import { edited } from "../plan/edit.ts";
import { type Plan, planProblems } from "../plan/plan.ts";
import type { Id } from "../session/setup.ts";
import {
  emptyShelf,
  retired,
  SHELF_PARTS,
  type Shelf,
  type ShelfPart,
  shelfProblems,
  shelved,
} from "../shelf/shelf.ts";
import type { Change, Prepare } from "./change.ts";

/** A plan among others; one that is put away is kept, but no longer offered. */
export type PlanLine = { readonly plan: Plan; readonly away: boolean };

/** Everything a dyer prepares: one shelf, and plans by id, in the order in which they were begun. */
export type Prepared = {
  readonly shelf: Shelf;
  readonly plans: Readonly<Record<Id, PlanLine>>;
};

/** What was prepared before a change, the change in words, and the number it has in the record. */
type Turn = { readonly prepared: Prepared; readonly say: string; readonly seq: number };

/**
 * What is prepared, with all that can be taken back and made again, newest last. It is never changed,
 * only followed by another one; both share what a change left alone.
 */
export type Preparation = {
  /** Number of the last entry that is counted in, 0 for none. */
  readonly seq: number;
  readonly prepared: Prepared;
  readonly past: readonly Turn[];
  readonly future: readonly Turn[];
};

/** A preparation after one more entry, and what was done in words. */
export type Prepping = {
  readonly ok: true;
  readonly preparation: Preparation;
  readonly say: string;
};

/** Changes further back than this cannot be taken back. */
export const mostTurns = 1_000;

export const nothingPrepared: Preparation = {
  seq: 0,
  prepared: { shelf: emptyShelf, plans: {} },
  past: [],
  future: [],
};

/** What comes of a request; a refusal leaves everything as it was. The record is a list of these. */
export function prepare(preparation: Preparation, request: Prepare): Prepping | Refusal {
  const { prepared, past, future, seq } = preparation;
  switch (request.type) {
    case "change": {
      const next = changed(prepared, request.change);
      if (refused(next)) return next;
      const turn = { prepared, say: next.say, seq: seq + 1 };
      return {
        ok: true,
        preparation: {
          seq: seq + 1,
          prepared: next.prepared,
          past: [...past, turn].slice(-mostTurns),
          future: [],
        },
        say: next.say,
      };
    }
    case "undo": {
      const last = past.at(-1);
      if (!last) return refuse("prepare.oldest", "There is nothing left to undo.");
      if (last.seq !== request.expect) return changedMeanwhile;
      return {
        ok: true,
        preparation: {
          seq: seq + 1,
          prepared: last.prepared,
          past: past.slice(0, -1),
          future: [...future, { ...last, prepared }],
        },
        say: `undid: ${last.say}`,
      };
    }
    case "redo": {
      const next = future.at(-1);
      if (!next) return refuse("prepare.newest", "There is nothing to redo.");
      if (next.seq !== request.expect) return changedMeanwhile;
      return {
        ok: true,
        preparation: {
          seq: seq + 1,
          prepared: next.prepared,
          past: [...past, { ...next, prepared }],
          future: future.slice(0, -1),
        },
        say: `redid: ${next.say}`,
      };
    }
  }
}

const changedMeanwhile = refuse(
  "prepare.meanwhile",
  "Something else was changed meanwhile, perhaps on another tablet. Look again, then undo.",
);

type Changed = { readonly ok: true; readonly prepared: Prepared; readonly say: string };

/** What is prepared after one change, and the change in words; or why not. */
export function changed(prepared: Prepared, change: Change): Changed | Refusal {
  const { shelf, plans } = prepared;
  const done = (next: Partial<Prepared>, say: string): Changed => ({
    ok: true,
    prepared: { ...prepared, ...next },
    say,
  });
  switch (change.change) {
    case "plan": {
      const line = plans[change.plan];
      if (!line) return noPlan;
      const next = edited(line.plan, change.edit);
      if (refused(next)) return next;
      const [problem] = change.edit.edit === "replace" ? planProblems(next.plan) : [];
      if (problem) return refuse(problem.code, problem.say);
      return done({ plans: { ...plans, [change.plan]: { ...line, plan: next.plan } } }, next.say);
    }
    case "newPlan": {
      if (plans[change.plan]) {
        return refuse("prepare.twice", "There is such a plan already. Give another short name.");
      }
      const [problem] = planProblems(change.content);
      if (problem) return refuse(problem.code, problem.say);
      const line = { plan: change.content, away: false };
      return done(
        { plans: { ...plans, [change.plan]: line } },
        `began the plan ${change.content.name}`,
      );
    }
    case "putAway": {
      const line = plans[change.plan];
      if (!line) return noPlan;
      const { name } = line.plan;
      return done(
        { plans: { ...plans, [change.plan]: { ...line, away: change.away } } },
        change.away ? `put the plan ${name} away` : `took the plan ${name} out again`,
      );
    }
    case "shelve": {
      const there = itemOf(shelf, change.part, change.item.id) !== undefined;
      const next = shelved(shelf, change.part, change.item);
      const problem = newProblem(shelf, next);
      if (problem) return problem;
      const what = sayItem(next, change.part, change.item.id);
      return done({ shelf: next }, change.because ?? `${there ? "changed" : "added"} ${what}`);
    }
    case "retire": {
      if (!itemOf(shelf, change.part, change.id)) return gone;
      const what = sayItem(shelf, change.part, change.id);
      return done(
        { shelf: retired(shelf, change.part, change.id, change.out) },
        change.out ? `retired ${what}` : `took ${what} back into use`,
      );
    }
    case "remove": {
      if (!itemOf(shelf, change.part, change.id)) return gone;
      const user = userOf(prepared, change.part, change.id);
      const what = sayItem(shelf, change.part, change.id);
      if (user !== null) {
        return refuse("shelf.used", `${capital(what)} is used by ${user}. Retire it instead.`);
      }
      const items: readonly { id: Id }[] = shelf[change.part];
      const rest = items.filter(({ id }) => id !== change.id);
      return done({ shelf: { ...shelf, [change.part]: rest } }, `took ${what} off the shelf`);
    }
    case "shelf": {
      const lost = vanished(shelf, change.shelf);
      if (lost) return lost;
      const [problem] = shelfProblems(change.shelf);
      if (problem) return refuse(problem.code, problem.say);
      return done({ shelf: change.shelf }, change.because);
    }
    case "several": {
      let next = prepared;
      for (const one of change.changes) {
        const answer = changed(next, one);
        if (refused(answer)) return answer;
        next = answer.prepared;
      }
      return done(next, change.because);
    }
  }
}

const noPlan = refuse("prepare.noPlan", "This plan is not there any more. Nothing was changed.");
const gone = refuse("shelf.gone", "This is not on the shelf any more. Nothing was changed.");

function itemOf(shelf: Shelf, part: ShelfPart, id: Id): { id: Id } | undefined {
  const items: readonly { id: Id }[] = shelf[part];
  return items.find((item) => item.id === id);
}

/** The first thing that is wrong with a shelf and was not wrong before. */
function newProblem(before: Shelf, after: Shelf): Refusal | null {
  const was = new Set(shelfProblems(before).map(({ say }) => say));
  const problem = shelfProblems(after).find(({ say }) => !was.has(say));
  return problem ? refuse(problem.code, problem.say) : null;
}

/** Nothing that stands on the shelf may be missing from another one that is put in its place. */
function vanished(before: Shelf, after: Shelf): Refusal | null {
  for (const part of SHELF_PARTS) {
    for (const { id } of before[part]) {
      if (itemOf(after, part, id)) continue;
      const what = sayItem(before, part, id);
      return refuse("shelf.vanishes", `${capital(what)} would vanish. Nothing was changed.`);
    }
  }
  return null;
}

/** What leads to an item of the shelf, in words; `null` when nothing does. */
function userOf({ shelf, plans }: Prepared, part: ShelfPart, id: Id): string | null {
  const stock = shelf.stocks.find(({ dyes }) => part === "dyes" && id in dyes);
  if (stock) return `the bottle ${stock.name}`;
  const swatched = shelf.swatches.some(
    ({ dye, base }) => (part === "dyes" && dye === id) || (part === "bases" && base === id),
  );
  if (swatched) return "a swatch";
  const measuring = shelf.tools.find(
    ({ tool }) => part === "dyes" && tool.kind === "powderSpoon" && id in tool.massUgOf,
  );
  if (measuring) return `the spoon ${measuring.name}`;
  for (const { plan } of Object.values(plans)) {
    if (usedIn(plan, part, id)) return `the plan ${plan.name}`;
  }
  return null;
}

function usedIn(plan: Plan, part: ShelfPart, id: Id): boolean {
  if (part === "bases") return plan.skeins.some(({ base }) => base === id);
  if (part === "stocks" && plan.setOut.includes(id)) return true;
  return plan.steps.some(
    (step) =>
      step.kind === "pour" &&
      (step.pour.source.from === "stock"
        ? part === "stocks" && step.pour.source.stock === id
        : part === "dyes" && step.pour.source.dye === id),
  );
}

const KIND: Readonly<Record<ShelfPart, string>> = {
  dyes: "the dye",
  bases: "the yarn",
  stocks: "the bottle",
  tools: "the tool",
  swatches: "a swatch",
};

function sayItem(shelf: Shelf, part: ShelfPart, id: Id): string {
  if (part === "swatches") {
    const dye = shelf.swatches.find((swatch) => swatch.id === id)?.dye;
    const name = shelf.dyes.find((one) => one.id === dye)?.name;
    return name === undefined ? KIND.swatches : `${KIND.swatches} of ${name}`;
  }
  const items: readonly { id: Id; name: string }[] = shelf[part];
  return `${KIND[part]} ${items.find((item) => item.id === id)?.name ?? id}`;
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
