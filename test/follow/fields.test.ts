import { describe, expect, test } from "vitest";
import {
  checkDrops,
  checkStrength,
  dropsField,
  fibreField,
  strengthField,
} from "../../overlay/follow/fields.ts";
import { type Field, readQuantity } from "../../shared/dye/quantity.ts";
import { UNITS } from "../reference/amounts.ts";

const readOf = (text: string, field: Field) => {
  const reading = readQuantity(text, field);
  return "ok" in reading ? reading.value : reading;
};

describe("dry yarn typed on a phone", () => {
  test.each([
    ["37", 37_000_000],
    [" 12 g", 12_000_000],
    ["0,5", 500_000],
    ["1250\u00a0g", 1_250_000_000],
    ["100 kg", 100_000_000_000],
    ["1 oz", Math.round(Number(UNITS.gPerOz.value) * 1_000_000)],
    ["1 lb 4 oz", Math.round((Number(UNITS.gPerLb.value) + 4 * Number(UNITS.gPerOz.value)) * 1e6)],
  ])("understands %j", (text, massUg) => {
    expect(readOf(text, fibreField)).toBe(massUg);
  });

  test.each(["", "0", "-3", "abc", "1e9", "1000000000", "1000000000 g", "<b>5</b>", "5 mL"])(
    "is refused with a sentence for %j",
    (text) => {
      expect(readOf(text, fibreField)).toMatchObject({ say: expect.stringMatching(/[.]$/) });
    },
  );

  test("is asked about where it has two readings", () => {
    expect(readOf("1,250", fibreField)).toMatchObject({
      ask: expect.stringContaining("1.25\u202fg or 1250\u202fg"),
    });
  });
});

describe("a strength and a dropper typed on a phone", () => {
  test.each([
    ["0,5", 0.5],
    [" 2%", 2],
    ["1/2", 0.5],
  ])("are understood in %j", (text, pct) => {
    expect(readOf(text, strengthField)).toBe(pct);
    expect(checkStrength(pct)).toBeNull();
  });

  test.each(["0", "-1", "101", "abc", ""])("are refused with a sentence for %j", (text) => {
    expect(readOf(text, strengthField)).toMatchObject({ say: expect.stringMatching(/[.]$/) });
    expect(readOf(text, dropsField)).toMatchObject({ say: expect.stringMatching(/[.]$/) });
  });

  test("are refused where they are next to nothing", () => {
    expect(checkStrength(0.0001)?.code).toBe("strength.tooWeak");
    expect(checkDrops(0.5)?.code).toBe("drops.outOfRange");
    expect(checkDrops(20)).toBeNull();
  });
});
