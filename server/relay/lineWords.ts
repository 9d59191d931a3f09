import * as z from "zod";
import { idSchema } from "../../shared/session/command.ts";
import type { Json } from "../../shared/session/mergePatch.ts";
import type { PublicView } from "../../shared/session/views/publicView.ts";

const seq = z.int().nonnegative();
const at = z.number();
const shape = z.looseObject({
  session: z.looseObject({
    name: z.string(),
    holdBackSeconds: z.number().min(0).max(180).optional(),
  }),
  timers: z.looseObject({}),
});
const view = z.custom<PublicView>(isView);

/** Whether there is in it what a relay itself reads; all else in a view is the page's business. */
export function isView(value: unknown): boolean {
  return shape.safeParse(value).success;
}

/** A view as the processes of one relay keep it; what another version kept does not fit. */
export const relayViewSchema = z.object({
  kind: z.literal("snapshot"),
  line: z.number(),
  turn: z.number(),
  session: idSchema,
  seq,
  at,
  view,
});

const patch = z.custom<Json>((value) => value !== undefined);

/** What a bench says to its relay. */
export const toRelaySchema = z.discriminatedUnion("kind", [
  z.object({ kind: z.literal("hello"), version: z.int(), bench: idSchema, now: z.number() }),
  z.object({ kind: z.literal("clock"), now: z.number() }),
  z.object({ kind: z.literal("snapshot"), session: idSchema, seq, at, view }),
  z.object({ kind: z.literal("patch"), session: idSchema, from: seq, seq, at, patch }),
]);

/** What a relay says to its bench. */
export const toBenchSchema = z.discriminatedUnion("kind", [
  z.object({
    kind: z.literal("welcome"),
    version: z.int(),
    has: z.object({ session: z.string().max(200), seq }).nullable(),
  }),
  z.object({ kind: z.literal("refused"), code: z.string().max(40), say: z.string().max(300) }),
  /** What the bench must know and nobody can settle without the dyer. */
  z.object({ kind: z.literal("notice"), say: z.string().max(300) }),
  z.object({ kind: z.literal("followers"), count: z.int().nonnegative() }),
  /** Something is missing: a whole view, please. */
  z.object({ kind: z.literal("again") }),
]);
export type ToBench = z.infer<typeof toBenchSchema>;
