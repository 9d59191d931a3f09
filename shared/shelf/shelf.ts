import * as z from "zod";
import { HAZARDS } from "../cautions/hazards.ts";
import { hexSchema, seenSchema } from "../colour/seenSchema.ts";
import { DYE_CLASSES } from "../dye/dyeClass.ts";
import { idSchema, maxMassUg, maxVolumeUl, nameSchema } from "../session/command.ts";
import type { Id } from "../session/setup.ts";
import type { Frozen } from "./frozen.ts";

export { hexSchema, seenSchema };

export const pctSchema = z
  .number({ error: "This is not a number. Write it as digits, such as 12 or 0.5." })
  .positive({ error: "A per cent has to be more than 0." })
  .max(100, { error: "There is no more than 100 %." });

const size = z
  .int({ error: "This is not a number. Write it as digits, such as 12 or 0.5." })
  .positive({ error: "A size has to be more than 0." })
  .max(maxMassUg, { error: "That is larger than any tool." });
/** A drop is the mean of many, so it need not be a whole uL. */
const dropUl = z
  .number()
  .positive({ error: "A drop has to be more than 0." })
  .max(1_000, { error: "A drop is not as large as a mL." });
const massUg = z.int().nonnegative().max(maxMassUg);
const dateSchema = z.iso.date({ error: "A date is written as 2031-05-31." });
const wordSchema = z.string().trim().max(80, { error: "Shorten this to 80 characters." });
/** Dye ids to ug. */
const massesSchema = z.record(idSchema, massUg);

/** A dry colourant as it stands on the shelf. */
export const shelfDyeSchema = z.strictObject({
  id: idSchema,
  name: nameSchema,
  /** The maker's code, free text. */
  code: wordSchema.exactOptional(),
  dyeClass: z.enum(DYE_CLASSES),
  hazards: z.array(z.enum(HAZARDS)).max(HAZARDS.length),
  lot: wordSchema.exactOptional(),
  /** Powder on hand, ug; left out where nobody has weighed it. */
  onHandUg: massUg.exactOptional(),
  hex: hexSchema,
  swatchDepthPct: pctSchema,
  swatchBaseHex: hexSchema,
  /** The deepest shade of this dye that is sensible, % owf; left out, the workroom's own limit. */
  limitPct: pctSchema.exactOptional(),
  retired: z.boolean(),
});

/** A yarn as it enters, undyed or already dyed. */
export const shelfBaseSchema = z.strictObject({
  id: idSchema,
  name: nameSchema,
  fibres: z
    .array(z.strictObject({ fibre: nameSchema, pct: pctSchema }))
    .min(1, { error: "A base has no fibres. Name at least one." })
    .max(20),
  ply: wordSchema.exactOptional(),
  superwash: z.boolean(),
  hex: hexSchema,
  /** The natural colour as it was measured or sampled; left out, it is `hex` as typed. */
  seen: seenSchema.exactOptional(),
  flecks: z
    .array(
      z.strictObject({
        name: nameSchema,
        hex: hexSchema,
        /** Whether it takes dye as the yarn does; left out, it keeps its colour. */
        takesDye: z.boolean().exactOptional(),
      }),
    )
    .max(20),
  retired: z.boolean(),
});

/** A bottle of stock solution: what it holds now, or what it is to hold where it is still to make. */
export const shelfStockSchema = z.strictObject({
  id: idSchema,
  name: nameSchema,
  volumeUl: z.int().nonnegative().max(maxVolumeUl),
  dyes: massesSchema,
  madeOn: dateSchema.exactOptional(),
  /** True while it is only planned: its powder is still to weigh. */
  toMake: z.boolean(),
  retired: z.boolean(),
});

const toolSchema = z.discriminatedUnion("kind", [
  z.strictObject({
    kind: z.enum(["syringe", "cylinder"]),
    capacityUl: size,
    divisionUl: size,
  }),
  z.strictObject({ kind: z.literal("scale"), capacityUg: size, divisionUg: size }),
  z.strictObject({ kind: z.literal("dropper"), dropUl: dropUl.exactOptional() }),
  z.strictObject({ kind: z.literal("liquidSpoon"), spoonUl: size }),
  z.strictObject({ kind: z.literal("powderSpoon"), massUgOf: z.record(idSchema, size) }),
]);

/** A measuring tool that the dyer owns. */
export const shelfToolSchema = z.strictObject({
  id: idSchema,
  name: nameSchema,
  tool: toolSchema,
  retired: z.boolean(),
});

/** A dye seen on a yarn of the shelf at one depth, dry and rinsed. */
export const shelfSwatchSchema = z.strictObject({
  id: idSchema,
  dye: idSchema,
  base: idSchema,
  depthPct: pctSchema,
  seen: seenSchema,
  madeOn: dateSchema.exactOptional(),
  note: wordSchema.exactOptional(),
  retired: z.boolean(),
});

export const shelfSchema = z.strictObject({
  dyes: z.array(shelfDyeSchema).max(1_000),
  bases: z.array(shelfBaseSchema).max(1_000),
  stocks: z.array(shelfStockSchema).max(1_000),
  tools: z.array(shelfToolSchema).max(1_000),
  swatches: z.array(shelfSwatchSchema).max(10_000),
});

export type ShelfDye = Frozen<z.infer<typeof shelfDyeSchema>>;
export type ShelfBase = Frozen<z.infer<typeof shelfBaseSchema>>;
export type ShelfStock = Frozen<z.infer<typeof shelfStockSchema>>;
export type ShelfTool = Frozen<z.infer<typeof shelfToolSchema>>;
export type ShelfSwatch = Frozen<z.infer<typeof shelfSwatchSchema>>;
export type Shelf = Frozen<z.infer<typeof shelfSchema>>;
/** The parts of a shelf, by name. */
export type ShelfPart = keyof Shelf;
export type ShelfItem<Part extends ShelfPart> = Shelf[Part][number];

export const emptyShelf: Shelf = { dyes: [], bases: [], stocks: [], tools: [], swatches: [] };

export const SHELF_PARTS = ["dyes", "bases", "stocks", "tools", "swatches"] as const;

/** Something that is wrong: where it stands, as a reader counts, and a sentence. */
export type Problem = { at: string; code: string; say: string };

/** What zod alone cannot see: names that stand twice, fibres that do not add up, dyes unknown. */
export function shelfProblems(shelf: Shelf): Problem[] {
  const problems: Problem[] = [];
  for (const part of SHELF_PARTS) {
    const seen = new Set<Id>();
    shelf[part].forEach(({ id }, at) => {
      if (seen.has(id)) {
        const say = `"${id}" stands twice. Give one another short name.`;
        problems.push({ at: `${part} ${at + 1}`, code: "shelf.twice", say });
      }
      seen.add(id);
    });
  }
  const dyes = new Set(shelf.dyes.map((dye) => dye.id));
  shelf.bases.forEach((base, at) => {
    const say = fibresProblem(base);
    if (say) problems.push({ at: `bases ${at + 1}, fibres`, code: "base.fibres", say });
  });
  shelf.stocks.forEach((stock, at) => {
    for (const problem of stockProblems(stock, dyes)) {
      problems.push({ at: `stocks ${at + 1}`, ...problem });
    }
  });
  const bases = new Set(shelf.bases.map((base) => base.id));
  shelf.swatches.forEach(({ dye, base }, at) => {
    const lost = (what: string, id: Id) =>
      problems.push({
        at: `swatches ${at + 1}`,
        code: "swatch.unknown",
        say: `This swatch is of a ${what} "${id}" that is not on the shelf.`,
      });
    if (!dyes.has(dye)) lost("dye", dye);
    if (!bases.has(base)) lost("yarn", base);
  });
  return problems;
}

/** Why the fibres of a base cannot be, or null. They add to 100, give or take 0.05 for thirds. */
export function fibresProblem(base: Pick<ShelfBase, "name" | "fibres">): string | null {
  const sum = base.fibres.reduce((all, { pct }) => all + pct, 0);
  const said = Math.round(sum * 100) / 100;
  return Math.abs(sum - 100) > 0.05
    ? `The fibres of ${base.name} add to ${said}\u202f%, not 100\u202f%.`
    : null;
}

/** What is wrong with a bottle, given the dyes on the shelf. */
export function stockProblems(
  stock: ShelfStock,
  dyes: ReadonlySet<Id>,
): { code: string; say: string }[] {
  const problems: { code: string; say: string }[] = [];
  let sumUg = 0;
  for (const [dye, ug] of Object.entries(stock.dyes)) {
    sumUg += ug;
    if (!dyes.has(dye)) {
      const say = `${stock.name} holds a dye "${dye}" that is not on the shelf.`;
      problems.push({ code: "stock.unknownDye", say });
    }
  }
  // 100 % w/v is 1 g in a mL, 1,000 ug in a uL.
  if (sumUg > stock.volumeUl * 1_000) {
    const say = `${stock.name} holds more than 1\u202fg of dye in a mL: check its volume and its dyes.`;
    problems.push({ code: "stock.tooStrong", say });
  }
  return problems;
}

/** Puts an item on the shelf, in place of the one of the same short name if there is one. */
export function shelved<Part extends ShelfPart>(
  shelf: Shelf,
  part: Part,
  item: ShelfItem<Part>,
): Shelf {
  const items: readonly ShelfItem<Part>[] = shelf[part];
  const there = items.some((one) => one.id === item.id);
  const next = there ? items.map((one) => (one.id === item.id ? item : one)) : [...items, item];
  return { ...shelf, [part]: next };
}

/**
 * Takes an item out of use, or back into it. Nothing leaves the shelf: a past session may have used
 * it.
 */
export function retired(shelf: Shelf, part: ShelfPart, id: Id, out = true): Shelf {
  const items: readonly { id: Id; retired: boolean }[] = shelf[part];
  return {
    ...shelf,
    [part]: items.map((item) => (item.id === id ? { ...item, retired: out } : item)),
  };
}
