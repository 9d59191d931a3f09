import { asNumber, type Fraction, fractionOf, plus, rounded, times } from "./fraction.ts";
import { type Refusal, refuse, refused } from "./refusal.ts";

/*
 * The one grammar of every number field, in EBNF (ISO/IEC 14977). Letters are read in either case;
 * ordinary, no-break and thin spaces are one space; a vulgar fraction such as U+00BD is read as
 * " 1/2". What the grammar does not derive is refused with a sentence, never repaired.
 *
 *   quantity  = term, { term } ;          (* more than one only for lb + oz and h + min + s, falling *)
 *   term      = number, [ space ], [ unit ] ;              (* the unit may be left out of a lone term *)
 *   number    = mixed | fraction | grouped | decimal ;
 *   mixed     = digits, space, fraction ;                                             (* 1 1/2 *)
 *   fraction  = digits, [ space ], "/", [ space ], digits ;                           (* 1/2 *)
 *   grouped   = digit, [ digit ], [ digit ], group, { group }, [ mark, { digit } ] ;
 *   group     = ( space | "," | "." ), digit, digit, digit ;    (* one sort of group, another mark *)
 *   decimal   = digits, [ mark, { digit } ] | mark, digits ;                          (* 0,5  .5  12. *)
 *   mark      = "." | "," ;
 *   digits    = digit, { digit } ;                                                    (* 20 at the most *)
 *   unit      = a name of `UNITS` for the field's kind, or "" for the field's own unit ;
 *   ratio     = number, ":", number ;     (* a field for liquor ratios only, one of the two being 1 *)
 *
 * One comma with exactly three digits after it and one to three before it, the first not 0, is both
 * a decimal and a group ("1,250" is 1.25 or 1250): it is asked about. "0,500", ",500" and "1234,567"
 * have one reading. A point with three digits after it ("1.250") is a decimal point. A sign, an
 * exponent ("1e3") and a range ("10-12") are refused.
 */

/**
 * What a number field holds. The value is whole uL, ug, s, W, m or pieces; % and degrees C as typed;
 * a ratio in mL per g; a number without a unit, such as a pH, as typed.
 */
export type Kind =
  | "volume"
  | "mass"
  | "percent"
  | "time"
  | "temperature"
  | "power"
  | "altitude"
  | "count"
  | "ratio"
  | "number";

/**
 * A number field. Its kind decides what "oz" is: in a volume the US fluid ounce, in a mass the
 * avoirdupois ounce.
 */
export type Field = {
  kind: Kind;
  /** The unit of a bare number and of what was understood; left out, it is the kind's first. */
  unit?: string;
  /** Whether 0 is an answer; false when left out. */
  zero?: boolean;
  /** The largest value that is taken, in the kind's own unit. */
  max?: number;
  /** A spoon is the labelled one of 5 or 15 mL (21 CFR 101.9), unless the field asks for US ones. */
  spoons?: "labelled" | "us";
};

export type Understood = { ok: true; value: number; understood: string };
/** More than one reading: the dyer is asked which. Readings that the field refuses are left out. */
export type Asked = { ask: string; readings: readonly Understood[] };
export type Reading = Understood | Asked | Refusal;

type UnitOf = { name: string; also: readonly string[]; factor: Fraction };

const of = (name: string, factor: string | number, ...also: string[]): UnitOf => ({
  name,
  also,
  factor: fractionOf(factor),
});

/*
 * NIST Special Publication 811 and Handbook 44, as in `units.ts`: 1 oz is 28.349523125 g, 1 lb is
 * 453.59237 g, 1 US fl oz is 29.5735295625 mL, 1 US cup is 236.5882365 mL. 1 ft is 0.3048 m.
 */
const UNITS: Readonly<Record<Kind, readonly UnitOf[]>> = {
  volume: [
    of("mL", 1_000, "ml", "cc", "millilitre", "millilitres", "milliliter", "milliliters"),
    of("L", 1_000_000, "l", "litre", "litres", "liter", "liters"),
    of("dL", 100_000, "dl", "decilitre", "decilitres", "deciliter", "deciliters"),
    of("cL", 10_000, "cl", "centilitre", "centilitres", "centiliter", "centiliters"),
    of("\u00b5L", 1, "ul", "microlitre", "microlitres", "microliter", "microliters"),
    of("fl oz", "29573.5295625", "floz", "oz", "ounce", "ounces", "fluid ounce", "fluid ounces"),
    of("tsp", 5_000, "teaspoon", "teaspoons"),
    of("tbsp", 15_000, "tablespoon", "tablespoons"),
    of("cup", "236588.2365", "cups"),
  ],
  mass: [
    of("g", 1_000_000, "gr", "gram", "grams", "gramme", "grammes"),
    of("mg", 1_000, "milligram", "milligrams"),
    of("kg", 1_000_000_000, "kilo", "kilos", "kilogram", "kilograms"),
    of("\u00b5g", 1, "ug", "microgram", "micrograms"),
    of("oz", "28349523.125", "ounce", "ounces"),
    of("lb", "453592370", "lbs", "pound", "pounds"),
  ],
  percent: [of("%", 1, "percent", "per cent", "pct")],
  time: [
    of("min", 60, "mins", "minute", "minutes"),
    of("h", 3_600, "hr", "hrs", "hour", "hours"),
    of("s", 1, "sec", "secs", "second", "seconds"),
  ],
  temperature: [of("\u00b0C", 1, "\u00b0", "c", "celsius"), of("\u00b0F", 1, "f", "fahrenheit")],
  power: [of("W", 1, "w", "watt", "watts"), of("kW", 1_000, "kw", "kilowatt", "kilowatts")],
  altitude: [
    of("m", 1, "metre", "metres", "meter", "meters"),
    of("km", 1_000, "kilometre", "kilometres", "kilometer", "kilometers"),
    of("ft", "0.3048", "foot", "feet"),
  ],
  count: [of("", 1)],
  ratio: [of(":1", 1)],
  number: [of("", 1)],
};

const US_SPOONS: Readonly<Record<string, Fraction>> = {
  tsp: fractionOf("4928.92159375"),
  tbsp: fractionOf("14786.76478125"),
};

const SAID: Readonly<Record<Kind, { what: string; example: string }>> = {
  volume: { what: "a volume", example: "12 mL or 1/2 cup" },
  mass: { what: "a weight", example: "50 g or 1.5 oz" },
  percent: { what: "a per cent", example: "0.5 %" },
  time: { what: "a time", example: "25 min or 1 h" },
  temperature: { what: "a temperature", example: "85 \u00b0C" },
  power: { what: "a power", example: "1500 W" },
  altitude: { what: "a height", example: "300 m" },
  count: { what: "a whole number", example: "12" },
  ratio: { what: "a liquor ratio", example: "20 or 20:1" },
  number: { what: "a number", example: "4.5" },
};

const longest = 60;
const mostDigits = 20;
/** Units that are said together, largest first: 1 lb 4 oz, 1 h 30 min. */
const TOGETHER: readonly (readonly string[])[] = [
  ["lb", "oz"],
  ["h", "min", "s"],
];

/**
 * What a text typed into a field means, by the grammar above. Never throws.
 *
 * @returns the value, in the kind's own unit, and what was understood, to be said beside the field;
 *   a question with its readings; or a refusal
 */
export function readQuantity(text: string, field: Field): Reading {
  const typed = plain(text);
  const early = refusedEarly(typed, field);
  if (early) return early;
  const values = field.kind === "ratio" ? ratioValues(typed) : termValues(typed, field);
  if (refused(values)) return values;
  const answers = values.map((value) => answer(value, field));
  const [first, ...others] = answers;
  if (first === undefined) return notANumber(field);
  if (others.length === 0) return first;
  const readings = answers.filter((one): one is Understood => !refused(one));
  if (readings.length === 0) return first;
  const names = readings.map((one) => one.understood).join(" or ");
  return { ask: `${text.trim()} can be read in two ways. Is it ${names}?`, readings };
}

/** The exact text of a value in the field's own unit: it reads back as the same value. */
export function quantityText(value: number, field: Field): string {
  const unit = ownUnit(field);
  return unit.name === "" || unit.name === ":1"
    ? decimalText(value, 1)
    : `${decimalText(value, asNumber(unit.factor))} ${unit.name}`;
}

function plain(text: string): string {
  return text
    .replace(/[\u00bc-\u00be\u2150-\u215e]/g, (vulgar) => ` ${vulgar.normalize("NFKC")}`)
    .replace(/\u2044/g, "/")
    .replace(/[\u2212\u2013\u2014]/g, "-")
    .replace(/\u03bc/g, "\u00b5")
    .replace(/\s+/g, " ")
    .trim();
}

function refusedEarly(typed: string, field: Field): Refusal | null {
  const { what, example } = SAID[field.kind];
  if (typed === "") return refuse("quantity.empty", `Write ${what}, such as ${example}.`);
  if (typed.length > longest) {
    return refuse("quantity.tooLong", `That is too long for ${what}: write it as ${example}.`);
  }
  if (typed.startsWith("-")) {
    return refuse("quantity.negative", "This cannot be below 0: leave out the minus.");
  }
  if (/\d ?e ?[-+]?\d/i.test(typed) || /[\^\u00d7*]/.test(typed)) {
    return refuse("quantity.exponent", `Write the number out in full, such as ${example}.`);
  }
  if (typed.includes("-")) {
    return refuse("quantity.range", "Write one amount, not a range or a sum.");
  }
  return null;
}

function notANumber(field: Field): Refusal {
  const { what, example } = SAID[field.kind];
  return refuse("quantity.notANumber", `This is not ${what}: write it as ${example}.`);
}

type Numbered = { readings: readonly Fraction[]; rest: string };

/** The number that a text begins with, in each of its readings, and what follows it. */
function leadingNumber(text: string): Numbered | Refusal | null {
  const parted = /^(?:(\d+) )?(\d+) ?\/ ?(\d+)(?![\d.,])/.exec(text);
  if (parted) {
    const [all, before = "0", over = "", under = ""] = parted;
    if ([before, over, under].some((digits) => digits.length > mostDigits)) return tooManyDigits();
    if (BigInt(under) === 0n) {
      return refuse("quantity.dividedByZero", "A fraction has a number above 0 under its line.");
    }
    const part = { num: BigInt(over), den: BigInt(under) };
    return { readings: [plus(fractionOf(before), part)], rest: text.slice(all.length) };
  }
  const [spaced] = /^\d{1,3}(?: \d{3})+(?:[.,]\d*)?(?![\d.,/])/.exec(text) ?? [];
  const [token] = /^[\d.,]+/.exec(text) ?? [];
  if (token === undefined) return null;
  const decimals = spaced ? [spaced.replaceAll(" ", "").replace(",", ".")] : readingsOf(token);
  if (decimals.length === 0) return null;
  if (decimals.some((decimal) => decimal.replace(".", "").length > mostDigits)) {
    return tooManyDigits();
  }
  const readings = decimals.map((decimal) => {
    const [before = "", after = ""] = decimal.split(".");
    return fractionOf(`${before || "0"}.${after || "0"}`);
  });
  return { readings, rest: text.slice((spaced ?? token).length) };
}

function tooManyDigits(): Refusal {
  return refuse("quantity.tooManyDigits", `Write it with ${mostDigits} digits or fewer.`);
}

/** A run of digits, points and commas as decimals with a point; none when it is no number. */
function readingsOf(token: string): string[] {
  if (/^(\d+\.?\d*|\.\d+)$/.test(token)) return [token];
  const [, before = "", after = ""] = /^(\d*),(\d*)$/.exec(token) ?? [];
  if (before !== "" || after !== "") {
    const decimal = `${before}.${after}`;
    return after.length === 3 && /^[1-9]\d{0,2}$/.test(before)
      ? [decimal, before + after]
      : [decimal];
  }
  if (/^\d{1,3}(,\d{3}){2,}$/.test(token) || /^\d{1,3}(,\d{3})+\.\d*$/.test(token)) {
    return [token.replaceAll(",", "")];
  }
  if (/^\d{1,3}(\.\d{3}){2,}$/.test(token) || /^\d{1,3}(\.\d{3})+,\d*$/.test(token)) {
    return [token.replaceAll(".", "").replace(",", ".")];
  }
  return [];
}

function ratioValues(typed: string): Fraction[] | Refusal {
  const ratio: Field = { kind: "ratio" };
  const first = leadingNumber(typed);
  if (first === null) return notANumber(ratio);
  if (refused(first)) return first;
  const rest = first.rest.trim();
  if (rest === "") return [...first.readings];
  const second = rest.startsWith(":") ? leadingNumber(rest.slice(1).trim()) : null;
  if (second === null) return notANumber(ratio);
  if (refused(second)) return second;
  if (second.rest.trim() !== "") return notANumber(ratio);
  if (second.readings.every(isOne)) return [...first.readings];
  if (first.readings.every(isOne)) return [...second.readings];
  return refuse("quantity.ratio", "Write a ratio to one gram of fibre, such as 20:1.");
}

function isOne(fraction: Fraction): boolean {
  return fraction.num === fraction.den;
}

function termValues(typed: string, field: Field): Fraction[] | Refusal {
  let rest = typed;
  let sums: Fraction[] = [fractionOf(0)];
  const names: string[] = [];
  while (rest !== "") {
    const number = leadingNumber(rest);
    if (number === null) return notANumber(field);
    if (refused(number)) return number;
    const [unitText = ""] = /^[^\d]*/.exec(number.rest) ?? [];
    const unit = unitOf(unitText, field);
    if (refused(unit)) return unit;
    rest = number.rest.slice(unitText.length);
    if (rest !== "" && unitText.trim() === "") return notANumber(field);
    if (names.length > 0 && unitText.trim() === "") return notANumber(field);
    names.push(unit.name);
    sums = sums.flatMap((sum) =>
      number.readings.map((reading) => plus(sum, inOwn(reading, unit, field))),
    );
  }
  const falling = TOGETHER.some((units) => {
    const places = names.map((name) => units.indexOf(name));
    return places.every((place, at) => place >= 0 && (at === 0 || place > (places[at - 1] ?? 0)));
  });
  if (names.length > 1 && !falling) {
    return refuse("quantity.sum", "Write one amount with one unit, such as 1.5 L.");
  }
  return sums;
}

function inOwn(reading: Fraction, unit: UnitOf, field: Field): Fraction {
  if (unit.name === "\u00b0F") {
    // t(F) = 1.8 t(C) + 32 (NIST SP 811).
    return times(plus(reading, fractionOf(-32)), { num: 5n, den: 9n });
  }
  const spoon = field.spoons === "us" ? US_SPOONS[unit.name] : undefined;
  return times(reading, spoon ?? unit.factor);
}

function unitOf(text: string, field: Field): UnitOf | Refusal {
  const name = text.replace(/\./g, " ").replace(/\s+/g, " ").trim();
  if (name === "") return ownUnit(field);
  const unit = named(name, field.kind);
  if (unit) return unit;
  const { what, example } = SAID[field.kind];
  for (const kind of Object.keys(UNITS) as Kind[]) {
    if (kind !== field.kind && named(name, kind)) {
      const other = SAID[kind].what;
      return refuse(
        "quantity.otherKind",
        `${name} is the unit of ${other}, and this is ${what}: write it as ${example}.`,
      );
    }
  }
  const units = UNITS[field.kind].map((one) => one.name).filter((one) => one !== "");
  const choice = units.length > 0 ? ` Known here: ${units.join(", ")}.` : "";
  return refuse("quantity.unit", `"${name}" is no unit of ${what}.${choice}`);
}

function named(name: string, kind: Kind): UnitOf | undefined {
  const low = name.toLowerCase();
  return UNITS[kind].find((one) => one.name.toLowerCase() === low || one.also.includes(low));
}

function ownUnit(field: Field): UnitOf {
  const units = UNITS[field.kind];
  const [first] = units;
  const own = field.unit === undefined ? first : units.find((one) => one.name === field.unit);
  if (own === undefined) throw new RangeError(`no unit "${field.unit}" of ${field.kind}`);
  return own;
}

const WHOLE: readonly Kind[] = ["volume", "mass", "time", "power", "altitude"];

function answer(exact: Fraction, field: Field): Understood | Refusal {
  const { kind } = field;
  const max = Math.min(field.max ?? Number.MAX_SAFE_INTEGER, Number.MAX_SAFE_INTEGER);
  if (asNumber(exact) > max) {
    const most = saidValue(max, field);
    return refuse("quantity.tooLarge", `That is more than ${most}: check the unit and the point.`);
  }
  if (exact.num < 0n) {
    return refuse("quantity.negative", "This cannot be below 0 \u00b0C.");
  }
  if (kind === "count" && exact.den !== 1n) {
    return refuse("quantity.part", "These are counted whole: write 12 or 13, nothing between.");
  }
  const value = WHOLE.includes(kind) ? rounded(exact) : asNumber(exact);
  if (value === 0 && exact.num !== 0n) {
    return refuse("quantity.tooSmall", "That is less than can be kept: check the unit.");
  }
  if (value === 0 && field.zero !== true) {
    return refuse("quantity.zero", `Write more than 0, such as ${SAID[kind].example}.`);
  }
  return { ok: true, value, understood: saidValue(value, field) };
}

/** A value in the field's unit, to 3 decimals, "about" where that is not all of it. */
function saidValue(value: number, field: Field): string {
  const unit = ownUnit(field);
  const inUnit = value / asNumber(unit.factor);
  const shown = Math.round(inUnit * 1_000) / 1_000;
  const exact = Math.abs(shown - inUnit) <= Math.abs(inUnit) * 1e-12;
  const small = shown === 0 && value > 0;
  const figure = small || exact ? decimalText(value, asNumber(unit.factor)) : decimalText(shown, 1);
  const gap = unit.name === "" || unit.name === ":1" ? "" : "\u202f";
  return `${exact || small ? "" : "about "}${figure}${gap}${unit.name}`;
}

/** A decimal without exponent, for values such as 1e-7 that JavaScript writes with one. */
function decimalText(value: number, per: number): string {
  if (Number.isSafeInteger(value) && Number.isInteger(per)) {
    const places = String(per).length - 1;
    const powerOfTen = 10 ** places === per;
    if (powerOfTen) {
      const whole = Math.floor(value / per);
      const part = String(value - whole * per).padStart(places, "0");
      return trimmed(places === 0 ? String(value) : `${whole}.${part}`);
    }
  }
  const quotient = value / per;
  const short = String(quotient);
  return short.includes("e") ? trimmed(quotient.toFixed(12)) : short;
}

function trimmed(decimal: string): string {
  return decimal.includes(".") ? decimal.replace(/0+$/, "").replace(/\.$/, "") : decimal;
}
