import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { unitKs } from "../../shared/colour/curve.ts";
import { difference } from "../../shared/colour/difference.ts";
import { reflectanceOf } from "../../shared/colour/kubelkaMunk.ts";
import { xyzOfReflectance } from "../../shared/colour/observer.ts";
import { predict, reflectanceOfDoses, uncertaintyAt } from "../../shared/colour/predict.ts";
import type { Seen } from "../../shared/colour/seen.ts";
import { spectrumOf } from "../../shared/colour/spectrum.ts";
import { calibrate, type Swatch, unitKsOfSwatches } from "../../shared/colour/swatch.ts";
import { labOfHex, shownXyz } from "../../shared/colour/tone.ts";
import { refused } from "../../shared/dye/refusal.ts";
import { dyeOf, dyeSeen, typed, wool, woolHex, yarnSeen } from "../scenario/shelf.ts";

const onWool = (depthPct: number, seen: Seen): Swatch => ({ depthPct, seen, yarn: typed(woolHex) });
const codes = (...swatches: Swatch[]) => {
  const dye = calibrate(swatches);
  return refused(dye) ? [dye.code] : dye.remarks.map(({ code }) => code);
};

const undyed = spectrumOf((_, nm) => 0.45 + 0.4 * (1 - Math.exp(-(nm - 400) / 60)));
const dyed = (depthPct: number) =>
  undyed.map((r, band) => {
    const added = 4 * depthPct * Math.exp(-(((band - 12) / 5) ** 2)) + 0.02 * depthPct;
    return reflectanceOf((1 - r) ** 2 / (2 * r) + added);
  });
const bare: Seen = { how: "spectrum", reflectance: undyed };
const measured = (depthPct: number): Swatch => ({
  depthPct,
  seen: { how: "spectrum", reflectance: dyed(depthPct) },
  yarn: bare,
});

describe("a swatch's own colour comes back", () => {
  test("within 0.1 CIEDE2000 from sRGB, unless it is said to be clamped", () => {
    const colour = fc.integer({ min: 0, max: 0xffffff });
    fc.assert(
      fc.property(colour, (value) => {
        const hex = `#${value.toString(16).padStart(6, "0")}`;
        const dye = dyeSeen(hex);
        const back = predict(wool, [{ dye, depthPct: 1 }]).lab;
        const lab = labOfHex(hex);
        if (!lab) throw new Error(hex);
        const clamped = dye.remarks.some(({ code }) => code === "swatch.lighter");
        if (!clamped) expect(difference(back, lab)).toBeLessThan(0.1);
      }),
      { numRuns: 300 },
    );
  });

  test("when it is darker than its yarn in red, green and blue, without being clamped", () => {
    const part = (most: number) => fc.integer({ min: 20, max: most - 40 });
    fc.assert(
      fc.property(part(0xef), part(0xe6), part(0xd6), (r, g, b) => {
        const hex = `#${[r, g, b].map((v) => v.toString(16).padStart(2, "0")).join("")}`;
        expect(dyeSeen(hex).remarks).toEqual([]);
      }),
      { numRuns: 200 },
    );
  });

  test("exactly from reflectances, at one depth or at several", () => {
    const yarn = yarnSeen(bare);
    for (const depths of [[1], [0.2, 1, 3]]) {
      const dye = dyeOf(...depths.map(measured));
      for (const depthPct of depths) {
        const back = reflectanceOfDoses(yarn, [{ dye, depthPct }]);
        const truth = dyed(depthPct);
        for (const [band, r] of back.entries()) expect(r).toBeCloseTo(truth[band] ?? 0, 9);
      }
    }
  });

  test("within 0.1 from a measured CIELAB, inside sRGB or out of it", () => {
    for (const lab of [
      { l: 45, a: -35, b: -20 },
      { l: 55, a: 60, b: 50 },
      { l: 30, a: 10, b: -45 },
    ]) {
      const dye = dyeOf(onWool(1, { how: "measured", lab }));
      expect(dye.remarks).toEqual([]);
      expect(difference(predict(wool, [{ dye, depthPct: 1 }]).lab, lab)).toBeLessThan(0.1);
    }
  });

  test("at each of several depths known by colour", () => {
    const swatches = ["#d9c3ab", "#b98657", "#8a5527"].map((hex, n) =>
      onWool([0.1, 0.5, 2][n] ?? 1, typed(hex)),
    );
    const dye = dyeOf(...swatches);
    expect(dye.remarks).toEqual([]);
    for (const { depthPct, seen } of swatches) {
      const hex = seen.how === "typed" ? seen.hex : "";
      expect(predict(wool, [{ dye, depthPct }]).hex).toBe(hex);
    }
  });
});

describe("the K/S of a swatch", () => {
  // R 0.5 is K/S 0.25 and R 0.1 is 4.05 (Kubelka and Munk 1931); so 2 % added 3.8.
  const grey = (share: number): Seen => ({ how: "spectrum", reflectance: spectrumOf(() => share) });
  const swatch = { depthPct: 2, seen: grey(0.1), yarn: grey(0.5) };

  test("less its yarn's, by the depth, is its unit K/S", () => {
    const unit = unitKsOfSwatches([swatch]);
    if (refused(unit)) throw new Error(unit.say);
    for (const ks of unit) expect(ks).toBeCloseTo(1.9, 9);
  });

  test("goes on to the reflectance and the light of any dose", () => {
    const dye = dyeOf(swatch);
    const reflectance = reflectanceOfDoses(yarnSeen(grey(0.5)), [{ dye, depthPct: 1 }]);
    // 0.25 + 1.9 is 2.15, and 1 + 2.15 - sqrt(2.15 x 2.15 + 2 x 2.15) is 0.162945.
    for (const r of reflectance) expect(r).toBeCloseTo(0.162945, 6);
    expect(xyzOfReflectance(reflectance).y).toBeCloseTo(0.162945, 6);
  });
});

describe("several depths", () => {
  test("show how a dye flattens: twice the depth is less than twice the K/S", () => {
    const deep = dyed(1).map((r, band) => 0.6 * (dyed(4)[band] ?? 0) + 0.4 * r);
    const dye = dyeOf(measured(1), {
      depthPct: 4,
      seen: { how: "spectrum", reflectance: deep },
      yarn: bare,
    });
    const straight = dyeOf(measured(1));
    const yarn = yarnSeen(bare);
    const at = (one: typeof dye, depthPct: number) => predict(yarn, [{ dye: one, depthPct }]).lab.l;
    expect(at(dye, 4)).toBeGreaterThan(at(straight, 4) + 1);
    expect(at(dye, 1)).toBeCloseTo(at(straight, 1), 6);
    expect(at(dye, 8)).toBeLessThan(at(dye, 4));
  });

  test("one measured and one by colour share the measured one's shape", () => {
    const yarn = yarnSeen(bare);
    const pale = predict(yarn, [{ dye: dyeOf(measured(1)), depthPct: 0.2 }]).lab;
    const dye = dyeOf(measured(1), {
      depthPct: 0.2,
      seen: { how: "measured", lab: pale },
      yarn: bare,
    });
    const truth = unitKs(dyeOf(measured(1)).curve);
    const found = unitKs(dye.curve);
    for (const [band, ks] of truth.entries()) {
      expect(Math.abs((found[band] ?? 0) - ks)).toBeLessThan(0.05 * ks + 0.02);
    }
  });
});

describe("how well a dye is known", () => {
  test("a photograph is never surer than 3 CIEDE2000, and less with an uneven patch", () => {
    const photographed = (spread?: number) =>
      dyeOf(onWool(1, { how: "photographed", hex: "#2e6e86", ...(spread ? { spread } : {}) }))
        .uncertainty;
    expect(photographed()).toBeGreaterThanOrEqual(3);
    expect(photographed(4)).toBeGreaterThan(photographed());
  });

  const photo = (depthPct: number, hex = "#2e6e86") =>
    onWool(depthPct, { how: "photographed", hex });
  const at = (dye: ReturnType<typeof dyeOf>, depthPct: number, yarn = wool) =>
    uncertaintyAt(dye, depthPct, yarn);

  test("at a depth is that of the swatches next to it, not of the best one", () => {
    const pale = reflectanceOfDoses(yarnSeen(bare), [{ dye: dyeOf(measured(1)), depthPct: 4 }]);
    const hex = shownXyz(xyzOfReflectance(pale)).hex;
    const own = yarnSeen(bare);
    const dye = dyeOf(measured(1), {
      depthPct: 4,
      seen: { how: "photographed", hex },
      yarn: bare,
    });
    expect(dye.remarks).toEqual([]);
    expect(at(dye, 1, own)).toBeLessThan(1);
    expect(at(dye, 4, own)).toBeGreaterThanOrEqual(3);
    expect(at(dye, 8, own)).toBeGreaterThan(at(dye, 4, own));
    expect(at(dye, 2, own)).toBeGreaterThan(at(dye, 1, own));
    expect(at(dye, 2, own)).toBeLessThan(at(dye, 4, own));
    expect(dye.uncertainty).toBeGreaterThan(at(dye, 1, own));
    expect(dye.uncertainty).toBeLessThan(at(dye, 4, own));
  });

  test("a photograph is under 3 at no depth, however many there are and whatever is beside it", () => {
    const many = dyeOf(photo(1), photo(1), photo(0.5, "#5f93a3"));
    for (const depthPct of [0.25, 0.5, 0.7, 1, 2])
      expect(at(many, depthPct)).toBeGreaterThanOrEqual(3);
    const beside = dyeOf(photo(1), onWool(1, typed("#2e6e86")));
    expect(at(beside, 1)).toBeGreaterThanOrEqual(3);
  });

  test("swatches on both sides make it surer than one far off", () => {
    const hexes = ["#9fc0cb", "#5f93a3", "#2e6e86"];
    const three = dyeOf(...hexes.map((hex, n) => onWool([0.2, 0.5, 1][n] ?? 1, typed(hex))));
    const one = dyeOf(onWool(1, typed("#2e6e86")));
    expect(at(three, 0.25)).toBeLessThan(at(one, 0.25));
  });

  test("two swatches of one depth that differ are less sure by half of what they differ", () => {
    const apart = dyeOf(onWool(1, typed("#2e6e86")), onWool(1, typed("#3d7b92")));
    const [a, b] = [labOfHex("#2e6e86"), labOfHex("#3d7b92")];
    if (!a || !b) throw new Error("both can be read");
    expect(at(apart, 1)).toBeCloseTo(Math.hypot(2, difference(a, b) / 2), 6);
  });

  test("a contradiction between two depths makes both less sure, and no third one", () => {
    const swatches = [photo(0.1, "#d4dcd6"), photo(1), photo(2, "#9fc0cb")];
    const dye = dyeOf(...swatches);
    const sound = dyeOf(...swatches.slice(0, 2));
    expect(dye.remarks.map(({ code }) => code)).toEqual(["swatch.contradicts"]);
    expect(at(dye, 1)).toBeGreaterThan(at(sound, 1) + 0.5);
    expect(at(dye, 2)).toBeGreaterThan(at(sound, 1) + 0.5);
    expect(at(dye, 0.1)).toBe(at(sound, 0.1));
  });

  test("another yarn adds to it only where the nearest swatches are on another", () => {
    const grey = typed("#b8b8b8");
    const dye = dyeOf(
      { ...onWool(0.5, typed("#5f93a3")), yarnId: "quay" },
      { depthPct: 2, seen: typed("#1b4456"), yarn: grey, yarnId: "tweed" },
    );
    const quay = yarnSeen(typed(woolHex), "quay");
    const tweed = yarnSeen(grey, "tweed");
    expect(at(dye, 0.5, quay)).toBe(2);
    expect(at(dye, 0.5, tweed)).toBeCloseTo(Math.hypot(2, 2), 9);
    expect(at(dye, 2, tweed)).toBe(2);
    expect(at(dye, 2, quay)).toBeGreaterThan(2);
  });

  test("what is left out does not count", () => {
    const right = [onWool(0.2, typed("#e8d0a0")), onWool(1, typed("#d39a2c"))];
    const dye = dyeOf(onWool(0.1, typed("#ffffff")), ...right);
    expect(dye.sureties.map(({ depthPct }) => depthPct)).toEqual([0.2, 1]);
    expect(dye.say).toMatch(/^Fairly known: 2 swatches/);
  });

  test("a measured reflectance is known well and a photograph roughly, in words", () => {
    expect(dyeOf(measured(1))).toMatchObject({ known: "well", spectral: true });
    const rough = dyeOf(onWool(1, { how: "photographed", hex: "#2e6e86" }));
    expect(rough).toMatchObject({ known: "roughly", spectral: false });
    expect(rough.say).toMatch(/^Roughly known: one swatch/);
  });
});

describe("a swatch that cannot be right", () => {
  test.each([
    ["at depth 0", onWool(0, typed("#2e6e86")), "swatch.noDepth"],
    ["at a depth that is no number", onWool(Number.NaN, typed("#2e6e86")), "swatch.noDepth"],
    ["wet", { ...onWool(1, typed("#2e6e86")), wet: true }, "swatch.wet"],
    ["in no colour", onWool(1, typed("teal")), "colour.noHex"],
    [
      "with an L* over 100",
      onWool(1, { how: "measured", lab: { l: 104, a: 0, b: 0 } }),
      "colour.fluorescent",
    ],
    [
      "that fluoresces",
      onWool(1, { how: "spectrum", reflectance: spectrumOf((_, nm) => (nm === 520 ? 1.3 : 0.6)) }),
      "colour.fluorescent",
    ],
    [
      "with a reflectance that is no number",
      onWool(1, { how: "spectrum", reflectance: spectrumOf(() => Number.NaN) }),
      "colour.noSpectrum",
    ],
  ])("%s is refused with a sentence, and left out where there is another", (_, swatch, code) => {
    const alone = calibrate([swatch]);
    if (!refused(alone)) throw new Error("not refused");
    expect(alone.code).toBe(code);
    expect(alone.say).toMatch(/\.$/);
    const beside = dyeOf(swatch, onWool(1, typed("#2e6e86")));
    expect(beside.remarks).toEqual([{ swatch: 0, code, say: alone.say }]);
    expect(predict(wool, [{ dye: beside, depthPct: 1 }]).hex).toBe("#2e6e86");
  });

  test("none at all is refused", () => {
    expect(calibrate([])).toMatchObject({ code: "swatch.none" });
  });

  test("lighter than its yarn is clamped to the yarn and said to be", () => {
    const grey = typed("#808080");
    const dye = dyeOf({ depthPct: 1, seen: typed("#ffffff"), yarn: grey });
    expect(dye.remarks.map(({ code }) => code)).toEqual(["swatch.lighter"]);
    expect(predict(yarnSeen(grey), [{ dye, depthPct: 5 }]).hex).toBe("#808080");
  });

  test("lighter than its yarn is left out where others are right", () => {
    const right = [onWool(0.2, typed("#e8d0a0")), onWool(1, typed("#d39a2c"))];
    expect(codes(...right, onWool(0.5, typed("#ffffff")))).toEqual(["swatch.leftOut"]);
  });

  test("of its yarn's colour says that nothing is known", () => {
    expect(codes(onWool(1, typed(woolHex)))).toEqual(["swatch.nothing"]);
  });

  test("black is said to hide its dye, and still gives a colour at every depth", () => {
    const dye = dyeSeen("#000000");
    expect(dye.remarks.map(({ code }) => code)).toEqual(["swatch.black"]);
    for (const depthPct of [0.001, 0.1, 1, 100]) {
      const { lab } = predict(wool, [{ dye, depthPct }]);
      expect(lab.l).toBeGreaterThanOrEqual(0);
      expect(lab.l).toBeLessThan(92);
    }
  });

  test("white on a white yarn does not break anything", () => {
    const white = typed("#ffffff");
    const dye = dyeOf({ depthPct: 1, seen: white, yarn: white });
    expect(predict(yarnSeen(white), [{ dye, depthPct: 1 }]).hex).toBe("#ffffff");
  });
});

describe("swatches that contradict each other", () => {
  test("because the deeper one is weaker", () => {
    expect(codes(onWool(1, typed("#2e6e86")), onWool(2, typed("#9fc0cb")))).toContain(
      "swatch.contradicts",
    );
  });

  test("because they look like two dyes", () => {
    expect(codes(onWool(1, typed("#2e6e86")), onWool(1.5, typed("#8a1f1f")))).toContain(
      "swatch.contradicts",
    );
  });

  test("because one depth has two colours", () => {
    expect(codes(onWool(1, typed("#2e6e86")), onWool(1, typed("#5590a6")))).toContain(
      "swatch.contradicts",
    );
  });

  test("are less sure than those that agree", () => {
    const agree = dyeOf(onWool(1, typed("#2e6e86")), onWool(0.5, typed("#5f93a3")));
    const differ = dyeOf(onWool(1, typed("#2e6e86")), onWool(2, typed("#9fc0cb")));
    expect(agree.remarks).toEqual([]);
    expect(differ.uncertainty).toBeGreaterThan(agree.uncertainty);
  });
});
