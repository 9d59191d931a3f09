import { describe, expect, test } from "vitest";
import { difference } from "../../shared/colour/difference.ts";
import { dyeOfSwatch, predict, predictZones, yarnOfBase } from "../../shared/colour/predict.ts";
import { MOST_PATCHES, predictSkein } from "../../shared/colour/skein.ts";
import { labOfHex } from "../../shared/colour/tone.ts";
import { depthPct } from "../../shared/dye/depth.ts";
import { dyeTint, predictedSkein, skeinColour } from "../../shared/session/predicted.ts";
import { sayPredicted } from "../../shared/session/sayPredicted.ts";
import type { Dye, Setup } from "../../shared/session/setup.ts";
import { publicView } from "../../shared/session/views/publicView.ts";
import { Desk } from "../scenario/desk.ts";

const doneDesk = () => {
  const desk = Desk.live();
  for (let at = 0; at < 40 && desk.state.phase === "live"; at++) {
    if (Object.values(desk.state.bench.steps).length === desk.state.setup.steps.length) break;
    desk.advance();
  }
  return desk;
};

const dosesIn = (setup: Setup, dyes: Readonly<Record<string, number>>, massUg: number) =>
  Object.entries(dyes).flatMap(([id, ug]) => {
    const dye = dyeOfSwatch(setup.dyes[id] as Dye);
    return dye ? [{ dye, depthPct: depthPct(ug, massUg) }] : [];
  });

describe("the predicted colour of a session's skein", () => {
  const { state } = doneDesk();

  test("is that of its pours zone by zone", () => {
    let patched = 0;
    for (const [id, { skein }] of Object.entries(state.bench.skeins)) {
      const yarn = yarnOfBase(state.setup.bases[skein.base] as { id: string; hex: string });
      if (!yarn) throw new Error("the yarn has a colour");
      const pours = state.bench.poured.flatMap(({ pour, doses }) =>
        doses
          .filter((dose) => dose.skein === id)
          .map(({ dyes }) => ({
            coverage: pour.coverage,
            doses: dosesIn(state.setup, dyes, skein.massUg),
          })),
      );
      const zones = predictZones(yarn, pours);
      const colour = skeinColour(state, id);
      expect(colour.ground.hex).toBe(zones.ground.hex);
      expect(colour.patches.map(({ hex }) => hex)).toEqual(
        zones.patches.map((patch) => patch.colour.hex),
      );
      patched += colour.patches.length;
    }
    expect(patched).toBeGreaterThan(2);
  });

  test("shows specks on a speckled skein, deeper than its ground", () => {
    const speckled = Object.values(state.bench.poured).find(
      ({ pour }) => pour.technique === "speckled",
    );
    const id = speckled?.doses[0]?.skein ?? "";
    const { ground, patches } = skeinColour(state, id);
    const specks = patches.find((patch) => patch.specks);
    expect(specks?.coverage).toBe(speckled?.pour.coverage);
    expect(labOfHex(specks?.hex ?? "")?.l).toBeLessThan(labOfHex(ground.hex)?.l ?? 0);
  });

  test("goes to viewers with its uncertainty, and no swatch with it", () => {
    const view = publicView(state);
    for (const skein of Object.values(view.skeins)) {
      expect(skein.colour.ground.uncertainty).toBeGreaterThan(0);
      expect(["well", "fairly", "roughly"]).toContain(skein.colour.known);
    }
    expect(Object.keys(view.dyes.saltmarsh ?? {}).sort()).toEqual(["hex", "name", "uncertainty"]);
  });

  test("is said to be predicted, with how well it is known", () => {
    const colours = Object.keys(state.bench.skeins).map((id) => skeinColour(state, id));
    expect(sayPredicted(colours)).toMatch(
      /^colours predicted, (well|fairly|roughly) known, ±\u202f\d+ CIEDE2000/,
    );
    expect(sayPredicted([])).toBe("");
  });
});

describe("swatches of a dye", () => {
  const base = {
    id: "quay",
    name: "Quay sock",
    fibres: [],
    superwash: true,
    hex: "#efe6d6",
    flecks: [],
  };
  const typed: Dye = {
    id: "tide",
    name: "Tidewrack",
    hex: "#5d6b3f",
    swatchDepthPct: 1,
    swatchBaseHex: "#efe6d6",
    hazards: [],
  };
  const yarn = { how: "typed", hex: "#efe6d6" } as const;
  const lab = { l: 41, a: -14, b: 21 };
  const measured: Dye = {
    ...typed,
    swatches: [
      {
        depthPct: 0.5,
        seen: { how: "measured", lab: { l: 55, a: -13, b: 24 } },
        yarn,
        yarnId: "quay",
      },
      { depthPct: 2, seen: { how: "measured", lab }, yarn, yarnId: "quay" },
    ],
  };
  // 2 % of 50 g is 1 g.
  const skeinOf = (dye: Dye) =>
    predictedSkein(base, 50_000_000, { tide: dye }, { tide: 1_000_000 }, []);

  test("take the place of the colour that was typed for it", () => {
    expect(skeinOf(measured).ground.hex).not.toBe(skeinOf(typed).ground.hex);
    expect(skeinOf(measured).ground.uncertainty).toBeLessThan(skeinOf(typed).ground.uncertainty);
  });

  test("come back within 0.1 CIEDE2000", () => {
    const dye = dyeOfSwatch(measured);
    const wool = yarnOfBase(base);
    if (!dye || !wool) throw new Error("both can be read");
    const back = predict(wool, [{ dye, depthPct: 2 }]).lab;
    expect(difference(back, lab)).toBeLessThan(0.1);
  });

  test("that cannot be used leave the typed colour in force", () => {
    const bright = { how: "measured", lab: { l: 102, a: 0, b: 0 } } as const;
    const spoilt: Dye = { ...typed, swatches: [{ depthPct: 1, seen: bright, yarn }] };
    expect(skeinOf(spoilt).ground.hex).toBe(skeinOf({ ...typed }).ground.hex);
  });

  test("show in the dye's own chip", () => {
    expect(dyeTint(typed).hex).toBe(typed.hex);
    expect(dyeTint(measured).hex).not.toBe(typed.hex);
  });
});

describe("patches of one skein", () => {
  const wool = yarnOfBase({ hex: "#efe6d6" });
  const dye = dyeOfSwatch({ hex: "#22344f", swatchDepthPct: 1, swatchBaseHex: "#efe6d6" });
  if (!wool || !dye) throw new Error("both can be read");
  const laid = (source: string, technique: string, coverage = 0.1) => ({
    source,
    technique,
    coverage,
    doses: [{ dye, depthPct: 0.1 }],
  });

  test("painted again at one place are one patch of twice the depth", () => {
    const zones = predictSkein(wool, [], [laid("a", "painted"), laid("a", "painted")]);
    expect(zones.patches).toHaveLength(1);
    expect(zones.patches[0]?.coverage).toBe(0.1);
    expect(zones.patches[0]?.colour.hex).toBe(predict(wool, [{ dye, depthPct: 2 }]).hex);
  });

  test("speckled again touch more of it", () => {
    const zones = predictSkein(wool, [], [laid("a", "speckled"), laid("a", "speckled")]);
    expect(zones.patches[0]?.coverage).toBeCloseTo(0.19, 12);
  });

  test("are no more than six, however many pours there were", () => {
    const many = Array.from({ length: 40 }, (_, at) => laid(`bottle ${at}`, "dripped", 0.05));
    expect(predictSkein(wool, [], many).patches).toHaveLength(MOST_PATCHES);
  });
});
