import { describe, expect, test } from "vitest";
import { dropUlFrom, fibreUgFrom, strengthPctFrom } from "../../overlay/follow/typed.ts";

describe("grams typed on a phone", () => {
  test.each([
    ["37", 37_000_000],
    [" 12 g", 12_000_000],
    ["12g", 12_000_000],
    ["50 grams", 50_000_000],
    ["0,5", 500_000],
    ["12,25", 12_250_000],
    ["0,125", 125_000],
    [",5", 500_000],
    ["37.5", 37_500_000],
    ["1250\u00a0g", 1_250_000_000],
    ["100000", 100_000_000_000],
  ])("understand %j", (text, massUg) => {
    expect(fibreUgFrom(text)).toBe(massUg);
  });

  test.each([
    ["", "fibre.empty"],
    ["   ", "fibre.empty"],
    ["0", "amount.zero"],
    ["-3", "amount.negative"],
    ["\u22123", "amount.negative"],
    ["abc", "amount.notANumber"],
    ["1e9", "amount.notANumber"],
    ["1000000000", "fibre.tooLarge"],
    ["1000000000 g", "fibre.tooLarge"],
    ["1,250", "amount.comma"],
    ["1,250,000", "amount.comma"],
    ["0.0000000001", "amount.tooSmall"],
    ["Infinity", "amount.notANumber"],
    ["<b>5</b>", "amount.notANumber"],
    ["5 5", "amount.notANumber"],
  ])("are refused with a sentence for %j", (text, code) => {
    expect(fibreUgFrom(text)).toMatchObject({ code, say: expect.stringMatching(/[.]$/) });
  });
});

describe("a strength typed on a phone", () => {
  test.each([
    ["1", 1],
    ["0,5", 0.5],
    ["0.5 %", 0.5],
    [" 2%", 2],
    [".25", 0.25],
    ["100", 100],
  ])("understands %j", (text, pct) => {
    expect(strengthPctFrom(text)).toBe(pct);
  });

  test.each([
    ["", "strength.empty"],
    ["0", "strength.zero"],
    ["0,0", "strength.zero"],
    ["-1", "strength.negative"],
    ["101", "strength.tooStrong"],
    ["abc", "strength.notANumber"],
    ["1,250", "strength.comma"],
    ["0.0001", "strength.tooWeak"],
  ])("is refused with a sentence for %j", (text, code) => {
    expect(strengthPctFrom(text)).toMatchObject({ code, say: expect.stringMatching(/[.]$/) });
  });
});

describe("drops counted in 1 mL", () => {
  test("give the volume of one drop", () => {
    expect(dropUlFrom("20")).toBe(50);
    expect(dropUlFrom("25 drops")).toBe(40);
  });

  test.each(["", "0", "abc", "-20", "1000"])("are refused for %j", (text) => {
    expect(dropUlFrom(text)).toMatchObject({ code: "drops.outOfRange" });
  });
});
