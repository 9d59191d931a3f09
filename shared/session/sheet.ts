import * as z from "zod";
import { HAZARDS } from "../cautions/hazards.ts";
import type { RecordedSeen } from "../colour/seen.ts";
import { volumeUlForDepth } from "../dye/depth.ts";
import { massUgFor, strengthPct } from "../dye/strength.ts";
import { ugFromG, ulFromMl } from "../dye/units.ts";
import { totalUg } from "../dye/vessel.ts";
import { idSchema, leastCoverage, maxMassUg, maxVolumeUl, nameSchema } from "./command.ts";
import { sayIssue } from "./sayIssue.ts";
import type {
  DyeSwatch,
  Id,
  Pan,
  Pour,
  Setup,
  Share,
  Skein,
  Source,
  Step,
  Stock,
} from "./setup.ts";

const number = (what: string) =>
  z.number({ error: `${what} is not a number. Write it as digits, such as 12 or 0.5.` });
const above0 = (what: string, max: number) =>
  number(what)
    .positive({ error: `${what} has to be more than 0.` })
    .max(max, { error: `${what} is larger than ${max}. Check the unit and the decimal point.` });

const hex = z.string().regex(/^#[0-9a-f]{6}$/i, { error: "A colour is written as #rrggbb." });
const pct = (what: string) =>
  number(what)
    .positive({ error: `${what} has to be more than 0 %.` })
    .max(100, { error: `${what} cannot be more than 100 %.` });

const doseSchema = z.union(
  [
    z.strictObject({
      mL: above0("A volume in mL", 100_000),
      plusMinusMl: z.number().min(0).optional(),
    }),
    z.strictObject({ drops: z.int().positive(), dropMl: above0("A drop in mL", 1) }),
    z.strictObject({ g: above0("A mass in g", 10_000), plusMinusG: z.number().min(0).optional() }),
    z.strictObject({ depthPct: pct("A depth of shade") }),
  ],
  {
    error:
      "An amount is { mL }, { drops, dropMl }, { g } or { depthPct }, each more than 0 and within reason.",
  },
);

const pourLine = z.strictObject({
  kind: z.literal("pour"),
  stock: idSchema.optional(),
  powder: idSchema.optional(),
  pan: idSchema,
  /** Skeins by short name, or short names with their parts; absent means all in the pan by weight. */
  skeins: z
    .union([z.array(idSchema).min(1), z.record(idSchema, z.int().positive().max(10_000))])
    .optional(),
  amount: doseSchema,
  by: z.enum(["measured", "estimated", "unsettled"]).default("measured"),
  technique: z
    .enum(["immersion", "lowWater", "painted", "dripped", "speckled"])
    .default("immersion"),
  coveragePct: pct("Coverage")
    .min(leastCoverage * 100, { error: "A pour touches at least 0.1 % of a skein." })
    .default(100),
  placement: z.string().trim().max(200).optional(),
});

const addLine = z.strictObject({
  kind: z.literal("add"),
  pan: idSchema,
  what: z.enum(["water", "acid", "salt"]),
  label: nameSchema,
  amount: z.union([
    z.strictObject({ mL: above0("A volume in mL", 100_000) }),
    z.strictObject({ g: above0("A mass in g", 10_000) }),
  ]),
});

const heatLine = z.strictObject({
  kind: z.enum(["stove", "oven", "steam", "rest"]),
  pan: idSchema,
  minutes: above0("A time in minutes", 48 * 60),
  celsius: z.number().min(0).max(130).optional(),
  waitingFor: z.string().trim().max(120).default(""),
  /** Whether the session waits for it or goes on with other pans. */
  wait: z.boolean().default(false),
});

/** A colour of a swatch: typed, measured in CIELAB, or a reflectance at 400, 410 … 700 nm. */
const swatchLine = z
  .strictObject({
    depthPct: pct("The depth of a swatch"),
    hex: hex.optional(),
    lab: z
      .tuple([
        z.number().min(0).max(100),
        z.number().min(-200).max(200),
        z.number().min(-200).max(200),
      ])
      .optional(),
    reflectance: z.array(z.number().min(0).max(2)).length(31).optional(),
    /** The base that it was made on, or the colour of another yarn. */
    base: idSchema.optional(),
    onHex: hex.optional(),
  })
  .refine(
    (line) =>
      [line.hex, line.lab, line.reflectance].filter((way) => way !== undefined).length === 1,
    { error: "A swatch has one colour: hex, lab or reflectance." },
  )
  .refine((line) => line.base === undefined || line.onHex === undefined, {
    error: "A swatch is on a base or on a yarn of some colour. Name either, not both.",
  });

/** A pour sheet as a file: amounts in the units of the bench (mL, g, %), names instead of numbers. */
export const sheetSchema = z.strictObject({
  pourSheet: z.literal(1, { error: "This is not a pour sheet of a kind that Pourside knows." }),
  name: nameSchema,
  dyes: z
    .array(
      z.strictObject({
        id: idSchema,
        name: nameSchema,
        swatch: z.strictObject({
          hex,
          depthPct: pct("The depth of a swatch"),
          onHex: hex.default("#f3ecdf"),
        }),
        /** More swatches; where there are any, they stand in for the first one. */
        swatches: z.array(swatchLine).max(200).optional(),
        hazards: z.array(z.enum(HAZARDS)).default([]),
      }),
    )
    .min(1, { error: "The sheet names no dye. Add at least one." })
    .max(200),
  bases: z
    .array(
      z.strictObject({
        id: idSchema,
        name: nameSchema,
        fibres: z
          .array(z.strictObject({ fibre: nameSchema, pct: pct("A fibre's part") }))
          .min(1, { error: "A base has no fibres. Name at least one." }),
        superwash: z.boolean(),
        hex: hex.default("#f3ecdf"),
        flecks: z
          .array(z.strictObject({ name: nameSchema, hex, takesDye: z.boolean().exactOptional() }))
          .max(20)
          .default([]),
      }),
    )
    .min(1, { error: "The sheet names no base. Add at least one yarn." })
    .max(100),
  stocks: z
    .array(
      z.strictObject({
        id: idSchema,
        name: nameSchema,
        mL: above0("The volume of a stock in mL", 100_000),
        /** Strength of each dye, % w/v (g in 100 mL). */
        dyes: z
          .array(z.strictObject({ dye: idSchema, strengthPct: pct("The strength of a stock") }))
          .min(1, { error: "A stock has no dye in it. Name at least one." }),
        madeOn: z.iso.date({ error: "A date is written as 2026-05-31." }).optional(),
      }),
    )
    .max(200),
  colourways: z
    .array(z.strictObject({ id: idSchema, name: nameSchema }))
    .max(200)
    .default([]),
  pans: z
    .array(
      z.strictObject({
        id: idSchema,
        name: nameSchema,
        capacityMl: above0("The capacity of a pan in mL", 100_000),
        waterMl: number("The water in a pan in mL").min(0, {
          error: "The water in a pan cannot be less than 0 mL.",
        }),
        method: z.enum(["immersion", "lowWater", "painted", "dipped"]).default("immersion"),
      }),
    )
    .min(1, { error: "The sheet names no pan. Add at least one." })
    .max(50),
  skeins: z
    .array(
      z.strictObject({
        id: idSchema,
        name: nameSchema,
        base: idSchema,
        g: above0("The dry fibre of a skein in g", 100_000),
        colourway: idSchema.optional(),
        pan: idSchema.optional(),
      }),
    )
    .min(1, { error: "The sheet names no skein. Add at least one." })
    .max(200),
  steps: z.array(z.discriminatedUnion("kind", [pourLine, addLine, heatLine])).max(2000),
  presetsMl: z.array(above0("A preset amount in mL", 100_000)).max(12).default([1, 5, 10, 25]),
});

export type Sheet = z.infer<typeof sheetSchema>;
export type SheetProblem = { at: string; say: string };
type OpenedSheet = { ok: true; setup: Setup } | { ok: false; problems: readonly SheetProblem[] };

/**
 * Reads a pour sheet into exact units, each amount rounded once. Every name that leads nowhere is
 * told with the place where it stands; nothing is guessed.
 */
export function openSheet(json: unknown): OpenedSheet {
  const parsed = sheetSchema.safeParse(json);
  if (!parsed.success) {
    const problems = parsed.error.issues.slice(0, 20).map((issue) => ({
      at: place(issue.path),
      say: sayIssue(issue),
    }));
    return { ok: false, problems };
  }
  const reading = new Reading();
  const setup = reading.setup(parsed.data);
  return reading.problems.length > 0
    ? { ok: false, problems: reading.problems }
    : { ok: true, setup };
}

/** "steps 3, amount": where something stands, counted from 1 as a reader counts. */
function place(path: readonly PropertyKey[]): string {
  return path
    .map((key) => (typeof key === "number" ? ` ${key + 1}` : `, ${String(key)}`))
    .join("")
    .replace(/^, /, "");
}

/** One reading of one sheet, which gathers what is wrong with it. */
class Reading {
  readonly problems: SheetProblem[] = [];

  setup(sheet: Sheet): Setup {
    const bases = this.keyed("bases", sheet.bases);
    const dyes = this.keyed("dyes", sheet.dyes);
    const colourways = this.keyed("colourways", sheet.colourways);
    const stocks = this.keyed(
      "stocks",
      sheet.stocks.map((stock, i) => this.stock(stock, `stocks ${i + 1}`, dyes)),
    );
    const pans = this.keyed("pans", sheet.pans.map(pan));
    const skeins = this.keyed(
      "skeins",
      sheet.skeins.map((skein, i) => this.skein(skein, `skeins ${i + 1}`, bases, pans, colourways)),
    );
    sheet.bases.forEach((base, i) => {
      const sum = base.fibres.reduce((sum, fibre) => sum + fibre.pct, 0);
      if (Math.abs(sum - 100) > 0.05) {
        const at = `bases ${i + 1}, fibres`;
        this.problem(at, `The fibres of ${base.name} add to ${sum} %, not 100 %.`);
      }
    });
    sheet.pans.forEach((pan, i) => {
      if (pan.waterMl > pan.capacityMl) {
        const say = `Pan ${pan.name} holds ${pan.capacityMl} mL, not ${pan.waterMl} mL of water.`;
        this.problem(`pans ${i + 1}, waterMl`, say);
      }
    });
    const setup: Setup = {
      name: sheet.name,
      dyes: mapRecord(dyes, ({ swatch, swatches, ...dye }) => ({
        ...dye,
        ...(swatches === undefined
          ? {}
          : { swatches: swatches.map((line) => this.swatch(line, dye.id, bases)) }),
        hex: swatch.hex.toLowerCase(),
        swatchDepthPct: swatch.depthPct,
        swatchBaseHex: swatch.onHex.toLowerCase(),
      })),
      bases,
      stocks,
      colourways,
      pans,
      skeins,
      steps: sheet.steps.flatMap((line, i) => {
        const at = `steps ${i + 1}`;
        const step = this.step(line, `s${i + 1}`, at, { dyes, stocks, pans, skeins });
        return step ? [step] : [];
      }),
      presetsUl: sheet.presetsMl.map(ulFromMl),
    };
    this.nothingIsNothing(setup);
    return setup;
  }

  /** Amounts that were written above 0 and yet are nothing in the units of the record. */
  private nothingIsNothing(setup: Setup): void {
    const some = (amount: number, at: string, what: string, least: string) => {
      if (amount < 1) this.problem(at, `${what} is next to nothing. Give at least ${least}.`);
    };
    Object.values(setup.stocks).forEach((stock, i) => {
      const at = `stocks ${i + 1}`;
      some(stock.volumeUl, at, "The volume of this stock", "0.001 mL");
      for (const ug of Object.values(stock.dyes)) some(ug, at, "The dye in this stock", "0.001 mg");
    });
    Object.values(setup.skeins).forEach((skein, i) => {
      some(skein.massUg, `skeins ${i + 1}`, "The dry fibre of this skein", "0.001 mg");
    });
    Object.values(setup.pans).forEach((pan, i) => {
      some(pan.capacityUl, `pans ${i + 1}`, "The capacity of this pan", "0.001 mL");
    });
    setup.steps.forEach((step, i) => {
      const at = `steps ${i + 1}`;
      if (step.kind === "heat") {
        some(step.seconds, at, "This time", "one second");
        return;
      }
      const amount = step.kind === "pour" ? step.pour.source.amount : step.amount;
      const [of, least, most] =
        "volumeUl" in amount
          ? [amount.volumeUl, "0.001 mL", maxVolumeUl]
          : [amount.massUg, "0.001 mg", maxMassUg];
      some(of, at, "This amount", least);
      if (of > most) {
        this.problem(at, "This amount is larger than any pan. Check the unit.");
      }
      if (step.kind === "pour" && doubtIn(step.pour.source) > of) {
        this.problem(at, "The uncertainty is larger than the amount. Give a smaller one.");
      }
    });
  }

  private problem(at: string, say: string): void {
    this.problems.push({ at, say });
  }

  private keyed<T extends { id: Id }>(kind: string, list: readonly T[]): Record<Id, T> {
    const record: Record<Id, T> = {};
    list.forEach((item, i) => {
      if (record[item.id]) {
        this.problem(`${kind} ${i + 1}`, `"${item.id}" stands twice. Give one another short name.`);
      }
      record[item.id] = item;
    });
    return record;
  }

  private known(record: Readonly<Record<Id, unknown>>, id: Id, at: string, what: string): boolean {
    if (record[id] !== undefined) return true;
    const names = Object.keys(record).join(", ");
    this.problem(at, `There is no ${what} "${id}" in this sheet. It has: ${names || "none"}.`);
    return false;
  }

  private swatch(
    line: z.infer<typeof swatchLine>,
    dye: Id,
    bases: Readonly<Record<Id, { hex: string }>>,
  ): DyeSwatch {
    const { depthPct, base, reflectance, lab } = line;
    const typed = (hex: string): RecordedSeen => ({ how: "typed", hex: hex.toLowerCase() });
    const [l, a, b]: readonly [number, number, number] = lab ?? [0, 0, 0];
    const seen: RecordedSeen = reflectance
      ? { how: "spectrum", reflectance }
      : lab
        ? { how: "measured", lab: { l, a, b } }
        : typed(line.hex ?? "");
    if (base === undefined) return { depthPct, seen, yarn: typed(line.onHex ?? "#f3ecdf") };
    this.known(bases, base, `dyes, ${dye}, swatches`, "base");
    return { depthPct, seen, yarn: typed(bases[base]?.hex ?? "#f3ecdf"), yarnId: base };
  }

  private stock(
    line: Sheet["stocks"][number],
    at: string,
    dyes: Readonly<Record<Id, unknown>>,
  ): Stock {
    const volumeUl = ulFromMl(line.mL);
    const masses: Record<Id, number> = {};
    let sum = 0;
    for (const { dye, strengthPct } of line.dyes) {
      this.known(dyes, dye, at, "dye");
      masses[dye] = (masses[dye] ?? 0) + massUgFor(strengthPct, volumeUl);
      sum += strengthPct;
    }
    if (sum > 100) {
      this.problem(at, `The strengths of ${line.name} add to ${sum} %, more than 100 %.`);
    }
    const made = line.madeOn === undefined ? {} : { madeOn: line.madeOn };
    return { id: line.id, name: line.name, volumeUl, dyes: masses, ...made };
  }

  private skein(
    line: Sheet["skeins"][number],
    at: string,
    bases: Readonly<Record<Id, unknown>>,
    pans: Readonly<Record<Id, unknown>>,
    colourways: Readonly<Record<Id, unknown>>,
  ): Skein {
    const { id, name, base, g, colourway, pan } = line;
    this.known(bases, base, at, "base");
    if (pan !== undefined) this.known(pans, pan, at, "pan");
    if (colourway !== undefined) this.known(colourways, colourway, at, "colourway");
    return {
      id,
      name,
      base,
      massUg: ugFromG(g),
      ...(colourway === undefined ? {} : { colourway }),
      ...(pan === undefined ? {} : { pan }),
    };
  }

  private step(line: Sheet["steps"][number], id: Id, at: string, shelf: Shelf): Step | null {
    if (!this.known(shelf.pans, line.pan, at, "pan")) return null;
    if (line.kind === "pour") {
      const pour = this.pour(line, at, shelf);
      const whole = line.skeins === undefined ? { whole: true } : {};
      return pour ? { id, kind: "pour", pour, ...whole } : null;
    }
    if (line.kind === "add") {
      const { pan, what, label } = line;
      const amount =
        "mL" in line.amount
          ? { volumeUl: ulFromMl(line.amount.mL) }
          : { massUg: ugFromG(line.amount.g) };
      return { id, kind: "add", pan, what, label, amount };
    }
    const { kind: how, pan, minutes, celsius, waitingFor, wait } = line;
    const seconds = Math.round(minutes * 60);
    const hot = celsius === undefined ? {} : { celsius };
    return { id, kind: "heat", how, pan, seconds, waitingFor, wait, ...hot };
  }

  private pour(line: PourLine, at: string, shelf: Shelf): Pour | null {
    const shares = this.shares(line, at, shelf.skeins);
    const fibreUg = shares.reduce(
      (sum, share) => sum + (shelf.skeins[share.skein]?.massUg ?? 0),
      0,
    );
    const source = this.source(line, at, shelf, fibreUg);
    if (!source) return null;
    const placed = line.placement === undefined ? {} : { placement: line.placement };
    const { pan, technique } = line;
    return { source, pan, shares, technique, coverage: line.coveragePct / 100, ...placed };
  }

  private shares(line: PourLine, at: string, skeins: Readonly<Record<Id, Skein>>): Share[] {
    if (line.skeins === undefined) {
      return Object.values(skeins)
        .filter((skein) => skein.pan === line.pan)
        .map((skein) => ({ skein: skein.id, parts: skein.massUg }));
    }
    const named: [Id, number | null][] = Array.isArray(line.skeins)
      ? line.skeins.map((id) => [id, null])
      : Object.entries(line.skeins);
    return named.flatMap(([id, parts], i) => {
      if (named.findIndex(([other]) => other === id) < i) {
        this.problem(at, `Skein "${id}" stands twice. Name it once, or give it more parts.`);
        return [];
      }
      const skein = skeins[id];
      if (!skein) {
        this.known(skeins, id, at, "skein");
        return [];
      }
      if (skein.pan !== line.pan) {
        this.problem(at, `Skein ${skein.name} does not lie in pan "${line.pan}".`);
        return [];
      }
      return [{ skein: id, parts: parts ?? skein.massUg }];
    });
  }

  private source(line: PourLine, at: string, shelf: Shelf, fibreUg: number): Source | null {
    const { stock: stockId, powder, amount } = line;
    if ((stockId === undefined) === (powder === undefined)) {
      this.problem(at, "A pour is from one stock or of one powder. Name either, not both.");
      return null;
    }
    if (powder !== undefined) {
      if (!this.known(shelf.dyes, powder, at, "dye")) return null;
      if (!("g" in amount)) {
        this.problem(at, "Dry powder is given by mass. Write its amount as { g }.");
        return null;
      }
      const how = line.by === "measured" ? "measured" : "estimated";
      const plusMinusUg = ugFromG(amount.plusMinusG ?? 0);
      const massUg = ugFromG(amount.g);
      return { from: "powder", dye: powder, amount: { how, massUg, plusMinusUg } };
    }
    const id = stockId ?? "";
    const stock = shelf.stocks[id];
    if (!stock) {
      this.known(shelf.stocks, id, at, "stock");
      return null;
    }
    return this.drawn(line, at, stock, fibreUg);
  }

  private drawn(line: PourLine, at: string, stock: Stock, fibreUg: number): Source | null {
    const { amount, by: how } = line;
    const from = { from: "vessel" as const, vessel: stock.id };
    if ("mL" in amount) {
      const plusMinusUl = ulFromMl(amount.plusMinusMl ?? 0);
      return { ...from, amount: { how, volumeUl: ulFromMl(amount.mL), plusMinusUl } };
    }
    if ("drops" in amount) {
      const { drops, dropMl } = amount;
      const volumeUl = ulFromMl(drops * dropMl);
      return { ...from, amount: { how, volumeUl, plusMinusUl: 0, drops } };
    }
    if ("g" in amount) {
      this.problem(at, "A stock is poured by volume. Write the amount as { mL } or { drops }.");
      return null;
    }
    if (fibreUg === 0) {
      this.problem(at, "A depth of shade needs skeins in the pan. Give the amount as { mL }.");
      return null;
    }
    const strength = strengthPct(totalUg(stock.dyes), stock.volumeUl);
    const volumeUl = volumeUlForDepth(amount.depthPct, fibreUg, strength);
    return { ...from, amount: { how, volumeUl, plusMinusUl: 0 } };
  }
}

/** Half-width of the uncertainty of an amount, µL or µg as its source is measured. */
function doubtIn(source: Source): number {
  return source.from === "vessel" ? source.amount.plusMinusUl : source.amount.plusMinusUg;
}

type PourLine = Extract<Sheet["steps"][number], { kind: "pour" }>;
type Shelf = {
  dyes: Readonly<Record<Id, unknown>>;
  stocks: Readonly<Record<Id, Stock>>;
  pans: Readonly<Record<Id, unknown>>;
  skeins: Readonly<Record<Id, Skein>>;
};

function pan({ id, name, capacityMl, waterMl, method }: Sheet["pans"][number]): Pan {
  return { id, name, capacityUl: ulFromMl(capacityMl), waterUl: ulFromMl(waterMl), method };
}

function mapRecord<In, Out>(
  record: Readonly<Record<Id, In>>,
  change: (value: In) => Out,
): Record<Id, Out> {
  const changed: Record<Id, Out> = {};
  for (const [key, value] of Object.entries(record)) changed[key] = change(value);
  return changed;
}
