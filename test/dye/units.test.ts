import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  celsiusFrom,
  fahrenheitFrom,
  gFromUg,
  lbFromUg,
  mlFromUl,
  ozFromUg,
  TABLESPOON_UL,
  TEASPOON_UL,
  ugFromG,
  ugFromLb,
  ugFromOz,
  ulFromMl,
  ulFromUsCups,
  ulFromUsFlOz,
  ulFromUsTablespoons,
  ulFromUsTeaspoons,
  usFlOzFromUl,
} from "../../shared/dye/units.ts";
import { TEMPERATURES, UNITS } from "../reference/amounts.ts";
import { RUNS } from "./arbitrary.ts";

/** A published decimal times a power of ten, as a whole number. */
function scaledUp(decimal: string, places: number): number {
  const [whole = "", part = ""] = decimal.split(".");
  return Number(whole + part.padEnd(places, "0").slice(0, places));
}

describe("units", () => {
  test(`an ounce is ${UNITS.gPerOz.value} g, ${UNITS.gPerOz.source}`, () => {
    expect(ugFromOz(1000)).toBe(scaledUp(UNITS.gPerOz.value, 9));
    expect(ugFromOz(1)).toBe(28_349_523);
    expect(ozFromUg(ugFromOz(1000))).toBe(1000);
  });

  test(`a pound is ${UNITS.gPerLb.value} g, ${UNITS.gPerLb.source}, and sixteen ounces`, () => {
    expect(ugFromLb(1)).toBe(scaledUp(UNITS.gPerLb.value, 6));
    expect(ugFromLb(1)).toBe(ugFromOz(16));
    expect(lbFromUg(ugFromLb(2))).toBe(2);
  });

  test("US measures of volume are as published (NIST Handbook 44)", () => {
    expect(ulFromUsFlOz(10_000_000)).toBe(scaledUp(UNITS.mlPerUsFlOz.value, 10));
    expect(ulFromUsCups(10_000_000)).toBe(scaledUp(UNITS.mlPerUsCup.value, 10));
    expect(ulFromUsTablespoons(100_000_000)).toBe(scaledUp(UNITS.mlPerUsTablespoon.value, 11));
    expect(ulFromUsTeaspoons(100_000_000)).toBe(scaledUp(UNITS.mlPerUsTeaspoon.value, 11));
    expect(ulFromUsTeaspoons(1)).toBe(4_929);
    expect(usFlOzFromUl(ulFromUsFlOz(10_000_000))).toBe(10_000_000);
  });

  test(`labelled spoons are 5 and 15 mL, ${UNITS.labelledTeaspoonMl.source}`, () => {
    expect(TEASPOON_UL).toBe(ulFromMl(UNITS.labelledTeaspoonMl.value));
    expect(TABLESPOON_UL).toBe(ulFromMl(UNITS.labelledTablespoonMl.value));
  });

  for (const { celsius, fahrenheit } of TEMPERATURES) {
    test(`${celsius} C is ${fahrenheit} F (t(F) = 1.8 t(C) + 32, NIST SP 811)`, () => {
      expect(fahrenheitFrom(celsius)).toBe(fahrenheit);
      expect(celsiusFrom(fahrenheit)).toBe(celsius);
    });
  }

  test("mL and g become whole uL and ug with one rounding of the decimal as written", () => {
    expect(ulFromMl(37.5)).toBe(37_500);
    expect(ulFromMl(0.05)).toBe(50);
    expect(ulFromMl(1.0005)).toBe(1_001);
    expect(ulFromMl(8.0405)).toBe(8_041);
    expect(ugFromG(0.1)).toBe(100_000);
    expect(ugFromG(50)).toBe(50_000_000);
    expect(() => ulFromMl(Number.NaN)).toThrow(RangeError);
    expect(() => ulFromMl(1e14)).toThrow(RangeError);
  });

  test("every uL and ug survives being shown as mL or g and read back", () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 2_000_000_000 }), (amount) => {
        expect(ulFromMl(mlFromUl(amount))).toBe(amount);
        expect(ugFromG(gFromUg(amount))).toBe(amount);
      }),
      RUNS,
    );
  });
});
