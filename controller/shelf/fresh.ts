import type { ShelfBase, ShelfDye, ShelfTool } from "../../shared/shelf/shelf.ts";
import { newId } from "../link/id.ts";

/** A dye that is only begun. */
export function freshDye(): ShelfDye {
  return {
    id: newId(),
    name: "",
    dyeClass: "unsure",
    hazards: [],
    hex: "#808080",
    swatchDepthPct: 1,
    swatchBaseHex: "#f3ecdf",
    retired: false,
  };
}

/** A yarn that is only begun. */
export function freshBase(): ShelfBase {
  return {
    id: newId(),
    name: "",
    fibres: [{ fibre: "wool", pct: 100 }],
    superwash: false,
    hex: "#f3ecdf",
    flecks: [],
    retired: false,
  };
}

/** A tool that is only begun. */
export function freshTool(): ShelfTool {
  return {
    id: newId(),
    name: "",
    tool: { kind: "syringe", capacityUl: 10_000, divisionUl: 200 },
    retired: false,
  };
}
