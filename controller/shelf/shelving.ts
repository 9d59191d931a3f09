import { sayIssue } from "../../shared/session/sayIssue.ts";
import {
  fibresProblem,
  type ShelfBase,
  type ShelfDye,
  type ShelfTool,
  shelfBaseSchema,
  shelfDyeSchema,
  shelfToolSchema,
} from "../../shared/shelf/shelf.ts";

/** Something for the shelf, with the part that it stands in. */
export type Shelved =
  | { readonly part: "dyes"; readonly item: ShelfDye }
  | { readonly part: "bases"; readonly item: ShelfBase }
  | { readonly part: "tools"; readonly item: ShelfTool };

/** Why something cannot stand on the shelf as it is, in a sentence; or null. */
export function unkept(shelved: Shelved): string | null {
  if (shelved.item.name.trim() === "") return "Give it a name first.";
  const parsed = parse(shelved);
  if (!parsed.success) {
    const [issue] = parsed.error.issues;
    const where = WHERE[String(issue?.path[0] ?? "")];
    const say = sayIssue(issue);
    return where === undefined ? say : `${where}: ${say}`;
  }
  if (shelved.part === "bases") return fibresProblem(shelved.item);
  if (shelved.part === "tools") return toolProblem(shelved.item);
  return null;
}

function parse(shelved: Shelved) {
  switch (shelved.part) {
    case "dyes":
      return shelfDyeSchema.safeParse(shelved.item);
    case "bases":
      return shelfBaseSchema.safeParse(shelved.item);
    case "tools":
      return shelfToolSchema.safeParse(shelved.item);
  }
}

const WHERE: Readonly<Record<string, string>> = {
  name: "Its name",
  fibres: "Its fibres",
  flecks: "Its flecks",
  tool: "Its size",
};

/** A tool whose marks stand further apart than it holds measures nothing. */
function toolProblem({ tool }: ShelfTool): string | null {
  if ("capacityUl" in tool && tool.divisionUl > tool.capacityUl) {
    return "Its marks stand further apart than it holds. Put one of the two right.";
  }
  if ("capacityUg" in tool && tool.divisionUg > tool.capacityUg) {
    return "It weighs in steps that are larger than the most it weighs. Put one of the two right.";
  }
  return null;
}

/** "75 + 25 = 100 %", and what is missing or too much. */
export function sayFibres(fibres: ShelfBase["fibres"]): string {
  const round = (pct: number) => String(Math.round(pct * 100) / 100);
  const sum = fibres.reduce((all, { pct }) => all + pct, 0);
  const parts = fibres.map(({ pct }) => round(pct)).join(" + ");
  const whole = `${fibres.length > 1 ? `${parts} = ` : ""}${round(sum)}\u202f%`;
  if (fibresProblem({ name: "", fibres }) === null) return `${whole}, all of it.`;
  return sum < 100
    ? `${whole}: ${round(100 - sum)}\u202f% is missing.`
    : `${whole}: ${round(sum - 100)}\u202f% too much.`;
}
