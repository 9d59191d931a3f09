import { describe, expect, test } from "vitest";
import type { OverlayParts, OverlayView } from "../../shared/session/event.ts";
import { allParts } from "../../shared/session/state.ts";
import {
  justPouredMs,
  type Main,
  overlayScene,
  type Scene,
} from "../../shared/session/views/overlayScene.ts";
import { publicView } from "../../shared/session/views/publicView.ts";
import { Desk, harbourSheet, pourOf, setupOf } from "../scenario/desk.ts";

const room = { since: 0, tallyRoom: 8 };

/** What the page draws `afterMs` after the last thing that happened at the desk. */
function sceneOf(desk: Desk, afterMs = 1_000, showing = room): Scene {
  const lastAt = desk.events.at(-1)?.at ?? 0;
  return overlayScene(publicView(desk.state), lastAt + afterMs, showing);
}

type Shown<Any extends Main, Kind> = Any extends Main
  ? Kind extends Any["kind"]
    ? Any
    : never
  : never;

function mainOf<Kind extends Main["kind"]>(desk: Desk, kind: Kind, afterMs?: number) {
  const { main } = sceneOf(desk, afterMs);
  if (main.kind !== kind) throw new Error(`It shows ${main.kind}, not ${kind}.`);
  return main as Shown<Main, Kind>;
}

function show(desk: Desk, view: OverlayView, parts: Partial<OverlayParts> = {}): void {
  desk.must({ type: "show", view, parts: { ...allParts, ...parts } });
}

/** Makes the `n`th step of the demonstration session the next one. */
function choose(desk: Desk, n: number): void {
  desk.must({ type: "choose", step: desk.state.setup.steps[n - 1]?.id ?? "" });
}

describe("before and after a session", () => {
  test("says what is going to happen: pours, pans, yarn and dyes", () => {
    const main = mainOf(new Desk(), "waiting");
    expect(main.kicker).toBe("Coming up: 15 pours into 3 pans");
    expect(main.title).toBe("Harbour at dusk");
    expect(main.lines).toEqual([
      "6 skeins of Quay sock, 300\u202fg",
      "1 skein of Creel tweed, 100\u202fg",
    ]);
    expect(main.strips.map(({ name }) => name)).toContain("Saltmarsh");
    expect(main.moreStrips).toBe(0);
  });

  test("counts yarns and dyes that there is no room for", () => {
    const sheet = harbourSheet();
    const base = sheet.bases[0];
    const dye = sheet.dyes[0];
    const ids = ["m", "n", "o", "p"];
    const desk = new Desk(
      setupOf({
        ...sheet,
        bases: [...sheet.bases, ...ids.map((id) => ({ ...base, id, name: id }))],
        dyes: [...sheet.dyes, ...ids.map((id) => ({ ...dye, id, name: id }))],
        skeins: [...sheet.skeins, ...ids.map((id) => ({ id, name: id, base: id, g: 50 }))],
      }),
    );
    const main = mainOf(desk, "waiting");
    expect(main.lines).toEqual(["6 skeins of Quay sock, 300\u202fg", "and 5 more yarns"]);
    expect(main.strips).toHaveLength(6);
    expect(main.moreStrips).toBe(4);
  });

  test("says when it is done", () => {
    const desk = Desk.live();
    desk.must({ type: "close" });
    expect(mainOf(desk, "closed").kicker).toBe("Done, 0 pours made");
  });
});

describe("a pour", () => {
  test("shows stock, strength, volume on its rule, place and what it does to the depth", () => {
    const desk = Desk.live();
    choose(desk, 11);
    const main = mainOf(desk, "pour");
    expect(main.title).toEqual({ before: "", name: "Saltmarsh", after: " 1\u202f%" });
    expect(main.where).toEqual({ before: "into pan ", name: "B", after: ", skeins 3 and 4" });
    expect(main.manner).toBe("immersion");
    expect(main.amount).toMatchObject({
      label: "Volume",
      figure: "37.5",
      unit: "mL",
      about: false,
    });
    expect(main.amount.rule).toMatchObject({ volumeUl: 37_500, plusMinusUl: 0 });
    // 37.5 mL of 1 % over 100 g is 0.375 g of dye: 0.375 % owf.
    expect(main.depth).toEqual({
      label: "Depth of shade",
      rows: [{ whose: "", before: "0", after: "0.38" }],
    });
    expect(main.pan?.hanks.map(({ label, ringed }) => [label, ringed])).toEqual([
      ["3", true],
      ["4", true],
    ]);
  });

  test("counts itself after those that were made, of all made and planned", () => {
    const desk = Desk.live();
    desk.advance();
    expect(mainOf(desk, "pour").kicker).toBe("Pour 1 of 15");
    desk.must({ type: "pour", pour: pourOf("lantern", 1_000) });
    expect(mainOf(desk, "pour", justPouredMs + 1).kicker).toBe("Pour 2 of 16");
    desk.must({ type: "skip", expect: desk.state.setup.steps[1]?.id ?? "" });
    expect(mainOf(desk, "pour", justPouredMs + 1_001).kicker).toBe("Pour 2 of 15");
  });

  test("keeps the average and what it adds where it touches apart", () => {
    const desk = Desk.live();
    choose(desk, 19);
    const main = mainOf(desk, "pour");
    // 1.2 mL of 1 % on 50 g: 0.024 % on average, twenty times that on a twentieth of the skein.
    expect(main.depth).toEqual({
      label: "Depth on average",
      rows: [{ whose: "", before: "0", after: "0.024" }],
      local: "+0.48\u202f%",
    });
    expect(main.amount.label).toBe("24 drops");
    expect(main.manner).toBe("dripped, spaced along the hank");
  });

  test("names two skeins whose depths differ, and of many the least and the most", () => {
    const desk = Desk.live();
    choose(desk, 16);
    expect(mainOf(desk, "pour").depth?.rows).toEqual([
      { whose: "5", before: "0", after: "0.80" },
      { whose: "6", before: "0", after: "0.40" },
    ]);
    const sheet = harbourSheet();
    const shares = { 1: 1, 2: 2, 3: 3, 4: 4, 5: 5 };
    const many = Desk.live(
      setupOf({
        ...sheet,
        skeins: sheet.skeins.map((skein) => ({ ...skein, pan: "A" })),
        steps: [{ kind: "pour", stock: "saltmarsh", pan: "A", skeins: shares, amount: { mL: 75 } }],
      }),
    );
    expect(mainOf(many, "pour").depth?.rows).toEqual([
      { whose: "least", before: "0", after: "0.10" },
      { whose: "most", before: "0", after: "0.50" },
    ]);
    expect(mainOf(many, "pour").where.after).toBe(", 5 skeins");
  });

  test("says about in volume and in depth while an amount is an estimate", () => {
    const desk = Desk.live();
    choose(desk, 20);
    const main = mainOf(desk, "pour");
    expect(main.amount).toMatchObject({ about: true, label: "About, ±\u202f5\u202fmL" });
    expect(main.amount.rule?.plusMinusUl).toBe(5_000);
    expect(main.depth?.label).toBe("Depth of shade, about");
  });

  test("says about until the bottle was read, then keeps only the doubt of the reading", () => {
    const desk = Desk.live();
    const amount = { how: "unsettled", volumeUl: 20_000, plusMinusUl: 6_000 } as const;
    const source = { from: "vessel", vessel: "lantern", amount } as const;
    desk.must({ type: "pour", pour: pourOf("lantern", 20_000, { source }) });
    expect(mainOf(desk, "pour").amount).toMatchObject({ figure: "20", about: true });
    desk.must({
      type: "read",
      vessel: "lantern",
      reading: { by: "level", leftUl: 131_500, plusMinusUl: 500 },
    });
    expect(mainOf(desk, "pour").amount).toMatchObject({
      figure: "18.5",
      about: false,
      label: "Volume, ±\u202f0.5\u202fmL",
    });
  });

  test("shows powder by its mass, on no rule", () => {
    const desk = Desk.live();
    choose(desk, 5);
    const main = mainOf(desk, "pour");
    expect(main.title).toEqual({ before: "", name: "Slipway", after: " powder" });
    expect(main.amount).toMatchObject({ figure: "60", unit: "mg", about: true });
    expect(main.amount.rule).toBeUndefined();
    expect(main.strip.dry).toBe(true);
    expect(main.manner).toBe("speckled dry, a pinch from 30 cm above");
  });

  test("shows the amount as the dyer has adjusted it", () => {
    const desk = Desk.live();
    choose(desk, 11);
    desk.must({
      type: "adjust",
      expect: desk.state.setup.steps[10]?.id ?? "",
      amount: { of: "volume", amount: { how: "measured", volumeUl: 50, plusMinusUl: 0 } },
    });
    expect(mainOf(desk, "pour").amount.figure).toBe("0.05");
  });

  test("that was not planned takes over for 12 seconds after it was made", () => {
    const desk = Desk.live();
    desk.must({ type: "pour", pour: pourOf("deepwater", 5_000) });
    const main = mainOf(desk, "pour", justPouredMs - 1);
    expect(main).toMatchObject({ just: true, kicker: "Just poured, 1 of 16" });
    expect(main.depth?.rows).toEqual([{ whose: "", before: "0", after: "0.050" }]);
    mainOf(desk, "add", justPouredMs);
    desk.undo();
    mainOf(desk, "add");
  });

  test("fills a hank by how far its depth has come of all that is planned", () => {
    const desk = Desk.live();
    desk.advance();
    const before = mainOf(desk, "pour").pan?.hanks.map(({ fill }) => fill);
    expect(before).toEqual([0, 0]);
    desk.advance();
    // Skein 1: 0.4 of 0.4 + 0.12; skein 2: 0.4 of 0.4 + 0.3 + 0.12.
    const [first, second] = mainOf(desk, "pour").pan?.hanks ?? [];
    expect(first?.fill).toBeCloseTo(0.4 / 0.52, 4);
    expect(second?.fill).toBeCloseTo(0.4 / 0.82, 4);
  });
});

describe("what is hidden", () => {
  test("parts go one by one, the volume never", () => {
    const desk = Desk.live();
    choose(desk, 11);
    show(desk, "auto", { depth: false });
    expect(mainOf(desk, "pour").depth).toBeUndefined();
    expect(mainOf(desk, "pour").pan).toBeUndefined();
    show(desk, "auto", { rule: false });
    expect(mainOf(desk, "pour").amount.rule).toBeUndefined();
    expect(mainOf(desk, "pour").depth).toBeDefined();
    show(desk, "auto", { count: false });
    expect(mainOf(desk, "pour").kicker).toBe("Pouring now");
    show(desk, "auto", { depth: false, rule: false, timers: false, count: false });
    expect(mainOf(desk, "pour").amount).toMatchObject({ figure: "37.5", unit: "mL" });
  });

  test("hidden leaves nothing, timers neither", () => {
    const desk = Desk.live();
    desk.until(desk.state.setup.steps[6]?.id ?? "");
    expect(sceneOf(desk).timers).toHaveLength(1);
    show(desk, "hidden");
    expect(sceneOf(desk)).toEqual({ main: { kind: "none" }, timers: [], moreTimers: 0 });
  });
});

describe("heat, rest and timers", () => {
  test("a heat step that is next says how long and what for", () => {
    const desk = Desk.live();
    choose(desk, 6);
    const main = mainOf(desk, "heat");
    expect(main.title).toEqual({ before: "Steam pan ", name: "A", after: "" });
    expect(main.lines).toEqual(["waiting for the bath to clear", "at 98\u202f°C"]);
    expect(main.time).toMatchObject({ figure: "25", unit: "min", leftS: 1500, totalS: 1500 });
  });

  test("a step that is waited for counts down in the main panel and not beside it", () => {
    const desk = Desk.live();
    choose(desk, 22);
    desk.advance();
    const main = mainOf(desk, "heat", 61_000);
    expect(main.title).toEqual({ before: "Pan ", name: "C", after: " resting" });
    expect(main.time).toMatchObject({ figure: "18:59", label: "left of 20\u202fmin" });
    expect(sceneOf(desk).timers).toEqual([]);
    expect(mainOf(desk, "heat", 1_200_000).time.figure).toBe("time is up");
  });

  test("what goes on beside is timed apart, the soonest first, the rest counted", () => {
    const desk = Desk.live();
    for (const [at, minutes] of [90, 30, 60, 200].entries()) {
      const timer = { timer: `t${at}`, how: "oven", pan: "B", waitingFor: "" } as const;
      desk.must({ type: "timerStart", ...timer, seconds: minutes * 60 });
    }
    const { timers, moreTimers } = sceneOf(desk, 60_000);
    expect(timers.map(({ figure }) => figure)).toEqual(["28:58", "58:59", "1:28:57"]);
    expect(timers[0]?.title).toEqual({ before: "Pan ", name: "B", after: " in the oven" });
    expect(moreTimers).toBe(1);
    expect(sceneOf(desk, 7_200_000).timers[0]?.figure).toBe("time is up");
  });
});

describe("acid, salt and water", () => {
  test("an addition shows its amount and what becomes of the bath", () => {
    const main = mainOf(Desk.live(), "add");
    expect(main.title).toBe("White vinegar 5 %");
    expect(main.amount).toMatchObject({ figure: "30", unit: "mL", label: "Volume" });
    expect(main.bath).toEqual({ before: "1,500", after: "1,530\u202fmL" });
  });
});

describe("tally and recap", () => {
  test("the tally lists every skein with its depth and what went in, most first", () => {
    const desk = Desk.live();
    for (let n = 0; n < 3; n += 1) desk.advance();
    show(desk, "tally");
    const main = mainOf(desk, "tally");
    expect(main.kicker).toBe("2 pours, colours predicted");
    expect(main.lots).toHaveLength(7);
    const [, second] = main.lots;
    expect(second).toMatchObject({ name: "Skein 2", of: "Rust ladder", depth: "0.70\u202f%" });
    expect(second?.dyes.map(({ name, depth }) => `${name} ${depth}`)).toEqual([
      "Lantern 0.40\u202f%",
      "Slipway 0.30\u202f%",
    ]);
  });

  test("skeins of one colourway are one lot, with the depth over all their fibre", () => {
    const sheet = harbourSheet();
    const skeins = sheet.skeins.map((skein) =>
      skein.id === "2" ? { ...skein, g: 150, colourway: "first-lamp" } : skein,
    );
    const desk = Desk.live(setupOf({ ...sheet, skeins }));
    // 20 mL of 1 % on the first skein alone: 0.2 g over 200 g of that colourway.
    desk.must({ type: "pour", pour: pourOf("lantern", 20_000, { skeins: ["1"] }) });
    show(desk, "recap");
    const { lots } = mainOf(desk, "recap").recap;
    expect(lots).toHaveLength(1);
    expect(lots[0]).toMatchObject({ name: "First lamp", massUg: 200_000_000, dyeUg: 200_000 });
    expect(lots[0]?.depthPct).toBeCloseTo(0.1, 12);
  });

  test("what does not fit goes on further leaves, each up as long as it takes to read", () => {
    const desk = Desk.live();
    show(desk, "tally");
    const since = desk.events.at(-1)?.at ?? 0;
    const leaf = (afterMs: number) => {
      const { main } = sceneOf(desk, afterMs, { ...room, since, tallyRoom: 4 });
      return main.kind === "tally" ? `${main.lots.length} on ${main.page} of ${main.pages}` : "";
    };
    expect(leaf(0)).toBe("4 on 1 of 2");
    expect(leaf(11_999)).toBe("4 on 1 of 2");
    expect(leaf(12_000)).toBe("3 on 2 of 2");
    expect(leaf(24_000)).toBe("4 on 1 of 2");
  });

  test("when all steps are done the tally is shown by itself", () => {
    const sheet = harbourSheet();
    const desk = Desk.live(setupOf({ ...sheet, steps: sheet.steps.slice(1, 2) }));
    desk.advance();
    mainOf(desk, "tally");
  });
});
