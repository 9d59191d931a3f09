import * as z from "zod";
import { idSchema } from "../../shared/session/command.ts";
import { browserStore } from "../token.ts";
import type { Kept } from "./shelf.ts";

const key = "pourside.recipes";

const keptSchema = z.array(
  z.object({
    id: idSchema,
    name: z.string().max(200),
    depths: z.record(idSchema, z.number().min(0).max(100)),
  }),
);

/** The recipes that this tablet keeps; none where they cannot be read. */
export function readKept(): readonly Kept[] {
  try {
    const read = keptSchema.safeParse(JSON.parse(browserStore()?.getItem(key) ?? "[]"));
    return read.success ? read.data : [];
  } catch {
    return [];
  }
}

/** Keeps recipes on this tablet; with a full store, or none, they hold as long as the page. */
export function writeKept(kept: readonly Kept[]): void {
  try {
    browserStore()?.setItem(key, JSON.stringify(kept));
  } catch {
    // They are still on the page.
  }
}
