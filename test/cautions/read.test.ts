import { describe, expect, test } from "vitest";
import { CAUTIONS } from "../../shared/cautions/cautions.ts";
import { HAZARDS } from "../../shared/cautions/hazards.ts";
import { readMs } from "../../shared/cautions/read.ts";
import { READING } from "../reference/amounts.ts";

describe("reading time", () => {
  test(`is ${READING.slowWordsAMinute} words a minute, the slower end (${READING.source})`, () => {
    const minute = Array.from({ length: READING.slowWordsAMinute }, () => "wool").join(" ");
    expect(readMs(minute)).toBe(60_000);
    expect(readMs("Steam burns: lift the lid away from you")).toBe(3_000);
  });

  test("counts a figure and its unit as two words, and a dash as none", () => {
    expect(readMs("37.5\u202FmL")).toBe(readMs("two words"));
    expect(readMs("steam \u2013 burns")).toBe(readMs("steam burns"));
    expect(readMs("0.78\u202F%")).toBe(readMs("two words"));
    expect(readMs("  ")).toBe(0);
  });

  test("no caution is up for less than a viewer at that speed needs", () => {
    for (const hazard of HAZARDS) {
      const { line } = CAUTIONS[hazard];
      const needMs = (line.split(" ").length / READING.slowWordsAMinute) * 60_000;
      expect(readMs(line)).toBeGreaterThanOrEqual(needMs);
    }
  });
});
