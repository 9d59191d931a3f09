import fc from "fast-check";
import { expect, test } from "vitest";
import { refused } from "../../shared/dye/refusal.ts";
import { strengthWeighed, weighing } from "../../shared/dye/weighing.ts";
import { STOCKS } from "../reference/amounts.ts";
import { RUNS } from "./arbitrary.ts";

test.each(STOCKS)("$massG g in $volumeMl mL is $strengthPct % ($source)", (stock) => {
  const answer = weighing(stock.strengthPct, stock.volumeMl * 1_000, 10_000);
  if (refused(answer)) throw new Error(answer.say);
  expect(answer.wantedUg).toBe(stock.massG * 1_000_000);
  expect(answer.shownUg).toBe(stock.massG * 1_000_000);
});

test("a scale in steps of 0.1 g knows half a gram to a tenth of it", () => {
  const { pct, lowPct, highPct } = strengthWeighed(500_000, 50_000, 100_000);
  expect(pct).toBeCloseTo(1, 12);
  expect(lowPct).toBeCloseTo(0.9, 12);
  expect(highPct).toBeCloseTo(1.1, 12);
});

test("what was really read gives the strength that results", () => {
  expect(strengthWeighed(1_070_000, 100_000, 10_000).pct).toBeCloseTo(1.07, 12);
});

test("less than a scale can show is refused", () => {
  expect(weighing(0.1, 10_000, 100_000)).toMatchObject({ code: "weighing.tooLittle" });
});

test("the wanted strength always lies in what the scale says", () => {
  const pct = fc.integer({ min: 1, max: 1_000 }).map((n) => n / 100);
  const volumes = fc.integer({ min: 1_000, max: 2_000_000 });
  fc.assert(
    fc.property(
      pct,
      volumes,
      fc.constantFrom(1_000, 10_000, 100_000, 1_000_000),
      (at, ul, step) => {
        const answer = weighing(at, ul, step);
        if (refused(answer)) return;
        const slack = 1 / ul;
        expect(answer.strength.lowPct).toBeLessThanOrEqual(at + slack);
        expect(answer.strength.highPct).toBeGreaterThanOrEqual(at - slack);
      },
    ),
    RUNS,
  );
});
