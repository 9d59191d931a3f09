import fc from "fast-check";
import { describe, expect, test } from "vitest";
import {
  ACIDS,
  type Acid,
  type AcidSource,
  acidPctOnFibre,
  acidUgForPct,
  acidUgForPh,
  acidUgIn,
  amountWith,
  convertAcid,
  phBeforeYarn,
  titratableMol,
} from "../../shared/dye/acid.ts";
import { refused } from "../../shared/dye/refusal.ts";
import {
  CITRIC_AS_ACETIC,
  CONSTANTS,
  PH_IN_WATER,
  PH_TOLERANCE,
  VINEGAR,
} from "../reference/acids.ts";
import { RUNS } from "./arbitrary.ts";

const litreUl = 1_000_000;

describe("pH before the yarn", () => {
  test.each(PH_IN_WATER)("$acid $molPerL mol/L is pH $pH ($source)", ({ acid, molPerL, pH }) => {
    const ug = Math.round(molPerL * ACIDS[acid].gPerMol * 1e6);
    const found = phBeforeYarn({ volumeUl: litreUl, acids: { [acid]: ug } });
    expect(Math.abs(found - pH)).toBeLessThanOrEqual(PH_TOLERANCE);
  });

  test("ideal arithmetic makes 0.1 N citric acid pH 2.33", () => {
    const ug = Math.round((0.1 / 3) * ACIDS.citric.gPerMol * 1e6);
    expect(phBeforeYarn({ volumeUl: litreUl, acids: { citric: ug } })).toBeCloseTo(2.33, 2);
  });

  test("pure water is pH 7", () => {
    expect(phBeforeYarn({ volumeUl: litreUl, acids: {} })).toBeCloseTo(7, 6);
  });

  test("the constants are those of the source", () => {
    expect(ACIDS.acetic).toEqual(CONSTANTS.acetic);
    expect(ACIDS.citric).toMatchObject({
      pKa: CONSTANTS.citric.pKa,
      gPerMol: CONSTANTS.citric.gPerMol,
    });
  });

  test("alkaline water takes more acid: a bicarbonate as strong as the acid halves its sourness", () => {
    // Half the acetic acid as acetate is the buffer whose pH is the pKa, 4.756.
    const meqPerL = 2;
    const ug = Math.round(((2 * meqPerL) / 1000) * ACIDS.acetic.gPerMol * 1e6);
    const bath = { volumeUl: litreUl, acids: { acetic: ug }, alkalinityMgPerL: meqPerL * 50.04 };
    expect(phBeforeYarn(bath)).toBeCloseTo(4.75, 1);
    const soft = phBeforeYarn({ volumeUl: litreUl, acids: { acetic: ug } });
    expect(soft).toBeLessThan(4);
  });

  test("more acid or less alkalinity never raises the pH", () => {
    const masses = fc.integer({ min: 0, max: 50_000_000 });
    fc.assert(
      fc.property(masses, masses, masses, fc.nat(400), (acetic, citric, more, alkalinityMgPerL) => {
        const at = (extra: number) =>
          phBeforeYarn({
            volumeUl: litreUl,
            acids: { acetic: acetic + extra, citric },
            alkalinityMgPerL,
          });
        expect(at(more)).toBeLessThanOrEqual(at(0) + 1e-9);
        const soft = phBeforeYarn({ volumeUl: litreUl, acids: { acetic, citric } });
        expect(soft).toBeLessThanOrEqual(at(0) + 1e-9);
      }),
      RUNS,
    );
  });
});

describe("acid for a target pH", () => {
  test("brings the bath there, whatever else is in it", () => {
    const targets = fc.integer({ min: 25, max: 65 }).map((tenths) => tenths / 10);
    fc.assert(
      fc.property(
        targets,
        fc.constantFrom<Acid>("acetic", "citric"),
        fc.integer({ min: 200_000, max: 20_000_000 }),
        fc.nat(300),
        fc.nat(1_000_000),
        (pH, acid, volumeUl, alkalinityMgPerL, otherUg) => {
          const other: Acid = acid === "acetic" ? "citric" : "acetic";
          const bath = { volumeUl, alkalinityMgPerL, acids: { [other]: otherUg } };
          const ug = acidUgForPh(pH, acid, bath);
          if (refused(ug)) throw new Error(ug.say);
          const reachedWith = (acidUg: number) =>
            phBeforeYarn({ ...bath, acids: { [other]: otherUg, [acid]: acidUg } });
          // Rounded to a whole ug: in little soft water one more or less is seen in the pH.
          expect(reachedWith(ug + 1)).toBeLessThanOrEqual(pH + 1e-9);
          if (ug > 0) expect(reachedWith(ug - 1)).toBeGreaterThanOrEqual(pH - 1e-9);
        },
      ),
      RUNS,
    );
  });

  test.each([1.5, 7.5, Number.NaN])("pH %s is refused", (pH) => {
    const bath = { volumeUl: litreUl, acids: {} };
    expect(acidUgForPh(pH, "acetic", bath)).toMatchObject({ code: "acid.target" });
  });
});

describe("one acid for another", () => {
  test(`1 g of citric is ${CITRIC_AS_ACETIC.titratable} g of acetic acid by titration`, () => {
    const { titratableUg } = convertAcid(1_000_000, "citric", "acetic", 4.5);
    expect(titratableUg / 1e6).toBeCloseTo(CITRIC_AS_ACETIC.titratable, 2);
  });

  test.each(CITRIC_AS_ACETIC.atPh)("and about $g g at pH $pH", ({ pH, g }) => {
    const { atPhUg } = convertAcid(1_000_000, "citric", "acetic", pH);
    expect(Math.round(atPhUg / 1e5) / 10).toBe(g);
  });

  test("what stands for it at the target pH brings the bath to that pH", () => {
    const bath = { volumeUl: 2 * litreUl, alkalinityMgPerL: 120 };
    const citric = acidUgForPh(4.2, "citric", { ...bath, acids: {} });
    if (refused(citric)) throw new Error(citric.say);
    const { atPhUg } = convertAcid(citric, "citric", "acetic", 4.2);
    expect(phBeforeYarn({ ...bath, acids: { acetic: atPhUg } })).toBeCloseTo(4.2, 2);
  });

  test("titratable acid counts every proton", () => {
    expect(titratableMol({ citric: 192_124_000, acetic: 60_052_000 })).toBeCloseTo(4, 9);
  });
});

describe("acid as it is measured", () => {
  test("2 % of 100 g of fibre is 2 g of acetic acid, 40 mL of vinegar at 5 %", () => {
    const acidUg = acidUgForPct(2, 100_000_000);
    expect(acidUg).toBe(2_000_000);
    expect(amountWith({ kind: "vinegar", pct: VINEGAR.usualPct }, acidUg)).toEqual({
      volumeUl: 40_000,
    });
    expect(acidPctOnFibre(acidUg, 100_000_000)).toBe(2);
  });

  test("vinegar of 4 g in 100 mL takes a quarter more of it than of 5 %", () => {
    const weak = amountWith({ kind: "vinegar", pct: VINEGAR.leastGIn100Ml }, 2_000_000);
    expect(weak).toEqual({ volumeUl: 50_000 });
  });

  test("crystals with their water weigh more for the same acid, as 210.14 to 192.124", () => {
    const dry = amountWith({ kind: "citricCrystals", form: "anhydrous" }, 1_921_240);
    const wet = amountWith({ kind: "citricCrystals", form: "monohydrate" }, 1_921_240);
    expect(dry).toEqual({ massUg: 1_921_240 });
    expect(wet).toEqual({ massUg: 2_101_400 });
  });

  test("an amount holds the acid that it was measured for, to its rounding", () => {
    const pct = fc.integer({ min: 10, max: 3_000 }).map((n) => n / 100);
    const form = fc.constantFrom("anhydrous" as const, "monohydrate" as const);
    const sources = fc.oneof(
      pct.map((pct): AcidSource => ({ kind: "vinegar", pct })),
      form.map((form): AcidSource => ({ kind: "citricCrystals", form })),
      fc.tuple(pct, form).map(([pct, form]): AcidSource => ({ kind: "citricStock", pct, form })),
    );
    fc.assert(
      fc.property(sources, fc.nat(100_000_000), (source, acidUg) => {
        const amount = amountWith(source, acidUg);
        const oneUl = "pct" in source ? source.pct * 10 : 1;
        expect(Math.abs(acidUgIn(source, amount) - acidUg)).toBeLessThanOrEqual(oneUl / 2 + 1);
      }),
      RUNS,
    );
  });
});
