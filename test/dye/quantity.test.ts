import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { type Field, type Kind, quantityText, readQuantity } from "../../shared/dye/quantity.ts";
import { ugFromLb, ugFromOz, ulFromUsCups, ulFromUsFlOz } from "../../shared/dye/units.ts";
import { RUNS } from "./arbitrary.ts";

const volume: Field = { kind: "volume" };
const mass: Field = { kind: "mass" };
const kinds: Kind[] = [
  "volume",
  "mass",
  "percent",
  "time",
  "temperature",
  "power",
  "altitude",
  "count",
  "ratio",
  "number",
];

function readValue(text: string, field: Field): number {
  const reading = readQuantity(text, field);
  if (!("ok" in reading)) throw new Error(`${text}: ${JSON.stringify(reading)}`);
  return reading.value;
}

describe("a number field understands", () => {
  test.each<[string, Field, number, string]>([
    ["1/2", volume, 500, "0.5\u202fmL"],
    ["1 1/2", volume, 1_500, "1.5\u202fmL"],
    ["\u00bd", volume, 500, "0.5\u202fmL"],
    ["1\u00bd", volume, 1_500, "1.5\u202fmL"],
    ["0,5", volume, 500, "0.5\u202fmL"],
    ["0.5", volume, 500, "0.5\u202fmL"],
    [".5", volume, 500, "0.5\u202fmL"],
    [",5", volume, 500, "0.5\u202fmL"],
    ["12.", volume, 12_000, "12\u202fmL"],
    ["12ml", volume, 12_000, "12\u202fmL"],
    ["12 mL", volume, 12_000, "12\u202fmL"],
    ["12\u202fmL", volume, 12_000, "12\u202fmL"],
    ["1 L", volume, 1_000_000, "1000\u202fmL"],
    ["2 L", { kind: "volume", unit: "L" }, 2_000_000, "2\u202fL"],
    ["2", { kind: "volume", unit: "L" }, 2_000_000, "2\u202fL"],
    ["1 tsp", volume, 5_000, "5\u202fmL"],
    ["1 tbsp.", volume, 15_000, "15\u202fmL"],
    ["1 tsp", { kind: "volume", spoons: "us" }, 4_929, "4.929\u202fmL"],
    ["1 cup", volume, ulFromUsCups(1), "236.588\u202fmL"],
    ["2 oz", volume, ulFromUsFlOz(2), "59.147\u202fmL"],
    ["2 fl. oz.", volume, ulFromUsFlOz(2), "59.147\u202fmL"],
    ["2 oz", mass, ugFromOz(2), "about 56.699\u202fg"],
    ["3 g", mass, 3_000_000, "3\u202fg"],
    ["500 mg", mass, 500_000, "0.5\u202fg"],
    ["1.2 kg", mass, 1_200_000_000, "1200\u202fg"],
    ["1 lb", mass, ugFromLb(1), "about 453.592\u202fg"],
    ["1 lb 4 oz", mass, ugFromOz(20), "about 566.99\u202fg"],
    ["25", { kind: "time" }, 1_500, "25\u202fmin"],
    ["1 h 30 min", { kind: "time" }, 5_400, "90\u202fmin"],
    ["0,5 %", { kind: "percent" }, 0.5, "0.5\u202f%"],
    ["185 F", { kind: "temperature" }, 85, "85\u202f\u00b0C"],
    ["85\u00b0C", { kind: "temperature" }, 85, "85\u202f\u00b0C"],
    ["1.8 kW", { kind: "power" }, 1_800, "1800\u202fW"],
    ["1000 ft", { kind: "altitude" }, 305, "305\u202fm"],
    ["20:1", { kind: "ratio" }, 20, "20:1"],
    ["1:20", { kind: "ratio" }, 20, "20:1"],
    ["7", { kind: "count" }, 7, "7"],
    ["4,5", { kind: "number" }, 4.5, "4.5"],
    ["0", { kind: "volume", zero: true }, 0, "0\u202fmL"],
    ["1 250 mL", volume, 1_250_000, "1250\u202fmL"],
    ["1,250,000", { kind: "mass", unit: "mg" }, 1_250_000_000, "1250000\u202fmg"],
    ["1,250.5", volume, 1_250_500, "1250.5\u202fmL"],
    ["1.250,5", volume, 1_250_500, "1250.5\u202fmL"],
    ["0,500", volume, 500, "0.5\u202fmL"],
    ["1234,567", volume, 1_234_567, "1234.567\u202fmL"],
    ["12,25", volume, 12_250, "12.25\u202fmL"],
    ["1.250", volume, 1_250, "1.25\u202fmL"],
  ])("%j in %j", (text, field, value, understood) => {
    expect(readQuantity(text, field)).toEqual({ ok: true, value, understood });
  });
});

describe("three digits after a comma are asked about, not guessed", () => {
  test.each(["1,250", "1,250 mL", "12,500", "999,000"])("%s", (text) => {
    const reading = readQuantity(text, volume);
    const [, whole = "", part = ""] = /^(\d+),(\d+)/.exec(text) ?? [];
    expect(reading).toMatchObject({
      readings: [
        { ok: true, value: Number(`${whole}${part}`) },
        { ok: true, value: Number(`${whole}${part}`) * 1000 },
      ],
    });
  });

  test("the question says both readings", () => {
    expect(readQuantity("1,250", volume)).toMatchObject({
      ask: "1,250 can be read in two ways. Is it 1.25\u202fmL or 1250\u202fmL?",
    });
  });

  test("a reading that the field cannot take is not offered, and still nothing is guessed", () => {
    expect(readQuantity("1,250", { kind: "percent", max: 100 })).toMatchObject({
      readings: [{ value: 1.25 }],
    });
  });
});

describe("a number field refuses", () => {
  test.each<[string, Field, string]>([
    ["", volume, "quantity.empty"],
    ["-3", volume, "quantity.negative"],
    ["\u22123 mL", volume, "quantity.negative"],
    ["1e3", volume, "quantity.exponent"],
    ["2E-4 g", mass, "quantity.exponent"],
    ["10^3", mass, "quantity.exponent"],
    ["10-12 mL", volume, "quantity.range"],
    ["abc", volume, "quantity.notANumber"],
    ["1..2", volume, "quantity.notANumber"],
    ["1,2,3", volume, "quantity.notANumber"],
    ["1/0", volume, "quantity.dividedByZero"],
    ["0", volume, "quantity.zero"],
    ["0/7", volume, "quantity.zero"],
    ["0.0001", volume, "quantity.tooSmall"],
    ["12 furlongs", volume, "quantity.unit"],
    ["3 g", volume, "quantity.otherKind"],
    ["3 mL", mass, "quantity.otherKind"],
    ["2 fl oz", mass, "quantity.otherKind"],
    ["1 tsp", mass, "quantity.otherKind"],
    ["1 L 2 mL", volume, "quantity.sum"],
    ["4 oz 1 lb", mass, "quantity.sum"],
    ["1 h 30", { kind: "time" }, "quantity.notANumber"],
    ["12 13", volume, "quantity.notANumber"],
    ["2.5", { kind: "count" }, "quantity.part"],
    ["3:7", { kind: "ratio" }, "quantity.ratio"],
    ["101", { kind: "percent", max: 100 }, "quantity.tooLarge"],
    ["99999999999999 kg", mass, "quantity.tooLarge"],
    ["123456789012345678901", volume, "quantity.tooManyDigits"],
    ["1".repeat(80), volume, "quantity.tooLong"],
    ["20 F", { kind: "temperature" }, "quantity.negative"],
  ])("%j in %j: %s", (text, field, code) => {
    expect(readQuantity(text, field)).toMatchObject({ code, say: expect.stringMatching(/\.$/) });
  });
});

describe("whatever is typed", () => {
  const fields = fc
    .tuple(fc.constantFrom(...kinds), fc.boolean())
    .map(([kind, zero]): Field => ({ kind, zero }));
  const pieces = fc.constantFrom(
    ..."0123456789 .,/-+eE:%'".split(""),
    ..."\u00bd \u202f \u2212 ml mL oz fl lb g kg tsp cup \u00b0 F min h 1,250 __proto__".split(" "),
  );
  const texts = fc.oneof(
    fc.string({ unit: "binary", maxLength: 70 }),
    fc.array(pieces, { maxLength: 14 }).map((list) => list.join("")),
  );

  test("nothing is thrown, and every answer is a value in range, a question or a sentence", () => {
    fc.assert(
      fc.property(texts, fields, (text, field) => {
        const reading = readQuantity(text, field);
        if ("ok" in reading) {
          expect(reading.value).toBeGreaterThanOrEqual(0);
          expect(Number.isFinite(reading.value)).toBe(true);
          expect(reading.understood).not.toBe("");
        } else if ("ask" in reading) {
          expect(reading.readings.length).toBeGreaterThan(0);
        } else {
          expect(reading.code).toMatch(/^quantity\./);
          expect(reading.say).toMatch(/\.$/);
        }
      }),
      { numRuns: 6_000 },
    );
  });

  test("a value is read back from its own text", () => {
    const whole = fc.oneof(fc.nat(2_000), fc.integer({ min: 1, max: 1_000_000_000_000 }));
    for (const kind of kinds) {
      const field: Field = { kind, zero: true };
      fc.assert(
        fc.property(whole, (value) => {
          fc.pre(value < 10 ** 12);
          // A time is written in minutes; only those that are a decimal of a minute come back.
          const exact = kind === "time" ? value * 3 : value;
          expect(readValue(quantityText(exact, field), field)).toBe(exact);
        }),
        RUNS,
      );
    }
  });

  test("what was understood, where it is the whole of it, reads back as the same value", () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 10_000_000 }), (value) => {
        const reading = readQuantity(quantityText(value, volume), volume);
        if (!("ok" in reading)) throw new Error("not read");
        expect(readValue(reading.understood, volume)).toBe(value);
      }),
      RUNS,
    );
  });

  test("a decimal comma means what a decimal point means, unless it is asked about", () => {
    fc.assert(
      fc.property(fc.nat(99_999), fc.nat(9_999), (before, after) => {
        const pointed = readQuantity(`${before}.${after}`, { kind: "percent", zero: true });
        const comma = readQuantity(`${before},${after}`, { kind: "percent", zero: true });
        if ("ask" in comma) expect(String(after)).toHaveLength(3);
        else expect(comma).toEqual(pointed);
      }),
      RUNS,
    );
  });
});
