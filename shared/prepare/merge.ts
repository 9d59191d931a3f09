import type { Plan } from "../plan/plan.ts";
import type { Id } from "../session/setup.ts";
import type { Shelf, ShelfItem, ShelfPart } from "../shelf/shelf.ts";

/** How many items of each part of a shelf. */
export type PartCounts = Readonly<Record<ShelfPart, number>>;

/** A shelf with another one put onto it, and what that did, part by part. */
export type Merged = {
  readonly shelf: Shelf;
  readonly added: PartCounts;
  readonly replaced: PartCounts;
  /** Items that were there already and stay: equal, or left alone. */
  readonly kept: PartCounts;
};

/**
 * Puts the items of one shelf onto another. Nothing leaves: what has the same short name is
 * replaced (`replace`) or stays as it is (`keep`), the rest is added after what is there.
 */
export function mergeShelves(onto: Shelf, from: Shelf, same: "replace" | "keep"): Merged {
  const [added, replaced, kept] = [zero(), zero(), zero()];
  const put = <Part extends ShelfPart>(part: Part) => {
    const there: readonly ShelfItem<Part>[] = onto[part];
    const coming: readonly ShelfItem<Part>[] = from[part];
    const byId = new Map<Id, ShelfItem<Part>>(there.map((item) => [item.id, item]));
    for (const item of coming) {
      const before = byId.get(item.id);
      if (before === undefined) added[part] += 1;
      else if (same === "keep" || sameValue(before, item)) kept[part] += 1;
      else replaced[part] += 1;
      if (before === undefined || same === "replace") byId.set(item.id, item);
    }
    return [...byId.values()];
  };
  const shelf: Shelf = {
    dyes: put("dyes"),
    bases: put("bases"),
    stocks: put("stocks"),
    tools: put("tools"),
    swatches: put("swatches"),
  };
  return { shelf, added, replaced, kept };
}

/** What of a shelf a plan leads to, with the swatches of those dyes on those yarns. */
export function neededBy(plan: Plan, shelf: Shelf): Shelf {
  const stocks = new Set<Id>(plan.setOut);
  const dyes = new Set<Id>();
  for (const step of plan.steps) {
    if (step.kind !== "pour") continue;
    const { source } = step.pour;
    if (source.from === "stock") stocks.add(source.stock);
    else dyes.add(source.dye);
  }
  const bottles = shelf.stocks.filter(({ id }) => stocks.has(id));
  for (const bottle of bottles) for (const dye of Object.keys(bottle.dyes)) dyes.add(dye);
  const bases = new Set<Id>(plan.skeins.map(({ base }) => base));
  return {
    dyes: shelf.dyes.filter(({ id }) => dyes.has(id)),
    bases: shelf.bases.filter(({ id }) => bases.has(id)),
    stocks: bottles,
    tools: [],
    swatches: shelf.swatches.filter(({ dye, base }) => dyes.has(dye) && bases.has(base)),
  };
}

/** Whether two values of JSON say the same, whatever the order of their keys. */
export function sameValue(a: unknown, b: unknown): boolean {
  if (a === b) return true;
  if (typeof a !== "object" || typeof b !== "object" || a === null || b === null) return false;
  if (Array.isArray(a) !== Array.isArray(b)) return false;
  const left = Object.entries(a);
  const right = new Map(Object.entries(b));
  return (
    left.length === right.size &&
    left.every(([key, value]) => right.has(key) && sameValue(value, right.get(key)))
  );
}

function zero(): Record<ShelfPart, number> {
  return { dyes: 0, bases: 0, stocks: 0, tools: 0, swatches: 0 };
}
