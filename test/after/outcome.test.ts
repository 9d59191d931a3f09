import { describe, expect, test } from "vitest";
import { sightedOf } from "../../shared/colour/seen.ts";
import { refused } from "../../shared/dye/refusal.ts";
import { planOfSetup } from "../../shared/plan/planOfSetup.ts";
import { changed } from "../../shared/prepare/preparation.ts";
import type { AfterCommand } from "../../shared/session/command.ts";
import { compared, comparison } from "../../shared/session/outcome.ts";
import { predictedZones, type Zone } from "../../shared/session/predicted.ts";
import { swatchOfResult } from "../../shared/shelf/fromResult.ts";
import { Desk, pourOf } from "../scenario/desk.ts";

type Seen = NonNullable<Extract<AfterCommand, { type: "result" }>["seen"]>;

const dayOf = (at: number) => new Date(at).toISOString().slice(0, 10);

/** A closed session whose pan A holds skein 1 alone, with these pours on it. */
function dyed(...pours: Parameters<typeof pourOf>[]): Desk {
  const desk = Desk.live();
  for (const { skein, pan } of Object.values(desk.state.bench.skeins)) {
    if (pan === "A" && skein.id !== "1")
      desk.must({ type: "skeinMove", skein: skein.id, to: null });
  }
  if (desk.state.bench.skeins["1"]?.pan !== "A") {
    desk.must({ type: "skeinMove", skein: "1", to: "A" });
  }
  for (const pour of pours) desk.must({ type: "pour", pour: pourOf(...pour) });
  desk.must({ type: "close" });
  return desk;
}

const result = (desk: Desk, seen: Seen, skein = "1") =>
  desk.must({ type: "after", command: { type: "result", skein, seen, words: "" } });
const shelfOf = (desk: Desk) => planOfSetup(desk.state.setup).shelf;
const offerOf = (desk: Desk) => swatchOfResult(desk.state, "1", shelfOf(desk), dayOf);
const codeOf = (desk: Desk) => {
  const offer = offerOf(desk);
  return refused(offer) ? offer.code : "offered";
};

describe("a result beside its prediction", () => {
  const lab = { l: 50, a: 2.6772, b: -79.7751 };
  const zone: Zone = { coverage: 1, patch: false, lab, hex: "#0000ff", uncertainty: 1 };

  test("is told by CIEDE2000", () => {
    // Pair 1 of the table in Sharma, Wu and Dalal 2005: 2.0425.
    const seen = sightedOf({ how: "measured", lab: { l: 50, a: 0, b: -82.7485 } });
    if (refused(seen)) throw new Error(seen.say);
    expect(compared(seen, [zone])?.difference).toBeCloseTo(2.0425, 4);
  });

  test("is as predicted, near or off by what could be expected of both", () => {
    const fitOf = (l: number) => {
      const seen = sightedOf({ how: "measured", lab: { ...lab, l } });
      if (refused(seen)) throw new Error(seen.say);
      return compared(seen, [zone]);
    };
    // The doubts of a prediction good to 1 and a measurement good to 0.7 add as squares: 1.22.
    expect(fitOf(51)).toMatchObject({ fit: "as predicted", doubt: Math.hypot(1, 0.7) });
    expect(fitOf(52)).toMatchObject({ fit: "near" });
    expect(fitOf(60)).toMatchObject({ fit: "off" });
    expect(fitOf(60)?.say).toMatch(/^\d+\.\d CIEDE2000 from the prediction, lighter: well off\./);
    expect(fitOf(40)?.say).toContain(", darker:");
  });

  test("is held against the nearest colour of a skein in several", () => {
    const desk = dyed(
      ["saltmarsh", 20_000],
      ["lantern", 10_000, { coverage: 0.25, technique: "painted" }],
    );
    const [ground, patch] = predictedZones(desk.state, "1");
    if (!ground || !patch) throw new Error("no zones");
    result(desk, { how: "measured", lab: patch.lab });
    expect(comparison(desk.state, "1")).toMatchObject({ place: 1, zones: 2, fit: "as predicted" });
    expect(comparison(desk.state, "1")?.difference).toBeCloseTo(0, 6);
    result(desk, { how: "measured", lab: ground.lab });
    expect(comparison(desk.state, "1")).toMatchObject({ place: 0 });
  });

  test("is none without a colour", () => {
    const desk = dyed(["saltmarsh", 20_000]);
    expect(comparison(desk.state, "1")).toBeNull();
  });
});

describe("a swatch out of a result", () => {
  const colour: Seen = { how: "measured", lab: { l: 55, a: -12, b: -20 } };

  test("is of the one dye, at the depth that was offered, and is one swatch however often", () => {
    const desk = dyed(["saltmarsh", 20_000]);
    // It is measured when it is dry, two days after it was dyed.
    const dry = { type: "result" as const, skein: "1", seen: colour, words: "" };
    expect(desk.try({ type: "after", command: dry }, 2 * 86_400_000).ok).toBe(true);
    const offer = offerOf(desk);
    if (refused(offer)) throw new Error(offer.say);
    // 20 mL of 1 % w/v hold 0.2 g; on 50 g of fibre that is 0.4 %.
    expect(offer.swatch).toMatchObject({
      dye: "saltmarsh",
      base: "quay",
      depthPct: 0.4,
      seen: colour,
      madeOn: "2031-05-17",
      retired: false,
    });
    const prepared = { shelf: shelfOf(desk), plans: {} };
    const shelve = { change: "shelve" as const, part: "swatches" as const, item: offer.swatch };
    const once = changed(prepared, shelve);
    if (!("prepared" in once)) throw new Error(once.say);
    const twice = changed(once.prepared, shelve);
    if (!("prepared" in twice)) throw new Error(twice.say);
    expect(twice.prepared.shelf.swatches).toHaveLength(shelfOf(desk).swatches.length + 1);
  });

  test("is none of a mix, of a part, of nothing, of a guess, or of what ran out", () => {
    const mix = dyed(["saltmarsh", 20_000], ["lantern", 5_000]);
    result(mix, colour);
    expect(offerOf(mix)).toMatchObject({
      code: "result.mix",
      say: expect.stringMatching(/^(Saltmarsh and Lantern|Lantern and Saltmarsh) lie on it/),
    });
    const part = dyed(["saltmarsh", 20_000, { coverage: 0.5, technique: "painted" }]);
    result(part, colour);
    expect(codeOf(part)).toBe("result.partly");
    const bare = dyed();
    result(bare, colour);
    expect(codeOf(bare)).toBe("result.undyed");
    expect(codeOf(dyed(["saltmarsh", 20_000]))).toBe("result.noColour");
    const guess = dyed([
      "saltmarsh",
      20_000,
      {
        source: {
          from: "vessel",
          vessel: "saltmarsh",
          amount: { how: "estimated", volumeUl: 20_000, plusMinusUl: 4_000 },
        },
      },
    ]);
    result(guess, colour);
    expect(codeOf(guess)).toBe("result.doubt");
    const bleeding = dyed(["saltmarsh", 20_000]);
    result(bleeding, colour);
    const rinse = { type: "rinse" as const, skeins: ["1"], words: "" };
    bleeding.must({ type: "after", command: { ...rinse, water: "much" } });
    expect(codeOf(bleeding)).toBe("result.bleeds");
    bleeding.must({ type: "after", command: { ...rinse, water: "some" } });
    const offer = offerOf(bleeding);
    expect(refused(offer) ? offer.say : offer.remarks).toContain(
      "Some dye came off: the depth is a little less than said.",
    );
  });

  test("is none where dye or yarn are not on the shelf", () => {
    const desk = dyed(["saltmarsh", 20_000]);
    result(desk, colour);
    const shelf = shelfOf(desk);
    const without = { ...shelf, dyes: shelf.dyes.filter(({ id }) => id !== "saltmarsh") };
    expect(swatchOfResult(desk.state, "1", without, dayOf)).toMatchObject({ code: "result.noDye" });
    const bare = { ...shelf, bases: [] };
    expect(swatchOfResult(desk.state, "1", bare, dayOf)).toMatchObject({ code: "result.noBase" });
  });

  test("moves the prediction of that dye towards what was seen", () => {
    const desk = dyed(["saltmarsh", 20_000]);
    const [zone] = predictedZones(desk.state, "1");
    if (!zone) throw new Error("no zone");
    result(desk, { how: "measured", lab: { ...zone.lab, l: zone.lab.l - 8 } });
    const before = comparison(desk.state, "1");
    const offer = offerOf(desk);
    if (!before || refused(offer)) throw new Error("no offer");
    const { depthPct, seen } = offer.swatch;
    const base = desk.state.setup.bases.quay;
    const yarn = base?.seen ?? { how: "typed" as const, hex: base?.hex ?? "" };
    const dye = desk.state.setup.dyes.saltmarsh;
    if (!dye) throw new Error("no dye");
    const swatches = [...(dye.swatches ?? []), { depthPct, seen, yarn, yarnId: "quay" }];
    const dyes = { ...desk.state.setup.dyes, saltmarsh: { ...dye, swatches } };
    const refined = { ...desk.state, setup: { ...desk.state.setup, dyes } };
    expect(comparison(refined, "1")?.difference).toBeLessThan(before.difference / 2);
  });
});
