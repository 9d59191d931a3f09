import type { Shelf, ShelfBase, ShelfDye, ShelfTool } from "../../shared/shelf/shelf.ts";
import { newId } from "../link/id.ts";

/** The first name that is not taken: "New dye", "New dye 2" … */
function freeName(stem: string, taken: readonly { name: string }[]): string {
  for (let n = 1; ; n++) {
    const name = n === 1 ? stem : `${stem} ${n}`;
    if (taken.every((one) => one.name !== name)) return name;
  }
}

export function freshDye(shelf: Shelf): ShelfDye {
  return {
    id: newId(),
    name: freeName("New dye", shelf.dyes),
    dyeClass: "unsure",
    hazards: [],
    hex: "#808080",
    swatchDepthPct: 1,
    swatchBaseHex: "#f3ecdf",
    retired: false,
  };
}

export function freshBase(shelf: Shelf): ShelfBase {
  return {
    id: newId(),
    name: freeName("New yarn", shelf.bases),
    fibres: [{ fibre: "wool", pct: 100 }],
    superwash: false,
    hex: "#f3ecdf",
    flecks: [],
    retired: false,
  };
}

export function freshTool(): ShelfTool {
  return {
    id: newId(),
    name: "Syringe 10 mL",
    tool: { kind: "syringe", capacityUl: 10_000, divisionUl: 200 },
    retired: false,
  };
}
