import * as z from "zod";

export const hexSchema = z
  .string()
  .regex(/^#[0-9a-f]{6}$/, { error: "A colour is written as #rrggbb, in small letters." });

const coordinate = z.number().min(-200).max(200);

/** How a colour came to be known, as it is kept; the same as `RecordedSeen`. */
export const seenSchema = z.discriminatedUnion("how", [
  z.strictObject({
    how: z.literal("spectrum"),
    /** Shares of 1 at 400, 410 … 700 nm. */
    reflectance: z.array(z.number().min(0).max(2)).length(31),
  }),
  z.strictObject({
    how: z.literal("measured"),
    lab: z.strictObject({ l: z.number().min(0).max(100), a: coordinate, b: coordinate }),
  }),
  z.strictObject({ how: z.literal("typed"), hex: hexSchema }),
  z.strictObject({
    how: z.literal("photographed"),
    hex: hexSchema,
    /** How far the patch strays, CIEDE2000. */
    spread: z.number().min(0).max(200).exactOptional(),
  }),
]);
