import { describe, expect, test } from "vitest";
import { difference } from "../../shared/colour/difference.ts";
import { predict, predictZones, sayGamut } from "../../shared/colour/predict.ts";
import { dyeOf, dyeSeen, dyes, typed, wool, woolHex, yarnSeen } from "../scenario/shelf.ts";

describe("a prediction", () => {
  test("is surer at the swatch's depth on its yarn than deeper, paler or on another yarn", () => {
    const dye = dyes.saltmarsh;
    const own = predict(wool, [{ dye, depthPct: 1 }]).uncertainty;
    expect(predict(wool, [{ dye, depthPct: 4 }]).uncertainty).toBeGreaterThan(own);
    const other = yarnSeen(typed("#b7a68a"));
    expect(predict(other, [{ dye, depthPct: 1 }]).uncertainty).toBeGreaterThan(own);
  });

  test("takes yarns of one colour for two when they have two names", () => {
    const swatch = { depthPct: 1, seen: typed("#2e6e86"), yarn: typed(woolHex), yarnId: "quay" };
    const dye = dyeOf(swatch);
    const at = (id: string) =>
      predict(yarnSeen(typed(woolHex), id), [{ dye, depthPct: 1 }]).uncertainty;
    expect(at("tweed")).toBeGreaterThan(at("quay"));
  });

  test("of a photographed dye is never surer than 3 CIEDE2000 where the dye is deep", () => {
    const dye = dyeOf({
      depthPct: 2,
      seen: { how: "photographed", hex: "#22344f" },
      yarn: typed(woolHex),
    });
    expect(predict(wool, [{ dye, depthPct: 2 }]).uncertainty).toBeGreaterThan(2.9);
  });

  test("says when no screen has the colour", () => {
    const dye = dyeOf({
      depthPct: 1,
      seen: { how: "measured", lab: { l: 50, a: -60, b: -10 } },
      yarn: typed(woolHex),
    });
    const predicted = predict(wool, [{ dye, depthPct: 1 }]);
    expect(predicted.inGamut).toBe(false);
    expect(sayGamut(predicted)).toContain(predicted.hex);
    expect(sayGamut(predict(wool, []))).toBeUndefined();
  });

  test("of one dye in two doses is that of their sum, also where the dye flattens", () => {
    const dye = dyeOf(
      { depthPct: 0.5, seen: typed("#7fa5b3"), yarn: typed(woolHex) },
      { depthPct: 2, seen: typed("#4b7d92"), yarn: typed(woolHex) },
    );
    const twice = predict(wool, [
      { dye, depthPct: 0.7 },
      { dye, depthPct: 0.6 },
    ]).lab;
    expect(difference(twice, predict(wool, [{ dye, depthPct: 1.3 }]).lab)).toBeLessThan(1e-9);
  });

  test("of an over-dyed yarn is darker than the yarn in every case", () => {
    const brown = yarnSeen(typed("#8a6a4a"));
    for (const dye of Object.values(dyes)) {
      expect(predict(brown, [{ dye, depthPct: 0.5 }]).lab.l).toBeLessThan(brown.lab.l);
    }
  });
});

describe("a skein with pours that do not cover it", () => {
  const whole = { coverage: 1, doses: [{ dye: dyes.lantern, depthPct: 0.3 }] };
  const tenth = { coverage: 0.1, doses: [{ dye: dyes.deepwater, depthPct: 0.2 }] };
  const { ground, patches } = predictZones(wool, [tenth, whole]);

  test("has the ground of the pours that do", () => {
    expect(ground).toEqual(predict(wool, whole.doses));
  });

  test("has a patch of each other pour on that ground, at the depth that it has there", () => {
    expect(patches).toHaveLength(1);
    const there = predict(wool, [...whole.doses, { dye: dyes.deepwater, depthPct: 2 }]);
    expect(patches[0]?.coverage).toBe(0.1);
    expect(patches[0]?.colour.hex).toBe(there.hex);
    expect(difference(patches[0]?.colour.lab ?? ground.lab, there.lab)).toBeLessThan(1e-9);
  });

  test("without any pour is the yarn", () => {
    expect(predictZones(wool, []).ground.hex).toBe(woolHex);
  });
});

test("a dye at no depth adds nothing", () => {
  expect(predict(wool, [{ dye: dyeSeen("#22344f"), depthPct: 0 }]).hex).toBe(woolHex);
});
