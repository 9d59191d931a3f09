import * as z from "zod";
import { seenSchema } from "../colour/seenSchema.ts";
import { sayIssue } from "./sayIssue.ts";

/** Largest amounts that anything on a bench can have: 100 L of liquor, 100 kg of fibre or salt. */
export const maxVolumeUl = 100_000_000;
export const maxMassUg = 100_000_000_000;
const maxSeconds = 48 * 3600;

const notANumber = "This amount is not a number. Write it as digits, such as 12 or 0.5.";

function positive(what: string, max: number) {
  return z
    .int({ error: notANumber })
    .positive({ error: `${what} has to be more than nothing. Give an amount above 0.` })
    .max(max, { error: `${what} is larger than any pan. Check the unit and the decimal point.` });
}

const volumeUl = positive("A volume", maxVolumeUl);
const massUg = positive("A mass", maxMassUg);
const seconds = positive("A time", maxSeconds);
const plusMinus = z.int({ error: notANumber }).nonnegative({
  error: "An uncertainty cannot be negative. Give 0 or more.",
});

export const idSchema = z
  .string()
  .regex(/^[\p{L}\p{N}_-][\p{L}\p{N} ._-]{0,79}$/u, {
    error: "A short name takes up to 80 letters, digits, spaces, dots and dashes.",
  })
  // Short names become keys of plain objects, where words such as "constructor" already mean something.
  .refine((id) => !(id in {}), { error: "This short name is taken. Use another one." });
export const nameSchema = z
  .string()
  .trim()
  .min(1, { error: "A name is missing. Give it at least one letter." })
  .max(80, { error: "A name is longer than 80 characters. Shorten it." });
const textSchema = z
  .string()
  .trim()
  .min(1, { error: "The note is empty. Write something first." })
  .max(2000, { error: "The note is longer than 2,000 characters. Split it in two." });

export const volumeAmountSchema = z.object({
  how: z.enum(["measured", "estimated", "unsettled"]),
  volumeUl,
  plusMinusUl: plusMinus,
  drops: z.int().positive().max(10_000).exactOptional(),
});
export const powderAmountSchema = z.object({
  how: z.enum(["measured", "estimated"]),
  massUg,
  plusMinusUg: plusMinus,
});
const additionAmountSchema = z.union([z.object({ volumeUl }), z.object({ massUg })]);

const stepAmountSchema = z.discriminatedUnion("of", [
  z.object({ of: z.literal("volume"), amount: volumeAmountSchema }),
  z.object({ of: z.literal("powder"), amount: powderAmountSchema }),
  z.object({ of: z.literal("addition"), amount: additionAmountSchema }),
]);

const sourceSchema = z.discriminatedUnion("from", [
  z.object({ from: z.literal("vessel"), vessel: idSchema, amount: volumeAmountSchema }),
  z.object({ from: z.literal("powder"), dye: idSchema, amount: powderAmountSchema }),
]);

/** The least share of a skein that a pour can touch: a drop on a large skein. */
export const leastCoverage = 0.001;
const techniqueSchema = z.enum(["immersion", "lowWater", "painted", "dripped", "speckled"]);
const coverageSchema = z
  .number({ error: notANumber })
  .min(leastCoverage, {
    error: "A pour touches some of a skein. Give a coverage of 0.1 % or more.",
  })
  .max(1, { error: "A pour cannot touch more than the whole skein. Give a coverage up to 100 %." });

const pourSchema = z.object({
  source: sourceSchema,
  pan: idSchema,
  /** Skeins poured on; absent means all that lie in the pan, by weight. */
  skeins: z.array(idSchema).min(1).max(200).readonly().exactOptional(),
  technique: techniqueSchema,
  coverage: coverageSchema,
  placement: z.string().trim().max(200).exactOptional(),
});

const heatingSchema = z.enum(["stove", "oven", "steam", "rest"]);
const additionSchema = z.enum(["water", "acid", "salt"]);

const panSchema = z.object({
  id: idSchema,
  name: nameSchema,
  capacityUl: volumeUl,
  waterUl: z.int({ error: notANumber }).nonnegative().max(maxVolumeUl),
  method: z.enum(["immersion", "lowWater", "painted", "dipped"]),
});
const skeinSchema = z.object({
  id: idSchema,
  name: nameSchema,
  base: idSchema,
  massUg: positive("The dry fibre of a skein", maxMassUg),
  colourway: idSchema.exactOptional(),
  pan: idSchema.exactOptional(),
});

/** The longest that viewers' phones may be held back behind the bench, s. */
export const mostHoldBackSeconds = 180;

/** Letters of an address in the largest QR code that the broadcast page has room for: version 3 at
 * the least error correction (ISO/IEC 18004, table 7). */
export const mostAddressLetters = 53;
/** An address that viewers are shown; its letters are bytes, as browsers send it. */
export const addressSchema = z
  .string()
  .regex(/^https?:\/\/[\x21-\x7e]+$/, {
    error: "An address begins with http:// or https:// and has no blank. Write it so.",
  })
  .max(mostAddressLetters, {
    error: `This address is longer than the ${mostAddressLetters} letters that a code on screen can hold. Use a shorter one.`,
  });

const partsSchema = z.object({
  depth: z.boolean(),
  rule: z.boolean(),
  timers: z.boolean(),
  count: z.boolean(),
});

const additionFields = {
  pan: idSchema,
  what: additionSchema,
  label: nameSchema,
  amount: additionAmountSchema,
};

const pourCommand = z.object({ type: z.literal("pour"), pour: pourSchema });
const addCommand = z.object({ type: z.literal("add"), ...additionFields });
const mixCommand = z.object({
  type: z.literal("mix"),
  into: idSchema,
  made: z.object({ name: nameSchema, as: z.enum(["stock", "jug"]) }).exactOptional(),
  parts: z
    .array(z.object({ vessel: idSchema, volumeUl }))
    .max(20)
    .readonly(),
  powder: z
    .array(z.object({ dye: idSchema, massUg }))
    .max(20)
    .readonly(),
  waterUl: z.int({ error: notANumber }).nonnegative().max(maxVolumeUl),
});
const discardCommand = z.object({
  type: z.literal("discard"),
  vessel: idSchema,
  volumeUl,
  how: z.enum(["tipped", "spilled"]),
});
const readCommand = z.object({
  type: z.literal("read"),
  vessel: idSchema,
  reading: z.discriminatedUnion("by", [
    z.object({
      by: z.literal("level"),
      leftUl: z.int({ error: notANumber }).nonnegative().max(maxVolumeUl),
      plusMinusUl: plusMinus,
    }),
    z.object({
      by: z.literal("weight"),
      beforeUg: massUg,
      afterUg: z.int({ error: notANumber }).nonnegative().max(maxMassUg),
      plusMinusUg: plusMinus,
    }),
  ]),
});
const undoCommand = z.object({ type: z.literal("undo"), expect: z.int().positive() });
const correctCommand = z.object({
  type: z.literal("correct"),
  act: z.int().positive(),
  to: z.union([
    z.null(),
    z.object({ kind: z.literal("pour"), pour: pourSchema }),
    z.object({ kind: z.literal("add"), ...additionFields }),
  ]),
  reason: z.string().trim().max(300),
});
const skeinNewCommand = z.object({ type: z.literal("skeinNew"), skein: skeinSchema });
const skeinMoveCommand = z.object({
  type: z.literal("skeinMove"),
  skein: idSchema,
  to: idSchema.nullable(),
});
const panNewCommand = z.object({ type: z.literal("panNew"), pan: panSchema });
const temperatureCommand = z.object({
  type: z.literal("temperature"),
  pan: idSchema,
  celsius: z
    .number({ error: notANumber })
    .min(-10, { error: "A dye bath is not that cold. Give the temperature in °C." })
    .max(130, { error: "A dye bath is not that hot. Give the temperature in °C." }),
});
const lookCommand = z.object({
  type: z.literal("look"),
  pan: idSchema,
  look: z.enum(["clear", "tinted", "strong"]),
});
const bathCommand = z.object({
  type: z.literal("bath"),
  pan: idSchema,
  fate: z.enum(["kept", "tipped"]),
});
const noteCommand = z.object({
  type: z.literal("note"),
  text: textSchema,
  seen: z.enum(["public", "private"]),
});

const bleedSchema = z.enum(["clear", "some", "much"]);
const remarkSchema = z
  .string()
  .trim()
  .max(500, { error: "This is longer than 500 characters. Shorten it." });

/** A photograph by the SHA-256 digest of its file. */
export const photographSchema = z.string().regex(/^[0-9a-f]{64}$/, {
  error: "There is no such photograph.",
});

/** What is done by hand at the bench, on air or off. */
const handCommands = [
  pourCommand,
  addCommand,
  mixCommand,
  discardCommand,
  readCommand,
  undoCommand,
  correctCommand,
  skeinNewCommand,
  skeinMoveCommand,
  panNewCommand,
  temperatureCommand,
  lookCommand,
  bathCommand,
] as const;

/**
 * What may still be written once a session is closed: corrections, what was dyed the next day, and how
 * it all came out.
 */
export const afterSchema = z.discriminatedUnion(
  "type",
  [
    ...handCommands,
    noteCommand,
    z.object({
      type: z.literal("rinse"),
      skeins: z.array(idSchema).min(1).max(200).readonly(),
      water: bleedSchema,
      cloth: bleedSchema.exactOptional(),
      words: remarkSchema,
    }),
    z.object({
      type: z.literal("result"),
      skein: idSchema,
      seen: seenSchema.exactOptional(),
      photograph: photographSchema.exactOptional(),
      words: remarkSchema,
    }),
    /** All that is left in some bottles and jugs, on one more skein in a pan of its own. */
    z.object({
      type: z.literal("empty"),
      vessels: z.array(idSchema).min(1).max(100).readonly(),
      skein: skeinSchema.extend({ pan: idSchema }),
    }),
  ],
  { error: "This cannot be written once a session is closed. Reopen it first." },
);

export type AfterCommand = z.infer<typeof afterSchema>;

/**
 * What a controller may ask for. `expect` names the step or act that the dyer had before her when
 * she tapped: when another one is there by now, the command is stale and changes nothing.
 */
export const commandSchema = z.discriminatedUnion(
  "type",
  [
    z.object({ type: z.literal("goLive") }),
    z.object({ type: z.literal("close") }),
    z.object({ type: z.literal("reopen") }),
    z.object({ type: z.literal("choose"), step: idSchema }),
    z.object({ type: z.literal("adjust"), expect: idSchema, amount: stepAmountSchema }),
    z.object({ type: z.literal("advance"), expect: idSchema }),
    z.object({ type: z.literal("skip"), expect: idSchema }),
    ...handCommands,
    z.object({
      type: z.literal("timerStart"),
      timer: idSchema,
      how: heatingSchema,
      pan: idSchema,
      seconds,
      waitingFor: z.string().trim().max(120),
    }),
    z.object({ type: z.literal("timerExtend"), timer: idSchema, seconds }),
    z.object({ type: z.literal("timerStop"), timer: idSchema }),
    noteCommand,
    z.object({ type: z.literal("after"), command: afterSchema }),
    z.object({
      type: z.literal("show"),
      view: z.enum(["auto", "waiting", "tally", "recap", "hidden"]),
      parts: partsSchema,
    }),
    z.object({ type: z.literal("showCode"), address: addressSchema.nullable() }),
    z.object({
      type: z.literal("holdBack"),
      seconds: z
        .int({ error: notANumber })
        .nonnegative({ error: "A hold-back is 0 s or more." })
        .max(mostHoldBackSeconds, {
          error: `A hold-back is ${mostHoldBackSeconds} s at the most. Give the delay of the stream.`,
        }),
    }),
  ],
  { error: "Pourside does not know this command. Reload the page and try again." },
);

export type Command = z.infer<typeof commandSchema>;
export type PourWish = z.infer<typeof pourSchema>;

/** A command on its way: its own id, the session it is for and the moment of the tap. */
export const envelopeSchema = z.object({
  /** Made by the client, never used twice; a repeated one gets its first answer. */
  id: z.string().min(8).max(64),
  session: idSchema,
  /** Moment of the tap in ms since 1970, corrected to the server's clock. */
  at: z.int().positive(),
  command: commandSchema,
});

export type Envelope = z.infer<typeof envelopeSchema>;

/** The sentence of the first thing that is wrong with what was sent. */
export function complaint(error: z.ZodError): string {
  return sayIssue(error.issues[0]);
}
