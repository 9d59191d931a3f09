import * as z from "zod";
import type { Edit } from "../plan/edit.ts";
import {
  colourwaySchema,
  type Plan,
  planPanSchema,
  planSchema,
  planSkeinSchema,
  planStepSchema,
  workroomSchema,
} from "../plan/plan.ts";
import { idSchema, maxVolumeUl, nameSchema } from "../session/command.ts";
import type { Id } from "../session/setup.ts";
import {
  SHELF_PARTS,
  type Shelf,
  type ShelfItem,
  type ShelfPart,
  shelfBaseSchema,
  shelfDyeSchema,
  shelfSchema,
  shelfStockSchema,
  shelfSwatchSchema,
  shelfToolSchema,
} from "../shelf/shelf.ts";

/** An item of the shelf with the part that it stands in. */
export type Shelved = {
  [Part in ShelfPart]: { readonly part: Part; readonly item: ShelfItem<Part> };
}[ShelfPart];

/**
 * One change of what is prepared: the shelf, or a plan. Ids of new things come in with it. `because`
 * is what was done, in the dyer's words, such as "tipped out Saltmarsh 1 %".
 */
export type Change =
  | { readonly change: "plan"; readonly plan: Id; readonly edit: Edit }
  | { readonly change: "newPlan"; readonly plan: Id; readonly content: Plan }
  | { readonly change: "putAway"; readonly plan: Id; readonly away: boolean }
  | ({ readonly change: "shelve"; readonly because?: string } & Shelved)
  | { readonly change: "retire"; readonly part: ShelfPart; readonly id: Id; readonly out: boolean }
  | { readonly change: "remove"; readonly part: ShelfPart; readonly id: Id }
  | { readonly change: "shelf"; readonly shelf: Shelf; readonly because: string }
  | { readonly change: "several"; readonly changes: readonly Change[]; readonly because: string };

/** What a tablet asks for; `expect` is the change that it means to take back, or to make again. */
export type Prepare =
  | { readonly type: "change"; readonly change: Change }
  | { readonly type: "undo"; readonly expect: number }
  | { readonly type: "redo"; readonly expect: number };

const part = z.enum(["colourways", "skeins", "pans", "steps"]);
const place = z.int().nonnegative().max(10_000);
const words = z.string().trim().min(1).max(200);

const editSchema: z.ZodType<Edit> = z.union([
  z.object({ edit: z.literal("name"), name: nameSchema }),
  z.object({
    edit: z.literal("put"),
    at: place.exactOptional(),
    part: z.literal("colourways"),
    item: colourwaySchema,
  }),
  z.object({
    edit: z.literal("put"),
    at: place.exactOptional(),
    part: z.literal("skeins"),
    item: planSkeinSchema,
  }),
  z.object({
    edit: z.literal("put"),
    at: place.exactOptional(),
    part: z.literal("pans"),
    item: planPanSchema,
  }),
  z.object({
    edit: z.literal("put"),
    at: place.exactOptional(),
    part: z.literal("steps"),
    item: planStepSchema,
  }),
  z.object({ edit: z.literal("remove"), part, id: idSchema }),
  z.object({ edit: z.literal("move"), part, id: idSchema, to: place }),
  z.object({ edit: z.literal("duplicate"), part, id: idSchema, as: idSchema }),
  z.object({ edit: z.literal("workroom"), workroom: workroomSchema }),
  z.object({
    edit: z.literal("presets"),
    presetsUl: z.array(z.int().positive().max(maxVolumeUl)).max(12),
  }),
  z.object({ edit: z.literal("setOut"), stocks: z.array(idSchema).max(200) }),
  z.object({ edit: z.literal("replace"), plan: planSchema, because: words }),
]);

const shelfPart = z.enum(SHELF_PARTS);
const shelve = { change: z.literal("shelve"), because: words.exactOptional() };

const changeSchema: z.ZodType<Change> = z.lazy(() =>
  z.union([
    z.object({ change: z.literal("plan"), plan: idSchema, edit: editSchema }),
    z.object({ change: z.literal("newPlan"), plan: idSchema, content: planSchema }),
    z.object({ change: z.literal("putAway"), plan: idSchema, away: z.boolean() }),
    z.object({ ...shelve, part: z.literal("dyes"), item: shelfDyeSchema }),
    z.object({ ...shelve, part: z.literal("bases"), item: shelfBaseSchema }),
    z.object({ ...shelve, part: z.literal("stocks"), item: shelfStockSchema }),
    z.object({ ...shelve, part: z.literal("tools"), item: shelfToolSchema }),
    z.object({ ...shelve, part: z.literal("swatches"), item: shelfSwatchSchema }),
    z.object({
      change: z.literal("retire"),
      part: shelfPart,
      id: idSchema,
      out: z.boolean(),
    }),
    z.object({ change: z.literal("remove"), part: shelfPart, id: idSchema }),
    z.object({ change: z.literal("shelf"), shelf: shelfSchema, because: words }),
    z.object({
      change: z.literal("several"),
      changes: z.array(changeSchema).min(1).max(100),
      because: words,
    }),
  ]),
);

/** A request with the id under which it is answered once. */
export const prepareSchema = z.object({
  id: z.string().min(1).max(100),
  prepare: z.discriminatedUnion("type", [
    z.object({ type: z.literal("change"), change: changeSchema }),
    z.object({ type: z.literal("undo"), expect: z.int().nonnegative() }),
    z.object({ type: z.literal("redo"), expect: z.int().nonnegative() }),
  ]),
});

export type PrepareEnvelope = { readonly id: string; readonly prepare: Prepare };
