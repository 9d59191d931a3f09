import type { ShelfBase, ShelfDye, ShelfTool } from "../../shared/shelf/shelf.ts";

/** Whether all words that were typed stand somewhere in a thing's name, code, lot, fibres or kind. */
export function isFound(item: ShelfDye | ShelfBase | ShelfTool, typed: string): boolean {
  const told = wordsOf(item).join(" ").toLowerCase();
  return typed
    .toLowerCase()
    .split(/\s+/)
    .every((word) => told.includes(word));
}

function wordsOf(item: ShelfDye | ShelfBase | ShelfTool): string[] {
  if ("dyeClass" in item) return [item.name, item.code ?? "", item.lot ?? ""];
  if ("fibres" in item) {
    return [item.name, item.ply ?? "", ...item.fibres.map(({ fibre }) => fibre)];
  }
  return [item.name, item.tool.kind];
}
