import { describe, expect, test } from "vitest";
import { DYE_CLASSES, PRACTICE, practiceFor, sayClass } from "../../shared/dye/dyeClass.ts";
import { dyeablePct, hasNylon, undyeable, uptakeOf } from "../../shared/dye/fibre.ts";

describe("whether a fibre takes acid dye (common practice, no source)", () => {
  test.each([
    ["superwash merino", "takes"],
    ["Wool", "takes"],
    ["baby alpaca", "takes"],
    ["Nylon", "takes"],
    ["mulberry silk", "slow"],
    ["viscose", "none"],
    ["organic cotton", "none"],
    ["polyester glitter", "none"],
    ["thistledown", "unknown"],
  ])("%s: %s", (fibre, uptake) => {
    expect(uptakeOf(fibre)).toBe(uptake);
  });

  test("a fibre that has wool in its name but is none is not taken for it", () => {
    expect(uptakeOf("acrylic wool look")).toBe("none");
    expect(uptakeOf("polyamide")).toBe("takes");
  });

  test("what is left of a blend takes all the dye", () => {
    const tweed = [
      { fibre: "wool", pct: 92 },
      { fibre: "viscose", pct: 8 },
    ];
    expect(dyeablePct(tweed)).toBe(92);
    expect(undyeable(tweed)).toEqual(["viscose"]);
    expect(hasNylon(tweed)).toBe(false);
    expect(hasNylon([{ fibre: "nylon", pct: 25 }])).toBe(true);
  });
});

describe("how a class of dye is run", () => {
  test("of several in one bath the gentlest counts", () => {
    expect(practiceFor(["levelling", "metalComplex"])).toEqual({
      targetPh: 5.5,
      aceticPct: 1,
      rampPerMin: 1,
      holdCelsius: 90,
      holdSeconds: 2_700,
    });
    expect(practiceFor([])).toEqual(PRACTICE.unsure);
  });

  test("every class has words of its own", () => {
    expect(new Set(DYE_CLASSES.map(sayClass)).size).toBe(DYE_CLASSES.length);
  });
});
