import { showCount } from "../../shared/dye/display.ts";
import type { PoursideFile } from "../../shared/plan/file.ts";
import type { Change } from "../../shared/prepare/change.ts";
import { mergeShelves, neededBy, type PartCounts } from "../../shared/prepare/merge.ts";
import { nextName } from "../../shared/prepare/nextFrom.ts";
import type { Prepared } from "../../shared/prepare/preparation.ts";
import type { Id } from "../../shared/session/setup.ts";
import { SHELF_PARTS, type ShelfPart } from "../../shared/shelf/shelf.ts";

type ShelfFile = Extract<PoursideFile, { pourside: "shelf" }>;
type PlanFile = Extract<PoursideFile, { pourside: "plan" }>;
type SessionFile = Extract<PoursideFile, { pourside: "session" }>;

/** What will happen when a file is taken in: in words, and as one change; null for none. */
export type Coming = { says: readonly string[]; change: Change | null };

const NOUN: Readonly<Record<ShelfPart, string>> = {
  dyes: "dye",
  bases: "yarn",
  stocks: "bottle",
  tools: "tool",
  swatches: "swatch",
};

/** "6 dyes, 2 yarns and 1 bottle"; an empty text for nothing. */
export function sayParts(counts: PartCounts): string {
  const parts = SHELF_PARTS.flatMap((part) => {
    const count = counts[part];
    if (count === 0) return [];
    return [part === "swatches" && count > 1 ? `${count} swatches` : showCount(count, NOUN[part])];
  });
  const last = parts.pop();
  if (last === undefined) return "";
  return parts.length === 0 ? last : `${parts.join(", ")} and ${last}`;
}

/** How many there are of each part. */
export function countsOf(shelf: Prepared["shelf"]): PartCounts {
  const { dyes, bases, stocks, tools, swatches } = shelf;
  return {
    dyes: dyes.length,
    bases: bases.length,
    stocks: stocks.length,
    tools: tools.length,
    swatches: swatches.length,
  };
}

/** A shelf file onto the shelf: what has the same short name is replaced, nothing vanishes. */
export function comingShelf({ shelf }: ShelfFile, prepared: Prepared): Coming {
  const merged = mergeShelves(prepared.shelf, shelf, "replace");
  const added = sayParts(merged.added);
  const replaced = sayParts(merged.replaced);
  const kept = sayParts(merged.kept);
  const says = [
    ...(added === "" ? [] : [`New on the shelf: ${added}.`]),
    ...(replaced === "" ? [] : [`Replaced by what the file says: ${replaced}.`]),
    ...(kept === "" ? [] : [`The same already: ${kept}.`]),
  ];
  if (added === "" && replaced === "") {
    return { says: [...says, "Nothing would change."], change: null };
  }
  return {
    says: [...says, "Nothing else on your shelf changes, and nothing leaves it."],
    change: { change: "shelf", shelf: merged.shelf, because: "opened a shelf file" },
  };
}

/** A plan file as a new plan, with what of its shelf is missing here. */
export function comingPlan({ plan, shelf }: PlanFile, prepared: Prepared, id: Id): Coming {
  const taken = new Set(Object.values(prepared.plans).map((line) => line.plan.name));
  const name = taken.has(plan.name) ? nextName(plan.name, taken) : plan.name;
  const merged = mergeShelves(prepared.shelf, shelf, "keep");
  const added = sayParts(merged.added);
  const kept = sayParts(merged.kept);
  const because = `opened the plan ${name} from a file`;
  const begin: Change = { change: "newPlan", plan: id, content: { ...plan, name } };
  const counts = [
    showCount(plan.skeins.length, "skein"),
    showCount(plan.pans.length, "pan"),
    showCount(plan.steps.length, "step"),
  ];
  return {
    says: [
      `A new plan, ${name}: ${counts.join(", ")}.`,
      ...(added === "" ? [] : [`New on the shelf for it: ${added}.`]),
      ...(kept === "" ? [] : [`On your shelf under the same short names, and left so: ${kept}.`]),
    ],
    change: {
      change: "several",
      changes: added === "" ? [begin] : [{ change: "shelf", shelf: merged.shelf, because }, begin],
      because,
    },
  };
}

/** A session file: what will stand in the record. */
export function comingSession({ events }: SessionFile): readonly string[] {
  const [first] = events;
  const name = first?.event.type === "opened" ? first.event.setup.name : "A session";
  return [
    `${name}, with ${events.length === 1 ? "1 entry" : `${events.length} entries`}, comes into the record.`,
    "The bench stays as it is. Shelf and plans do not change.",
  ];
}

/** A plan as a file, with what it leads to on the shelf; null where there is no such plan. */
export function planFile(prepared: Prepared, id: Id): PlanFile | null {
  const plan = prepared.plans[id]?.plan;
  return plan ? { pourside: "plan", plan, shelf: neededBy(plan, prepared.shelf) } : null;
}

/** A name that any computer takes for a file: "Harbour at dusk" is "harbour-at-dusk.plan.json". */
export function fileName(name: string, kind: PoursideFile["pourside"]): string {
  const clean = name
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, "-")
    .replace(/^-|-$/g, "");
  return `${clean === "" ? "pourside" : clean}.${kind}.json`;
}
