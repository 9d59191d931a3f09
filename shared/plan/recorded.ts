import * as z from "zod";
import { HAZARDS } from "../cautions/hazards.ts";
import {
  addressSchema,
  idSchema,
  maxMassUg,
  maxVolumeUl,
  mostHoldBackSeconds,
  nameSchema,
  photographSchema,
  powderAmountSchema,
  volumeAmountSchema,
} from "../session/command.ts";
import type { RecordedEvent } from "../session/event.ts";
import type { Setup } from "../session/setup.ts";
import { hexSchema, pctSchema, seenSchema } from "../shelf/shelf.ts";

/*
 * The record of a session as it stands in a file. Each schema is held against the type that the
 * session itself uses, so that one cannot change without the other.
 */

const volumeUl = z.int().nonnegative().max(maxVolumeUl);
const massUg = z.int().nonnegative().max(maxMassUg);
const seconds = z
  .int()
  .nonnegative()
  .max(14 * 24 * 3_600);
const count = z.int().nonnegative();
const text = z.string().max(2_000);
const masses = z.record(idSchema, massUg);
const bleedSchema = z.enum(["clear", "some", "much"]);
const heatingSchema = z.enum(["stove", "oven", "steam", "rest"]);
const additionSchema = z.enum(["water", "acid", "salt"]);
const additionAmountSchema = z.union([z.strictObject({ volumeUl }), z.strictObject({ massUg })]);

const panSchema = z.strictObject({
  id: idSchema,
  name: nameSchema,
  capacityUl: volumeUl,
  waterUl: volumeUl,
  method: z.enum(["immersion", "lowWater", "painted", "dipped"]),
});
const skeinSchema = z.strictObject({
  id: idSchema,
  name: nameSchema,
  base: idSchema,
  massUg,
  colourway: idSchema.exactOptional(),
  pan: idSchema.exactOptional(),
});
const pourSchema = z.strictObject({
  source: z.discriminatedUnion("from", [
    z.strictObject({ from: z.literal("vessel"), vessel: idSchema, amount: volumeAmountSchema }),
    z.strictObject({ from: z.literal("powder"), dye: idSchema, amount: powderAmountSchema }),
  ]),
  pan: idSchema,
  shares: z.array(z.strictObject({ skein: idSchema, parts: count })).max(200),
  technique: z.enum(["immersion", "lowWater", "painted", "dripped", "speckled"]),
  coverage: z.number().positive().max(1),
  placement: text.exactOptional(),
});
const additionFields = {
  pan: idSchema,
  what: additionSchema,
  label: nameSchema,
  amount: additionAmountSchema,
};

const swatchSchema = z.strictObject({
  depthPct: pctSchema,
  seen: seenSchema,
  yarn: seenSchema,
  yarnId: idSchema.exactOptional(),
});

const setupSchema = z.strictObject({
  name: nameSchema,
  dyes: z.record(
    idSchema,
    z.strictObject({
      id: idSchema,
      name: nameSchema,
      hex: hexSchema,
      swatchDepthPct: pctSchema,
      swatchBaseHex: hexSchema,
      swatches: z.array(swatchSchema).max(200).exactOptional(),
      hazards: z.array(z.enum(HAZARDS)),
    }),
  ),
  bases: z.record(
    idSchema,
    z.strictObject({
      id: idSchema,
      name: nameSchema,
      fibres: z.array(z.strictObject({ fibre: nameSchema, pct: pctSchema })),
      superwash: z.boolean(),
      hex: hexSchema,
      seen: seenSchema.exactOptional(),
      flecks: z.array(
        z.strictObject({
          name: nameSchema,
          hex: hexSchema,
          takesDye: z.boolean().exactOptional(),
        }),
      ),
    }),
  ),
  stocks: z.record(
    idSchema,
    z.strictObject({
      id: idSchema,
      name: nameSchema,
      volumeUl,
      dyes: masses,
      madeOn: z.iso.date().exactOptional(),
    }),
  ),
  colourways: z.record(idSchema, z.strictObject({ id: idSchema, name: nameSchema })),
  pans: z.record(idSchema, panSchema),
  skeins: z.record(idSchema, skeinSchema),
  steps: z
    .array(
      z.discriminatedUnion("kind", [
        z.strictObject({
          id: idSchema,
          kind: z.literal("pour"),
          pour: pourSchema,
          whole: z.boolean().exactOptional(),
        }),
        z.strictObject({ id: idSchema, kind: z.literal("add"), ...additionFields }),
        z.strictObject({
          id: idSchema,
          kind: z.literal("heat"),
          how: heatingSchema,
          pan: idSchema,
          seconds,
          celsius: z.number().exactOptional(),
          waitingFor: text,
          wait: z.boolean(),
        }),
      ]),
    )
    .max(4_000),
  presetsUl: z.array(volumeUl).max(12),
}) satisfies z.ZodType<Setup>;

const stepped = { step: idSchema.exactOptional() };
const pourAct = z.strictObject({ kind: z.literal("pour"), ...stepped, pour: pourSchema });
const addAct = z.strictObject({ kind: z.literal("add"), ...stepped, ...additionFields });

const actSchema = z.discriminatedUnion("kind", [
  pourAct,
  addAct,
  z.strictObject({ kind: z.literal("skip"), step: idSchema }),
  z.strictObject({
    kind: z.literal("mix"),
    into: idSchema,
    made: z.strictObject({ name: nameSchema, as: z.enum(["stock", "jug"]) }).exactOptional(),
    parts: z.array(z.strictObject({ vessel: idSchema, volumeUl })),
    powder: z.array(z.strictObject({ dye: idSchema, massUg })),
    waterUl: volumeUl,
  }),
  z.strictObject({
    kind: z.literal("discard"),
    vessel: idSchema,
    volumeUl,
    how: z.enum(["tipped", "spilled"]),
    leftPlusMinusUl: volumeUl.exactOptional(),
  }),
  z.strictObject({
    kind: z.literal("settle"),
    vessel: idSchema,
    by: z.enum(["level", "weight"]),
    amounts: z.array(z.strictObject({ act: count, volumeUl, plusMinusUl: volumeUl })),
    leftPlusMinusUl: volumeUl.exactOptional(),
  }),
  z.strictObject({
    kind: z.literal("correct"),
    act: count,
    to: z.union([z.null(), pourAct, addAct]),
    reason: text,
  }),
  z.strictObject({ kind: z.literal("skeinNew"), skein: skeinSchema }),
  z.strictObject({
    kind: z.literal("skeinMove"),
    skein: idSchema,
    from: idSchema.exactOptional(),
    to: idSchema.nullable(),
  }),
  z.strictObject({ kind: z.literal("panNew"), pan: panSchema }),
  z.strictObject({ kind: z.literal("temperature"), pan: idSchema, celsius: z.number() }),
  z.strictObject({
    kind: z.literal("look"),
    pan: idSchema,
    look: z.enum(["clear", "tinted", "strong"]),
  }),
  z.strictObject({ kind: z.literal("bath"), pan: idSchema, fate: z.enum(["kept", "tipped"]) }),
  z.strictObject({
    kind: z.literal("timerStart"),
    timer: idSchema,
    ...stepped,
    how: heatingSchema,
    pan: idSchema,
    seconds,
    waitingFor: text,
    wait: z.boolean(),
  }),
  z.strictObject({ kind: z.literal("timerExtend"), timer: idSchema, seconds }),
  z.strictObject({ kind: z.literal("timerStop"), timer: idSchema, ...stepped }),
  z.strictObject({
    kind: z.literal("note"),
    text,
    seen: z.enum(["public", "private"]),
  }),
  z.strictObject({
    kind: z.literal("rinse"),
    skeins: z.array(idSchema).max(200),
    water: bleedSchema,
    cloth: bleedSchema.exactOptional(),
    words: text,
  }),
  z.strictObject({
    kind: z.literal("result"),
    skein: idSchema,
    seen: seenSchema.exactOptional(),
    photograph: photographSchema.exactOptional(),
    words: text,
  }),
]);

const stepAmountSchema = z.discriminatedUnion("of", [
  z.strictObject({ of: z.literal("volume"), amount: volumeAmountSchema }),
  z.strictObject({ of: z.literal("powder"), amount: powderAmountSchema }),
  z.strictObject({ of: z.literal("addition"), amount: additionAmountSchema }),
]);

const eventSchema = z.discriminatedUnion("type", [
  z.strictObject({
    type: z.literal("opened"),
    setup: setupSchema,
    plan: idSchema.exactOptional(),
    zone: z
      .string()
      .regex(/^[A-Za-z][A-Za-z0-9_+/-]{0,63}$/)
      .exactOptional(),
  }),
  z.strictObject({ type: z.literal("replanned"), setup: setupSchema }),
  z.strictObject({ type: z.literal("wentLive") }),
  z.strictObject({ type: z.literal("closed") }),
  z.strictObject({ type: z.literal("reopened") }),
  z.strictObject({ type: z.literal("chosen"), step: idSchema }),
  z.strictObject({ type: z.literal("adjusted"), step: idSchema, amount: stepAmountSchema }),
  z.strictObject({ type: z.literal("acted"), act: actSchema, advances: z.boolean() }),
  z.strictObject({ type: z.literal("undone"), act: count }),
  z.strictObject({
    type: z.literal("shown"),
    view: z.enum(["auto", "waiting", "tally", "recap", "hidden"]),
    parts: z.strictObject({
      depth: z.boolean(),
      rule: z.boolean(),
      timers: z.boolean(),
      count: z.boolean(),
    }),
  }),
  z.strictObject({ type: z.literal("codeShown"), address: addressSchema.nullable() }),
  z.strictObject({
    type: z.literal("heldBack"),
    seconds: z.int().nonnegative().max(mostHoldBackSeconds),
  }),
]);

export const recordedEventSchema = z.strictObject({
  seq: z.int().positive(),
  /** Moment of the tap, and of the writing, ms since 1970. */
  at: z.int(),
  serverAt: z.int(),
  event: eventSchema,
}) satisfies z.ZodType<RecordedEvent>;
