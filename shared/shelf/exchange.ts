import type * as z from "zod";
import { HAZARDS, type Hazard } from "../cautions/hazards.ts";
import { DYE_CLASSES, type DyeClass } from "../dye/dyeClass.ts";
import { type Field, quantityText, readQuantity } from "../dye/quantity.ts";
import { type Refusal, refuse, refused } from "../dye/refusal.ts";
import { massUgFor } from "../dye/strength.ts";
import type { Id } from "../session/setup.ts";
import { textOf } from "./encoding.ts";
import {
  fibresProblem,
  type Shelf,
  type ShelfItem,
  type ShelfPart,
  shelfBaseSchema,
  shelfDyeSchema,
  shelfStockSchema,
  shelfToolSchema,
  shelved,
  stockProblems,
} from "./shelf.ts";
import { type LineProblem, mostProblems, type Row, readTable, writeTable } from "./table.ts";

/**
 * One column of a table of shelf items: `write` gives the cell, `read` what the cell adds to the
 * item, nothing for an empty one.
 */
type Column<Item> = {
  name: string;
  /** The column has to be there; its cells are filled too, unless they may be `blank`. */
  required?: true;
  blank?: true;
  write(item: Item): string;
  read(cell: string): Readonly<Record<string, unknown>> | Refusal;
};

type Layout<Part extends ShelfPart> = {
  columns: readonly Column<ShelfItem<Part>>[];
  /** What a cell that is left empty stands for. */
  usual: Readonly<Record<string, unknown>>;
  schema: z.ZodType<ShelfItem<Part>>;
};

const MASS: Field = { kind: "mass", zero: true };
const VOLUME: Field = { kind: "volume", zero: true };
const PCT: Field = { kind: "percent", max: 100 };

const text = <Item>(
  name: string,
  key: string,
  of: (item: Item) => string | undefined,
  required?: true,
): Column<Item> => ({
  name,
  ...(required ? { required } : {}),
  write: (item) => of(item) ?? "",
  read: (cell) => ({ [key]: cell.trim() }),
});

const quantity = <Item>(
  name: string,
  key: string,
  field: Field,
  of: (item: Item) => number | undefined,
): Column<Item> => ({
  name,
  write: (item) => {
    const value = of(item);
    return value === undefined ? "" : quantityText(value, field);
  },
  read: (cell) => {
    const value = numberIn(cell, field);
    return refused(value) ? value : { [key]: value };
  },
});

const colour = <Item>(name: string, key: string, of: (item: Item) => string): Column<Item> => ({
  name,
  write: of,
  read: (cell) => ({ [key]: cell.trim().toLowerCase() }),
});

const yesNo = <Item>(name: string, key: string, of: (item: Item) => boolean): Column<Item> => ({
  name,
  write: (item) => (of(item) ? "yes" : "no"),
  read: (cell) => {
    const word = cell.trim().toLowerCase();
    if (["yes", "y", "true", "1", "x"].includes(word)) return { [key]: true };
    if (["no", "n", "false", "0"].includes(word)) return { [key]: false };
    return refuse("csv.yesNo", `Write yes or no, not "${cell.trim()}".`);
  },
});

const dyes: Layout<"dyes"> = {
  schema: shelfDyeSchema,
  usual: {
    dyeClass: "unsure",
    hazards: [],
    hex: "#808080",
    swatchDepthPct: 1,
    swatchBaseHex: "#f3ecdf",
    retired: false,
  },
  columns: [
    text("name", "name", (dye) => dye.name, true),
    text("short name", "id", (dye) => dye.id),
    text("maker's code", "code", (dye) => dye.code),
    {
      name: "class",
      write: (dye) => (dye.dyeClass === "metalComplex" ? "metal-complex" : dye.dyeClass),
      read: (cell) => oneOf<DyeClass>("dyeClass", DYE_CLASSES, cell),
    },
    {
      name: "hazards",
      write: (dye) => joined(dye.hazards),
      read: (cell) => {
        const hazards: Hazard[] = [];
        for (const word of split(cell)) {
          const found = oneOf<Hazard>("hazard", HAZARDS, word);
          if (refused(found)) return found;
          hazards.push(found.hazard as Hazard);
        }
        return { hazards };
      },
    },
    text("lot", "lot", (dye) => dye.lot),
    quantity("on hand", "onHandUg", MASS, (dye) => dye.onHandUg),
    colour("colour", "hex", (dye) => dye.hex),
    quantity("swatch depth", "swatchDepthPct", PCT, (dye) => dye.swatchDepthPct),
    colour("swatch yarn colour", "swatchBaseHex", (dye) => dye.swatchBaseHex),
    quantity("deepest", "limitPct", PCT, (dye) => dye.limitPct),
    yesNo("out of use", "retired", (dye) => dye.retired),
  ],
};

const bases: Layout<"bases"> = {
  schema: shelfBaseSchema,
  usual: { superwash: false, hex: "#f3ecdf", flecks: [], retired: false },
  columns: [
    text("name", "name", (base) => base.name, true),
    text("short name", "id", (base) => base.id),
    {
      name: "fibres",
      required: true,
      write: ({ fibres }) =>
        joined(fibres.map(({ fibre, pct }) => `${quantityText(pct, PCT)} ${fibre}`)),
      read: (cell) => {
        const parts = parted(cell, /^([\d.,/ ]+%)\s*([\s\S]+)$/, PCT, "75 % wool; 25 % nylon");
        return refused(parts)
          ? parts
          : { fibres: parts.map(({ amount, name }) => ({ fibre: name, pct: amount })) };
      },
    },
    text("ply", "ply", (base) => base.ply),
    yesNo("superwash", "superwash", (base) => base.superwash),
    colour("colour", "hex", (base) => base.hex),
    {
      name: "flecks",
      write: ({ flecks }) =>
        joined(flecks.map(({ name, hex, takesDye }) => `${takesDye ? "dyes " : ""}${hex} ${name}`)),
      read: (cell) => {
        const flecks: { name: string; hex: string; takesDye?: boolean }[] = [];
        for (const part of split(cell)) {
          const [, dyes, hex, name] = /^(dyes\s+)?(#[0-9a-f]{6})\s+([\s\S]+)$/i.exec(part) ?? [];
          if (hex === undefined || name === undefined) {
            const say =
              "Write flecks as #5a4632 peat; dyes #b8a07c oat, where oat takes dye as the yarn does.";
            return refuse("csv.flecks", say);
          }
          flecks.push({
            name,
            hex: hex.toLowerCase(),
            ...(dyes === undefined ? {} : { takesDye: true }),
          });
        }
        return { flecks };
      },
    },
    yesNo("out of use", "retired", (base) => base.retired),
  ],
};

const stocks: Layout<"stocks"> = {
  schema: shelfStockSchema,
  usual: { dyesCell: "", toMake: false, retired: false },
  columns: [
    text("name", "name", (stock) => stock.name, true),
    text("short name", "id", (stock) => stock.id),
    { ...quantity("volume", "volumeUl", VOLUME, (stock) => stock.volumeUl), required: true },
    {
      name: "dyes",
      required: true,
      blank: true,
      write: (stock) =>
        joined(Object.entries(stock.dyes).map(([dye, ug]) => `${quantityText(ug, MASS)} ${dye}`)),
      read: (cell) => ({ dyesCell: cell }),
    },
    text("made on", "madeOn", (stock) => stock.madeOn),
    yesNo("to make", "toMake", (stock) => stock.toMake),
    yesNo("out of use", "retired", (stock) => stock.retired),
  ],
};

const TOOL_KINDS = [
  "syringe",
  "cylinder",
  "scale",
  "dropper",
  "liquidSpoon",
  "powderSpoon",
] as const;
const DROP: Field = { kind: "number" };

const tools: Layout<"tools"> = {
  schema: shelfToolSchema,
  usual: { retired: false },
  columns: [
    text("name", "name", ({ name }) => name, true),
    text("short name", "id", ({ id }) => id),
    {
      name: "kind",
      required: true,
      write: ({ tool }) => tool.kind,
      read: (cell) => oneOf("kind", TOOL_KINDS, cell),
    },
    {
      name: "holds",
      write: ({ tool }) =>
        "capacityUl" in tool
          ? quantityText(tool.capacityUl, VOLUME)
          : "capacityUg" in tool
            ? quantityText(tool.capacityUg, MASS)
            : tool.kind === "liquidSpoon"
              ? quantityText(tool.spoonUl, VOLUME)
              : "",
      read: (cell) => ({ holds: cell }),
    },
    {
      name: "division",
      write: ({ tool }) =>
        "divisionUl" in tool
          ? quantityText(tool.divisionUl, VOLUME)
          : "divisionUg" in tool
            ? quantityText(tool.divisionUg, MASS)
            : "",
      read: (cell) => ({ division: cell }),
    },
    {
      name: "drop in \u00b5L",
      write: ({ tool }) =>
        tool.kind === "dropper" && tool.dropUl !== undefined ? quantityText(tool.dropUl, DROP) : "",
      read: (cell) => ({ drop: cell }),
    },
    {
      name: "a spoon weighs",
      write: ({ tool }) =>
        tool.kind === "powderSpoon"
          ? joined(
              Object.entries(tool.massUgOf).map(([dye, ug]) => `${quantityText(ug, MASS)} ${dye}`),
            )
          : "",
      read: (cell) => ({ weighs: cell }),
    },
    yesNo("out of use", "retired", ({ retired }) => retired),
  ],
};

/** The parts that go as a table; swatches go with the shelf's file. */
export type TablePart = Exclude<ShelfPart, "swatches">;

const LAYOUTS: { readonly [Part in TablePart]: Layout<Part> } = { dyes, bases, stocks, tools };

/** A part of the shelf as a table, comma-separated. */
export function exportTable(shelf: Shelf, part: TablePart): string {
  return written(LAYOUTS[part] as Layout<TablePart>, shelf[part]);
}

function written<Part extends ShelfPart>(
  layout: Layout<Part>,
  items: readonly ShelfItem<Part>[],
): string {
  const { columns } = layout;
  return writeTable(
    columns.map((column) => column.name),
    items.map((item) => columns.map((column) => column.write(item))),
  );
}

export type Imported =
  | { ok: true; shelf: Shelf; added: number; changed: number }
  | { ok: false; problems: readonly LineProblem[] };

/**
 * A shelf with the lines of a table put on it, each in place of the item of its short name where
 * there is one. A line without a short name takes its name for one. If anything is wrong in any
 * line, every problem is told (up to 50) and nothing is changed.
 *
 * @param file the bytes of the file, or its text
 */
export function importTable(file: Uint8Array | string, part: TablePart, shelf: Shelf): Imported {
  const read = typeof file === "string" ? file : textOf(file);
  if (typeof read !== "string") {
    const [, line = "1"] = /^Line (\d+)/.exec(read.say) ?? [];
    return { ok: false, problems: [{ line: Number(line), say: read.say }] };
  }
  return imported(LAYOUTS[part] as Layout<TablePart>, read, part, shelf);
}

function imported<Part extends TablePart>(
  layout: Layout<Part>,
  content: string,
  part: Part,
  shelf: Shelf,
): Imported {
  const names = layout.columns.map((column) => column.name);
  const required = layout.columns.filter((column) => column.required).map((column) => column.name);
  const table = readTable(content, names, required);
  if (!table.ok) return table;
  const problems: LineProblem[] = [];
  const seen = new Map<Id, number>();
  const before = new Set<Id>(shelf[part].map((item) => item.id));
  let next = shelf;
  const known = new Set(shelf.dyes.map((dye) => dye.id));
  for (const row of table.rows) {
    if (problems.length >= mostProblems) break;
    const item = itemOf(layout, row, part, known);
    if (Array.isArray(item)) {
      problems.push(...item);
      continue;
    }
    const was = seen.get(item.id);
    if (was !== undefined) {
      const say = `"${item.id}" stands in line ${was} already. Give one another short name.`;
      problems.push({ line: row.line, say });
      continue;
    }
    seen.set(item.id, row.line);
    next = shelved(next, part, withKept(item, shelf[part]));
  }
  if (problems.length > 0) return { ok: false, problems: problems.slice(0, mostProblems) };
  const changed = [...seen.keys()].filter((id) => before.has(id)).length;
  return { ok: true, shelf: next, added: seen.size - changed, changed };
}

/** A table has no place for a measured colour: it stays while the colour beside it does. */
function withKept<Item extends { id: Id }>(item: Item, before: readonly Item[]): Item {
  const was = before.find((one) => one.id === item.id);
  if (!was || !("seen" in was && "hex" in was && "hex" in item)) return item;
  return was.hex === item.hex ? { ...item, seen: was.seen } : item;
}

/** The item of a line, or what is wrong with it. */
function itemOf<Part extends TablePart>(
  layout: Layout<Part>,
  { line, cells }: Row,
  part: Part,
  dyeIds: ReadonlySet<Id>,
): ShelfItem<Part> | LineProblem[] {
  const problems: LineProblem[] = [];
  const draft: Record<string, unknown> = { ...layout.usual };
  for (const { name: column, read, required, blank } of layout.columns) {
    const cell = cells[column] ?? "";
    if (cell.trim() === "") {
      if (required && !blank)
        problems.push({ line, column, say: `The cell "${column}" is empty.` });
      continue;
    }
    const found = read(cell);
    if (refused(found)) problems.push({ line, column, say: found.say });
    else Object.assign(draft, found);
  }
  if (problems.length > 0) return problems;
  draft.id ??= draft.name;
  const finished = FINISH[part]?.(draft) ?? null;
  if (finished) return [{ line, ...finished }];
  const parsed = layout.schema.safeParse(draft);
  if (!parsed.success) {
    return parsed.error.issues.map((issue) => ({
      line,
      column: columnOf(layout, String(issue.path[0] ?? "")),
      say: issue.message.endsWith(".") ? issue.message : `This cannot be read: ${issue.message}.`,
    }));
  }
  const wrong = (CHECKS[part] as Check<Part>)(parsed.data, dyeIds);
  return wrong.length > 0 ? wrong.map((say) => ({ line, say })) : parsed.data;
}

function columnOf<Part extends ShelfPart>(layout: Layout<Part>, key: string): string {
  return COLUMN_OF[key] ?? layout.columns.find((column) => column.name === key)?.name ?? key;
}

const COLUMN_OF: Readonly<Record<string, string>> = {
  id: "short name",
  code: "maker's code",
  hex: "colour",
  swatchBaseHex: "swatch yarn colour",
  swatchDepthPct: "swatch depth",
  limitPct: "deepest",
  onHandUg: "on hand",
  volumeUl: "volume",
  madeOn: "made on",
  retired: "out of use",
  tool: "kind",
};

type Check<Part extends ShelfPart> = (item: ShelfItem<Part>, dyes: ReadonlySet<Id>) => string[];

const CHECKS: { readonly [Part in TablePart]: Check<Part> } = {
  dyes: () => [],
  bases: (base) => {
    const say = fibresProblem(base);
    return say ? [say] : [];
  },
  stocks: (stock, ids) => stockProblems(stock, ids).map((problem) => problem.say),
  tools: () => [],
};

type Draft = Record<string, unknown>;
type CellProblem = { column: string; say: string };

/** What takes more than one cell: a bottle's dyes need its volume, a tool's sizes its kind. */
const FINISH: Partial<Record<ShelfPart, (draft: Draft) => CellProblem | null>> = {
  stocks: (draft) => {
    const { dyesCell, ...rest } = draft;
    delete draft.dyesCell;
    const masses = massesIn(String(dyesCell), Number(rest.volumeUl));
    if (refused(masses)) return { column: "dyes", say: masses.say };
    draft.dyes = masses;
    return null;
  },
  tools: (draft) => {
    const { kind, holds, division, drop, weighs } = draft as Record<string, string | undefined>;
    for (const key of ["kind", "holds", "division", "drop", "weighs"]) delete draft[key];
    const tool: Draft = { kind };
    const take = (key: string, cell: string | undefined, field: Field, column: string) => {
      if (cell === undefined) return { column, say: `A ${kind} needs the cell "${column}".` };
      const value = numberIn(cell, field);
      if (refused(value)) return { column, say: value.say };
      tool[key] = value;
      return null;
    };
    draft.tool = tool;
    switch (kind) {
      case "scale":
        return (
          take("capacityUg", holds, MASS, "holds") ?? take("divisionUg", division, MASS, "division")
        );
      case "dropper":
        return drop === undefined ? null : take("dropUl", drop, DROP, "drop in \u00b5L");
      case "liquidSpoon":
        return take("spoonUl", holds, VOLUME, "holds");
      case "powderSpoon": {
        const masses = massesIn(weighs ?? "", Number.NaN);
        if (refused(masses)) return { column: "a spoon weighs", say: masses.say };
        tool.massUgOf = masses;
        return null;
      }
      default:
        return (
          take("capacityUl", holds, VOLUME, "holds") ??
          take("divisionUl", division, VOLUME, "division")
        );
    }
  },
};

/** "1.5 g lantern; 0.5 % slipway": masses as they are, strengths of so much volume (not of a spoon). */
function massesIn(cell: string, volumeUl: number): Record<Id, number> | Refusal {
  const masses: Record<Id, number> = {};
  const example = "1.5 g lantern; 0.5 % slipway";
  for (const part of split(cell)) {
    const [, amount = "", dye = ""] = /^([\d.,/ ]+(?:%|[kmu\u00b5]?g))\s+(.+)$/i.exec(part) ?? [];
    if (dye === "") return refuse("csv.list", `Write them as ${example}.`);
    const strength = amount.endsWith("%");
    const value = numberIn(amount, strength ? PCT : MASS);
    if (refused(value)) return value;
    if (strength && Number.isNaN(volumeUl)) {
      return refuse("csv.strength", "A spoon of powder has a weight: write it in mg or g.");
    }
    if (Object.hasOwn(masses, dye)) return refuse("csv.twice", `"${dye}" stands twice.`);
    // Defined, not assigned, so that no short name can reach an object's own machinery.
    Object.defineProperty(masses, dye, {
      value: strength ? massUgFor(value, volumeUl) : value,
      enumerable: true,
      configurable: true,
      writable: true,
    });
  }
  return masses;
}

function numberIn(cell: string, field: Field): number | Refusal {
  const reading = readQuantity(cell, field);
  if ("ok" in reading) return reading.value;
  return "ask" in reading ? refuse("csv.asks", `${reading.ask} Write it so in the file.`) : reading;
}

function oneOf<Word extends string>(
  key: string,
  words: readonly Word[],
  cell: string,
): Readonly<Record<string, Word>> | Refusal {
  const plain = (word: string) => word.toLowerCase().replace(/[\s-]/g, "");
  const found = words.find((word) => plain(word) === plain(cell));
  return found === undefined
    ? refuse("csv.word", `"${cell.trim()}" is not one of ${words.join(", ")}.`)
    : { [key]: found };
}

function parted(
  cell: string,
  pattern: RegExp,
  field: Field,
  example: string,
): { amount: number; name: string }[] | Refusal {
  const parts: { amount: number; name: string }[] = [];
  for (const part of split(cell)) {
    const [, amount = "", name = ""] = pattern.exec(part) ?? [];
    if (name === "") return refuse("csv.list", `Write them as ${example}.`);
    const value = numberIn(amount, field);
    if (refused(value)) return value;
    parts.push({ amount: value, name });
  }
  return parts;
}

/** Several things in one cell, with semicolons between; one in a name has a backslash before it. */
function joined(parts: readonly string[]): string {
  return parts.map((part) => part.replace(/[\\;]/g, "\\$&")).join("; ");
}

function split(cell: string): string[] {
  return (cell.match(/(?:\\[\s\S]|[^;\\]|\\$)+/g) ?? [])
    .map((part) => part.trim().replace(/\\([\s\S])/g, "$1"))
    .filter((part) => part !== "");
}
