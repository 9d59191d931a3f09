import { describe, expect, test } from "vitest";
import { BANDS, readReflectance } from "../../shared/colour/spectrum.ts";
import { refused } from "../../shared/dye/refusal.ts";

function lines(stepNm: number, value: (nm: number) => number, from = 400, to = 700): string {
  const rows: string[] = [];
  for (let nm = from; nm <= to; nm += stepNm) rows.push(`${nm},${value(nm)}`);
  return rows.join("\n");
}

const code = (text: string) => {
  const read = readReflectance(text);
  return refused(read) ? read.code : "read";
};

describe("a reflectance file", () => {
  test("is read every 10 nm", () => {
    const read = readReflectance(`Saltmarsh\nnm;share\n${lines(10, (nm) => nm / 1000)}\n`);
    if (refused(read)) throw new Error(read.say);
    expect(read).toHaveLength(BANDS);
    expect(read[0]).toBeCloseTo(0.4, 12);
    expect(read[15]).toBeCloseTo(0.55, 12);
    expect(read[30]).toBeCloseTo(0.7, 12);
  });

  test("is read in %, with finer or coarser steps, and past both ends", () => {
    for (const stepNm of [1, 5, 20]) {
      const read = readReflectance(lines(stepNm, (nm) => nm / 10, 380, 780));
      if (refused(read)) throw new Error(read.say);
      expect(read[15]).toBeCloseTo(0.55, 12);
    }
  });

  test("keeps a reflectance over 1, so that it can be said to fluoresce", () => {
    const read = readReflectance(lines(10, (nm) => (nm === 520 ? 1.2 : 0.5)));
    if (refused(read)) throw new Error(read.say);
    expect(Math.max(...read)).toBeCloseTo(1.2, 12);
  });

  test.each([
    ["", "reflectance.empty"],
    ["not a file at all", "reflectance.empty"],
    [lines(10, () => 0.5, 450, 700), "reflectance.short"],
    [lines(50, () => 0.5), "reflectance.gap"],
    [`${lines(10, () => 0.5)}\n550,0.4`, "reflectance.twice"],
    [lines(10, () => -0.1), "reflectance.negative"],
    ["9".repeat(2_000_000), "reflectance.tooLong"],
  ])("is refused with a sentence: %#", (text, expected) => {
    expect(code(text)).toBe(expected);
  });
});
