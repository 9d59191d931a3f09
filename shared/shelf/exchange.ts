import type * as z from "zod";
import { HAZARDS, type Hazard } from "../cautions/hazards.ts";
import { type RecordedSeen, sightedOf } from "../colour/seen.ts";
import { BANDS } from "../colour/spectrum.ts";
import { DYE_CLASSES, type DyeClass } from "../dye/dyeClass.ts";
import { type Field, quantityText, readQuantity } from "../dye/quantity.ts";
import { type Refusal, refuse, refused } from "../dye/refusal.ts";
import { massUgFor } from "../dye/strength.ts";
import { sayIssue } from "../session/sayIssue.ts";
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
  shelfSwatchSchema,
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
const NUMBER: Field = { kind: "number", zero: true };

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

const HOW = {
  spectrum: "spectrum",
  measured: "L* a* b*",
  typed: "typed",
  photographed: "photograph",
} as const satisfies Readonly<Record<RecordedSeen["how"], string>>;

const swatches: Layout<"swatches"> = {
  schema: shelfSwatchSchema,
  usual: { retired: false },
  columns: [
    text("short name", "id", ({ id }) => id),
    text("dye", "dye", ({ dye }) => dye, true),
    text("yarn", "base", ({ base }) => base, true),
    { ...quantity("depth", "depthPct", PCT, ({ depthPct }) => depthPct), required: true },
    {
      name: "how",
      required: true,
      write: ({ seen }) => HOW[seen.how],
      read: (cell) => oneOf("how", Object.values(HOW), cell),
    },
    {
      name: "colour",
      required: true,
      write: ({ seen }) => colourCell(seen),
      read: (cell) => ({ colourCell: cell }),
    },
    {
      name: "patch strays",
      write: ({ seen }) =>
        seen.how === "photographed" && seen.spread !== undefined
          ? quantityText(seen.spread, NUMBER)
          : "",
      read: (cell) => ({ strays: cell }),
    },
    text("made on", "madeOn", ({ madeOn }) => madeOn),
    text("note", "note", ({ note }) => note),
    yesNo("out of use", "retired", ({ retired }) => retired),
  ],
};

/** "#2e6e86", "45.2; -12; 20.5" for L*, a*, b*, or 31 shares from 400 to 700 nm. */
function colourCell(seen: RecordedSeen): string {
  switch (seen.how) {
    case "spectrum":
      return joined(seen.reflectance.map((share) => quantityText(share, NUMBER)));
    case "measured":
      return joined([seen.lab.l, seen.lab.a, seen.lab.b].map(signedText));
    case "typed":
    case "photographed":
      return seen.hex;
  }
}

function signedText(value: number): string {
  return value < 0 ? `-${quantityText(-value, NUMBER)}` : quantityText(value, NUMBER);
}

/** The parts of a shelf that go as a table, which are all of them. */
export type TablePart = ShelfPart;

const LAYOUTS: { readonly [Part in TablePart]: Layout<Part> } = {
  dyes,
  bases,
  stocks,
  tools,
  swatches,
};

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
  | {
      ok: false;
      problems: readonly LineProblem[];
      /** Lines with something wrong, also those whose problem is not told any more. */
      wrong: number;
      /** What would come of the lines with nothing wrong; null where there are none. */
      good: { shelf: Shelf; added: number; changed: number } | null;
    };

/**
 * A shelf with the lines of a table put on it, each in place of the item of its short name where
 * there is one. A line without a short name takes its name for one. If anything is wrong in any
 * line, every problem is told (up to 50), and the good lines come apart from them, to be asked about.
 *
 * @param file the bytes of the file, or its text
 */
export function importTable(file: Uint8Array | string, part: TablePart, shelf: Shelf): Imported {
  const read = typeof file === "string" ? file : textOf(file);
  if (typeof read !== "string") {
    const [, line = "1"] = /^Line (\d+)/.exec(read.say) ?? [];
    return { ok: false, problems: [{ line: Number(line), say: read.say }], wrong: 1, good: null };
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
  if (!table.ok) return { ...table, wrong: table.problems.length, good: null };
  const problems: LineProblem[] = [];
  const seen = new Map<Id, number>();
  const before = new Set<Id>(shelf[part].map((item) => item.id));
  let next = shelf;
  const there = {
    dyes: new Set(shelf.dyes.map(({ id }) => id)),
    bases: new Set(shelf.bases.map(({ id }) => id)),
  };
  let wrong = 0;
  for (const row of table.rows) {
    const item = itemOf(layout, row, part, there);
    if (Array.isArray(item)) {
      wrong += 1;
      problems.push(...item);
      continue;
    }
    const was = seen.get(item.id);
    if (was !== undefined) {
      wrong += 1;
      const say = `"${item.id}" stands in line ${was} already. Give one another short name.`;
      problems.push({ line: row.line, say });
      continue;
    }
    seen.set(item.id, row.line);
    next = shelved(next, part, withKept(item, shelf[part]));
  }
  const changed = [...seen.keys()].filter((id) => before.has(id)).length;
  const taken = { shelf: next, added: seen.size - changed, changed };
  if (wrong === 0) return { ok: true, ...taken };
  return {
    ok: false,
    problems: problems.slice(0, mostProblems),
    wrong,
    good: seen.size > 0 ? taken : null,
  };
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
  there: There,
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
      say: sayIssue(issue),
    }));
  }
  const wrong = (CHECKS[part] as Check<Part>)(parsed.data, there);
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
  base: "yarn",
  depthPct: "depth",
  seen: "colour",
};

/** Short names that a line may name. */
type There = Readonly<Record<"dyes" | "bases", ReadonlySet<Id>>>;

type Check<Part extends ShelfPart> = (item: ShelfItem<Part>, there: There) => string[];

const CHECKS: { readonly [Part in TablePart]: Check<Part> } = {
  dyes: () => [],
  bases: (base) => {
    const say = fibresProblem(base);
    return say ? [say] : [];
  },
  stocks: (stock, there) => stockProblems(stock, there.dyes).map((problem) => problem.say),
  tools: () => [],
  swatches: ({ dye, base, seen }, there) => {
    const sighted = sightedOf(seen);
    return [
      ...(there.dyes.has(dye) ? [] : [`The dye "${dye}" is not on the shelf.`]),
      ...(there.bases.has(base) ? [] : [`The yarn "${base}" is not on the shelf.`]),
      ...(refused(sighted) ? [sighted.say] : []),
    ];
  },
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
  swatches: (draft) => {
    const { dye, base, depthPct, how, colourCell, strays } = draft;
    for (const key of ["how", "colourCell", "strays"]) delete draft[key];
    const seen = seenIn(
      String(how),
      String(colourCell),
      typeof strays === "string" ? strays : undefined,
    );
    if (refused(seen)) return { column: "colour", say: seen.say };
    draft.seen = seen;
    draft.id ??= `${dye} ${depthPct} ${base}`;
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

/** A swatch's colour as its line says it was found. */
function seenIn(how: string, cell: string, strays: string | undefined): RecordedSeen | Refusal {
  if (how === HOW.typed || how === HOW.photographed) {
    const hex = cell.trim().toLowerCase();
    if (how === HOW.typed) return { how: "typed", hex };
    if (strays === undefined) return { how: "photographed", hex };
    const spread = numberIn(strays, NUMBER);
    return refused(spread) ? spread : { how: "photographed", hex, spread };
  }
  const values: number[] = [];
  for (const part of split(cell)) {
    const value = signedIn(part);
    if (refused(value)) return value;
    values.push(value);
  }
  if (how === HOW.spectrum) {
    return values.length === BANDS
      ? { how: "spectrum", reflectance: values }
      : refuse("csv.spectrum", `Write ${BANDS} shares, 400 to 700 nm: 0.62; 0.63 and so on.`);
  }
  const [l = 0, a = 0, b = 0] = values;
  return values.length === 3
    ? { how: "measured", lab: { l, a, b } }
    : refuse("csv.lab", "Write L*, a* and b* with semicolons between: 45.2; -12; 20.5.");
}

function signedIn(part: string): number | Refusal {
  const [, minus, rest = ""] = /^([-\u2212]?)\s*([\s\S]*)$/.exec(part) ?? [];
  const value = numberIn(rest, NUMBER);
  return minus && !refused(value) ? 0 - value : value;
}

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
