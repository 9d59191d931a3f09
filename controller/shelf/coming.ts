import type { Id } from "../../shared/session/setup.ts";
import type { TablePart } from "../../shared/shelf/exchange.ts";
import type { Shelf, ShelfItem } from "../../shared/shelf/shelf.ts";

/** One thing that a table brings. */
export type ComingLine = { readonly id: Id; readonly name: string; readonly is: "new" | "changed" };

/** What is different on a part of the shelf once a table is taken in, in the table's order. */
export function comingLines(part: TablePart, before: Shelf, after: Shelf): readonly ComingLine[] {
  const items: readonly (ShelfItem<TablePart> & { name?: string })[] = after[part];
  const was = new Map<Id, string>(
    before[part].map((item) => [item.id, JSON.stringify(sorted(item))]),
  );
  const lines: ComingLine[] = [];
  for (const item of items) {
    const there = was.get(item.id);
    const { id, name = id } = item;
    if (there === undefined) lines.push({ id, name, is: "new" });
    else if (there !== JSON.stringify(sorted(item))) lines.push({ id, name, is: "changed" });
  }
  return lines;
}

/** The same things in the same order, so that only what they are is compared. */
function sorted(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(sorted);
  if (typeof value !== "object" || value === null) return value;
  return Object.fromEntries(
    Object.entries(value)
      .sort(([a], [b]) => (a < b ? -1 : 1))
      .map(([key, one]) => [key, sorted(one)]),
  );
}
