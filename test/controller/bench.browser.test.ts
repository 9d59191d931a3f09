import type { Browser, Locator } from "playwright-core";
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from "vitest";
import demonstration from "../../server/session/harbour-at-dusk.json" with { type: "json" };
import { launchBrowser, shot } from "../browser/launch.ts";
import { type BenchClient, type House, liveHouse, until } from "../server/house.ts";
import { plain, sizes, Tablet } from "./benchTablet.ts";

let browser: Browser;
let house: House;
let token: string;
/** A second tablet at the same bench, which sees what reaches the record. */
let second: BenchClient;
let tablet: Tablet;

beforeAll(async () => {
  browser = await launchBrowser("current");
});

afterAll(async () => {
  await browser.close();
});

beforeEach(async () => {
  ({ house, token, bench: second } = await liveHouse());
  tablet = await Tablet.open(browser, house.address, { token });
});

afterEach(async () => {
  expect(tablet.errors).toEqual([]);
  await tablet.close();
  await house.close();
});

const bench = () => second.known().bench;
const vessel = (name: string) => {
  const there = Object.values(bench().vessels).find((vessel) => vessel.name === name);
  if (!there) throw new Error(`no vessel ${name}`);
  return there;
};
const acts = () => second.known().acts.map(({ act }) => act);
/** Until the second tablet has been told of so many acts. */
const recorded = (count: number) =>
  until(() => second.known().acts.length >= count, `${count} acts in the record`);
const act = (kind: string) =>
  acts()
    .filter((act) => act.kind === kind)
    .at(-1);
const unsettled = (volumeUl: number, pan = "A") =>
  second.must({
    type: "pour",
    pour: {
      source: {
        from: "vessel",
        vessel: "lantern",
        amount: { how: "unsettled", volumeUl, plusMinusUl: 5_000 },
      },
      pan,
      technique: "immersion",
      coverage: 1,
    },
  });
const pour = (vesselId: string, volumeUl: number) =>
  second.must({
    type: "pour",
    pour: {
      source: {
        from: "vessel",
        vessel: vesselId,
        amount: { how: "measured", volumeUl, plusMinusUl: 0 },
      },
      pan: "A",
      technique: "immersion",
      coverage: 1,
    },
  });

describe("a jug", () => {
  test("is mixed from stocks and water, its strength shown before it is made", async () => {
    const dialog = await tablet.bench("Jug");
    await tablet.keys("12.5");
    await expect.poll(() => tablet.typedBack()).toBe("12.5 mL");
    await tablet.tap(/^Saltmarsh/);
    await tablet.keys("20");
    await tablet.tap(/^Water/);
    await tablet.keys("30");
    const outcome = plain(await dialog.locator(".outcome").textContent());
    // 12.5 mL and 20 mL of 1 % in 62.5 mL: 325 mg in 62.5 mL is 0.52 %.
    expect(outcome).toContain("62.5 mL at 0.52 %");
    expect(outcome).toContain("Lantern0.2 %125 mg");
    expect(outcome).toContain("Saltmarsh0.32 %200 mg");
    await shot(tablet.page, "bench-jug");
    await tablet.tap("Make Jug 1");
    await expect.poll(() => tablet.said()).toBe("Jug 1 is made: 62.5 mL at 0.52 %.");
    await recorded(1);
    expect(vessel("Jug 1")).toMatchObject({
      name: "Jug 1",
      as: "jug",
      vessel: { madeUl: 62_500, madeUg: { lantern: 125_000, saltmarsh: 200_000 } },
    });
    await tablet.button("Make Jug 2").waitFor();
  });

  test("with more than a bottle holds is refused in place and changes nothing", async () => {
    await tablet.bench("Jug");
    await tablet.keys("151");
    await expect.poll(() => tablet.typedBack()).toMatch(/^Lantern 1 % does not hold so much/);
    const make = tablet.button("Make Jug 1");
    expect(await make.getAttribute("aria-disabled")).toBe("true");
    await make.click({ force: true });
    expect(acts()).toEqual([]);
  });

  test("may have a name with markup, and it stays text", async () => {
    await tablet.bench("Jug");
    await tablet.keys("5");
    // Clicked and typed, not filled: the field has to keep the focus.
    await tablet.page.getByLabel("Name").click();
    await tablet.page.keyboard.type("<b>dusk</b> 🌊");
    await tablet.tap("Make <b>dusk</b> 🌊");
    await recorded(1);
    expect(vessel("<b>dusk</b> 🌊").as).toBe("jug");
    expect(await tablet.page.locator("dialog b").count()).toBe(0);
  });
});

describe("stocks", () => {
  test("show what is left and whether it is enough for what is planned", async () => {
    const dialog = await tablet.bench("Stocks");
    await tablet.tap(/^Saltmarsh/);
    const one = dialog.locator(".stocks-one");
    expect(plain(await one.textContent())).toContain("250 mL left");
    expect(plain(await one.textContent())).toContain("117.5 mL planned in 3 pours: enough.");
    await shot(tablet.page, "bench-stocks");
    await second.must({ type: "discard", vessel: "saltmarsh", volumeUl: 150_000, how: "tipped" });
    await one.getByText("17.5").first().waitFor();
    expect(plain(await one.textContent())).toContain("17.5 mL short.");
  });

  test("are made up from powder, with the dry powder caution in sight", async () => {
    const dialog = await tablet.bench("Stocks");
    await tablet.tap("Make up from powder");
    await dialog.getByText("Dry dye powder: mask on, still air").waitFor();
    await tablet.keys("2");
    await tablet.tap(/^Made up to/);
    await tablet.keys("150");
    expect(plain(await dialog.locator(".outcome").textContent())).toContain("150 mL at 1.33 %");
    await shot(tablet.page, "bench-powder");
    await tablet.tap("Make up Lantern 2");
    await expect.poll(() => tablet.said()).toBe("Lantern 2 is made up: 150 mL at 1.33 %.");
    await recorded(1);
    expect(vessel("Lantern 2")).toMatchObject({
      name: "Lantern 2",
      as: "stock",
      vessel: { madeUl: 150_000, madeUg: { lantern: 2_000_000 } },
    });
  });

  test("of 0 % or 101 % are refused in words", async () => {
    const dialog = await tablet.bench("Stocks");
    await tablet.tap("Make up from powder");
    await dialog.getByText("A stock of 0 % has no dye in it").waitFor();
    await tablet.keys("101");
    await tablet.tap(/^Made up to/);
    await tablet.keys("100");
    await dialog.getByText("That would be 101").waitFor();
    const make = tablet.button("Make up Lantern 2");
    expect(await make.getAttribute("aria-disabled")).toBe("true");
    await make.click({ force: true });
    expect(acts()).toEqual([]);
  });

  test("are diluted into a new bottle by what to measure", async () => {
    const dialog = await tablet.bench("Stocks");
    await tablet.tap(/^Saltmarsh/, "Dilute into a new bottle");
    await tablet.keys("0.2");
    await tablet.tap(/^How much to make/);
    await tablet.keys("100");
    expect(plain(await dialog.locator(".measure").textContent())).toBe(
      "Measure 20 mL of Saltmarsh 1 % and 80 mL of water.",
    );
    await shot(tablet.page, "bench-dilute");
    await tablet.tap("Make Saltmarsh 2");
    await recorded(1);
    expect(vessel("Saltmarsh 2").vessel).toMatchObject({
      madeUl: 100_000,
      madeUg: { saltmarsh: 200_000 },
    });
    expect(vessel("Saltmarsh").vessel.drawnUl).toBe(20_000);
  });

  test("cannot be diluted to a stronger one, nor to 0 % or 101 %", async () => {
    await tablet.bench("Stocks");
    await tablet.tap("Dilute into a new bottle");
    await tablet.keys("2");
    await expect.poll(() => tablet.typedBack()).toMatch(/^Water only makes a stock weaker/);
    await tablet.page.keyboard.press("Delete");
    await tablet.keys("0");
    await expect.poll(() => tablet.typedBack()).toMatch(/^Write more than 0/);
    await tablet.page.keyboard.press("Delete");
    await tablet.keys("101");
    await expect.poll(() => tablet.typedBack()).toMatch(/^That is more than 100\s%/);
  });

  test("are topped up with water, from another bottle and with powder", async () => {
    const dialog = await tablet.bench("Stocks");
    await tablet.tap("Top up");
    await tablet.keys("50");
    expect(plain(await dialog.locator(".outcome").textContent())).toContain("200 mL at 0.75 %");
    await dialog.locator(".action-button").click();
    await expect.poll(() => tablet.said()).toBe("Lantern now holds 200 mL at 0.75 %.");
    await recorded(1);
    expect(vessel("Lantern").vessel.madeUl).toBe(200_000);

    await tablet.tap("A bottle", /^Slipway/);
    await tablet.keys("10");
    await dialog.locator(".action-button").click();
    await recorded(2);
    expect(vessel("Lantern").vessel).toMatchObject({
      madeUl: 210_000,
      madeUg: { lantern: 1_500_000, slipway: 50_000 },
    });

    await tablet.tap("Powder", /^Lantern powder/);
    await dialog.getByText("Dry dye powder: mask on, still air").waitFor();
    await tablet.keys("1.5");
    await dialog.locator(".action-button").click();
    await recorded(3);
    expect(vessel("Lantern").vessel.madeUg).toEqual({ lantern: 3_000_000, slipway: 50_000 });
  });

  test("are tipped out and spilled, never more than the bottle holds", async () => {
    const dialog = await tablet.bench("Stocks");
    await tablet.tap("Tip out");
    await dialog.getByText("Used bath: check local rules before tipping").waitFor();
    await tablet.keys("151");
    await expect.poll(() => tablet.typedBack()).toMatch(/^Lantern 1 % holds 150 mL, not 151 mL/);
    await tablet.page.keyboard.press("Delete");
    await tablet.keys("30");
    await tablet.tap(/^Tip out 30/);
    await expect.poll(() => tablet.said()).toBe("30 mL tipped. Lantern holds 120 mL now.");
    await recorded(1);
    expect(bench().outUl.tipped).toBe(30_000);

    await tablet.tap("Back", "It was spilled", /^All of it/, /^Spilled 120/);
    await recorded(2);
    expect(bench().outUl.spilled).toBe(120_000);
  });

  test("are settled by their level: what it settles is shown first", async () => {
    await unsettled(30_000);
    await unsettled(10_000, "B");
    const dialog = await tablet.bench("Stocks");
    await dialog.getByText("2 pours from it wait for a reading").waitFor();
    await tablet.tap("Read the level");
    expect(await dialog.locator(".settling li").count()).toBe(2);
    await tablet.keys("106");
    // 44 mL are gone, shared 3 to 1 as they were judged: 33 and 11 mL.
    await dialog.locator(".settling", { hasText: /33\s*mL/ }).waitFor();
    await dialog.locator(".settling", { hasText: /11\s*mL/ }).waitFor();
    await shot(tablet.page, "bench-level");
    await tablet.tap("Settle 2 pours");
    await expect.poll(() => tablet.said()).toBe("2 pours settled from Lantern.");
    await recorded(3);
    expect(act("settle")).toMatchObject({
      by: "level",
      amounts: [{ volumeUl: 33_000 }, { volumeUl: 11_000 }],
    });
  });

  test("are settled by their weight, down to an empty scale", async () => {
    await unsettled(30_000);
    const dialog = await tablet.bench("Stocks");
    await tablet.tap("Weigh it");
    await tablet.keys("32");
    await tablet.tap(/^Now/);
    await tablet.keys("0");
    await expect.poll(() => tablet.typedBack()).toBe("0 mg");
    await dialog.locator(".settling", { hasText: /32\s*mL/ }).waitFor();
    await tablet.tap("Settle 1 pour");
    await recorded(2);
    expect(act("settle")).toMatchObject({ by: "weight", amounts: [{ volumeUl: 32_000 }] });
  });

  test("with no pour to settle write down as spilled what is missing", async () => {
    const dialog = await tablet.bench("Stocks");
    await tablet.tap("Read the level");
    await tablet.keys("160");
    await expect.poll(() => tablet.typedBack()).toMatch(/holds 10 mL more than the record says/);
    await tablet.page.keyboard.press("Delete");
    await tablet.keys("145");
    await dialog.getByText("is missing and is written down as spilled.").waitFor();
    await tablet.tap("Write it down");
    await recorded(1);
    expect(act("discard")).toMatchObject({ vessel: "lantern", volumeUl: 5_000, how: "spilled" });
  });
});

describe("skeins and pans", () => {
  test("a skein is moved to another pan, out of its pan and in again", async () => {
    await tablet.bench("Skeins and pans");
    await tablet.tap(/^Skein 3/, "Into pan C");
    await expect.poll(() => tablet.said()).toBe("Skein 3 is in pan C.");
    await recorded(1);
    expect(bench().skeins["3"]?.pan).toBe("C");
    await shot(tablet.page, "bench-pans");
    await tablet.tap("Out of the pan");
    await recorded(2);
    expect(bench().skeins["3"]?.pan).toBeNull();
    await tablet.tap("Into pan B");
    await recorded(3);
    expect(bench().skeins["3"]?.pan).toBe("B");
  });

  test("a new skein needs more than 0 g, and has a name offered", async () => {
    const dialog = await tablet.bench("Skeins and pans");
    await tablet.tap("New skein");
    await dialog.getByText("a skein of 0 g cannot be dyed").waitFor();
    await tablet.keys("0");
    await expect.poll(() => tablet.typedBack()).toMatch(/^Write more than 0/);
    await tablet.keys("50");
    await tablet.tap("Pan A", "Put skein 7 on the bench");
    await expect.poll(() => tablet.said()).toBe("Skein 7, 50 g, is in pan A.");
    await recorded(1);
    expect(act("skeinNew")).toMatchObject({
      skein: { name: "7", base: "quay", massUg: 50_000_000, pan: "A" },
    });
  });

  test("a new pan cannot hold more water than it holds", async () => {
    await tablet.bench("Skeins and pans");
    await tablet.tap("New pan");
    await tablet.keys("2000");
    await tablet.tap(/^Water in it/);
    await tablet.keys("2500");
    await expect
      .poll(() => tablet.typedBack())
      .toBe("A pan of 2,000 mL does not hold 2,500 mL of water.");
    await tablet.page.keyboard.press("Delete");
    await tablet.keys("500");
    await tablet.tap("Painted", "Put pan D on the bench");
    await recorded(1);
    expect(act("panNew")).toMatchObject({
      pan: { name: "D", capacityUl: 2_000_000, waterUl: 500_000, method: "painted" },
    });
  });
});

describe("a bath", () => {
  test("gets acid with its caution, water, and salt by mass", async () => {
    const dialog = await tablet.bench("Bath");
    await dialog.getByText("Acid into water, and mind your eyes").waitFor();
    await tablet.keys("30");
    await shot(tablet.page, "bench-acid");
    await tablet.tap(/^30 mL in/);
    await recorded(1);
    expect(act("add")).toMatchObject({
      pan: "A",
      what: "acid",
      label: "white vinegar 5 %",
      amount: { volumeUl: 30_000 },
    });
    await tablet.tap("Pan B", "Water in");
    await tablet.keys("250");
    await tablet.tap(/^250 mL in/);
    await recorded(2);
    expect(act("add")).toMatchObject({ pan: "B", what: "water", amount: { volumeUl: 250_000 } });
    await tablet.tap("Salt in");
    await tablet.keys("12½");
    await tablet.tap(/^12\.5 g in/);
    await recorded(3);
    expect(act("add")).toMatchObject({ pan: "B", what: "salt", amount: { massUg: 12_500_000 } });
  });

  test("is noted hot, looked at, kept and tipped", async () => {
    const dialog = await tablet.bench("Bath");
    await tablet.tap("How hot");
    await tablet.keys("131");
    await expect.poll(() => tablet.typedBack()).toMatch(/^A dye bath is not that hot/);
    await tablet.page.keyboard.press("Delete");
    await tablet.keys("85");
    await tablet.tap(/^Note 85/);
    await recorded(1);
    expect(bench().pans.A?.celsius).toBe(85);
    await tablet.tap("Exhaustion", /^Tinted/, "Note tinted");
    await recorded(2);
    expect(bench().pans.A?.look).toBe("tinted");
    await tablet.tap("Keep or tip");
    await dialog.getByText("Used bath: check local rules before tipping").waitFor();
    await dialog.getByText("Hot bath: it scalds, so let it cool").waitFor();
    await tablet.tap(/^Kept/, "Write down: kept");
    await recorded(3);
    expect(bench().pans.A?.fate).toBe("kept");
    await tablet.tap(/^Tipped/, "Write down: tipped");
    await recorded(4);
    expect(bench().pans.A).toMatchObject({ fate: "tipped", bathUl: 0 });
  });

  test("has timers that are started, lengthened and ended", async () => {
    const dialog = await tablet.bench("Bath");
    await tablet.tap("Timer", "Steam", "the dye to set");
    await dialog.getByText("Steam burns: lift the lid away from you").waitFor();
    await tablet.keys("20");
    await tablet.tap(/^Start steam, 20/);
    await recorded(1);
    expect(act("timerStart")).toMatchObject({
      how: "steam",
      pan: "A",
      seconds: 1_200,
      waitingFor: "the dye to set",
      wait: false,
    });
    await tablet.tap(/^5 min more/);
    await recorded(2);
    const [timer] = Object.values(bench().timers);
    expect(timer?.seconds).toBe(1_500);
    await shot(tablet.page, "bench-timer");
    await tablet.tap("End it");
    await recorded(3);
    expect(Object.values(bench().timers)[0]?.stoppedAt).not.toBeNull();
  });
});

describe("the record", () => {
  test("tells what was done, the newest first, and undoes the last", async () => {
    await pour("lantern", 12_000);
    await pour("slipway", 8_000);
    const dialog = await tablet.bench("Record");
    const says = dialog.locator(".entry-say");
    expect((await says.allTextContents()).map(plain)).toEqual([
      "8 mL Slipway 0.5 % into pan A",
      "12 mL Lantern 1 % into pan A",
    ]);
    await tablet.tap(/^Undo: 8 mL Slipway/);
    await expect.poll(() => tablet.said()).toBe("Undid: 8 mL Slipway 0.5 % into pan A.");
    await until(() => acts().length === 1, "the undo");
    expect(vessel("Slipway").vessel.drawnUl).toBe(0);
  });

  test("is corrected in amount, bottle, pan and skeins, with a reason", async () => {
    await pour("lantern", 12_000);
    const dialog = await tablet.bench("Record");
    await tablet.tap(/^Correct: 12 mL Lantern/);
    await tablet.keys("10");
    await tablet.tap(/^Slipway/, "Pan B", "Skein 4", "misread the measure");
    await shot(tablet.page, "bench-correct");
    await tablet.tap("Write the correction");
    await recorded(2);
    expect(act("correct")).toMatchObject({
      to: {
        pour: {
          source: { vessel: "slipway", amount: { volumeUl: 10_000 } },
          pan: "B",
          shares: [{ skein: "3" }],
        },
      },
      reason: "misread the measure",
    });
    expect(bench().skeins["3"]?.dyes).toEqual({ slipway: 50_000 });
    expect(bench().skeins["1"]?.dyes).toEqual({});
    const line = dialog.locator(".entry", { hasText: "corrected, was" });
    expect(plain(await line.textContent())).toContain("10 mL Slipway 0.5 % into pan B");
    await shot(tablet.page, "bench-record");
  });

  test("takes out what never happened, only when asked twice", async () => {
    await pour("lantern", 12_000);
    const dialog = await tablet.bench("Record");
    await tablet.tap(/^Correct:/, "It never happened");
    expect(acts()).toHaveLength(1);
    await tablet.tap("Tap again to take it out");
    await recorded(2);
    expect(act("correct")).toMatchObject({ to: null });
    expect(bench().poured).toEqual([]);
    await dialog.getByText("taken out", { exact: true }).waitFor();
  });

  test("refuses a correction that the bottle cannot give, in place", async () => {
    await pour("lantern", 12_000);
    await tablet.bench("Record");
    await tablet.tap(/^Correct:/);
    await tablet.keys("151");
    await expect.poll(() => tablet.typedBack()).toMatch(/^Lantern 1 % does not hold so much/);
    await tablet.page.keyboard.press("Delete");
    await tablet.page.keyboard.type("-3");
    await expect.poll(() => tablet.typedBack()).toMatch(/minus|below 0/);
    await tablet.page.keyboard.press("Delete");
    await tablet.page.keyboard.type("1,5");
    await expect.poll(() => tablet.typedBack()).toMatch(/1\.5/);
    expect(acts()).toHaveLength(1);
  });
});

describe("notes", () => {
  test("are private or for the viewers, and no private one leaves the bench", async () => {
    const watch = await house.watchClient();
    await tablet.bench("Notes");
    const field = tablet.page.getByLabel("A note for yourself");
    await field.click();
    await tablet.page.keyboard.type("the <i>left</i> kettle, שלום");
    await tablet.tap("Keep it for yourself");
    await expect.poll(() => tablet.said()).toBe("Kept. Only you can read it.");
    await tablet.tap(/^Viewers/, "Improvised from here.", "Keep it for the viewers");
    await recorded(2);
    expect(bench().notes.map(({ text, seen }) => [text, seen])).toEqual([
      ["the <i>left</i> kettle, שלום", "private"],
      ["Improvised from here.", "public"],
    ]);
    const view = await watch.sees(second.known().seq);
    expect(Object.values(view.notes).map(({ text }) => text)).toEqual(["Improvised from here."]);
    expect(JSON.stringify(watch.messages)).not.toContain("kettle");
    await shot(tablet.page, "bench-notes");
  });
});

describe("what is on screen", () => {
  test("is chosen by view and by part, and cautions are said to stay", async () => {
    const dialog = await tablet.bench("On screen");
    await dialog.getByText("Cautions stay on screen whatever is hidden").waitFor();
    for (const [name, view] of [
      [/^Waiting/, "waiting"],
      [/^Tally/, "tally"],
      [/^Recap card/, "recap"],
      [/^Hidden/, "hidden"],
      [/^Follow the session/, "auto"],
    ] as const) {
      await tablet.tap(name);
      await until(() => second.known().overlay.view === view, `the view ${view}`);
    }
    await tablet.tap(/^Count/, /^Graduated rule/);
    await until(() => !second.known().overlay.parts.rule, "the parts");
    expect(second.known().overlay).toEqual({
      view: "auto",
      parts: { depth: true, rule: false, timers: true, count: false },
    });
    await shot(tablet.page, "bench-screen");
    await tablet.tap(/^Count/);
    await until(() => second.known().overlay.parts.count, "the count again");
  });
});

test("a refusal of the server is said where it was asked for", async () => {
  await tablet.bench("Bath");
  await tablet.keys("30");
  await second.must({ type: "close" });
  await tablet.page.getByText("This session is closed. Reopen it").waitFor();
  expect(acts()).toEqual([]);
});

test("what is done without a connection is kept and reaches the record later", async () => {
  const dialog = await tablet.bench("Bath");
  await tablet.page.context().setOffline(true);
  await tablet.keys("30");
  await tablet.tap(/^30 mL in/);
  await dialog.getByText("Kept on this tablet.").waitFor();
  await dialog.getByText("1 waiting for the record: no connection.").waitFor();
  expect(acts()).toEqual([]);
  await tablet.page.context().setOffline(false);
  await recorded(1);
  expect(act("add")).toMatchObject({ amount: { volumeUl: 30_000 } });
});

/**
 * All that can be tapped, with its words: its whole size, and the part of it that is in sight, for
 * some of the sheet scrolls beneath what is pinned to its foot.
 */
function targets(dialog: Locator) {
  return dialog.locator("button, input, textarea, a").evaluateAll((elements) =>
    elements.flatMap((element) => {
      const { left, right, width, height, ...box } = element.getBoundingClientRect().toJSON();
      let [top, bottom] = [Number(box.top), Number(box.bottom)];
      const frame = element.closest(".form-what, .form-side") ?? element.closest("dialog");
      const edges = frame?.getBoundingClientRect();
      const foot = element.closest(".pans-shelf") && document.querySelector(".pans-move");
      top = Math.max(top, edges?.top ?? top);
      bottom = Math.min(
        bottom,
        edges?.bottom ?? bottom,
        foot?.getBoundingClientRect().top ?? bottom,
      );
      const what = element.textContent || element.getAttribute("aria-label") || element.tagName;
      return bottom > top ? [{ what, left, right, top, bottom, width, height }] : [];
    }),
  );
}

describe.each(["wide", "tall"] as const)("for gloves, on a %s screen", (size) => {
  const forms: [section: string, ...taps: (string | RegExp)[]][] = [
    ["Jug"],
    ["Stocks"],
    ["Stocks", "Make up from powder"],
    ["Stocks", "Dilute into a new bottle"],
    ["Stocks", "Top up"],
    ["Stocks", "Tip out"],
    ["Stocks", "Read the level"],
    ["Stocks", "Weigh it"],
    ["Skeins and pans", /^Skein 1/],
    ["Skeins and pans", "New skein"],
    ["Skeins and pans", "New pan"],
    ["Bath"],
    ["Bath", "Timer"],
    ["Bath", "How hot"],
    ["Bath", "Exhaustion"],
    ["Bath", "Keep or tip"],
    ["Record"],
    ["Record", /^Correct:/],
    ["Notes"],
    ["On screen"],
  ];

  test("every target is 72 px and 12 px from the next, and no screen has a violation", async () => {
    await tablet.close();
    tablet = await Tablet.open(browser, house.address, { token, size, axe: true });
    await pour("lantern", 12_000);
    const wrong: string[] = [];
    for (const [section, ...taps] of forms) {
      const dialog = await tablet.bench(section);
      for (const tap of taps) await tablet.button(tap).first().click();
      const where = [section, ...taps].join(" > ");
      const boxes = await targets(dialog);
      expect(boxes.length).toBeGreaterThan(8);
      for (const box of boxes) {
        if (box.width < 72 || box.height < 72) wrong.push(`${where}: ${box.what} is small`);
        for (const other of boxes) {
          if (other === box) continue;
          const apart = Math.max(
            other.left - box.right,
            box.left - other.right,
            other.top - box.bottom,
            box.top - other.bottom,
          );
          if (apart < 11.5) wrong.push(`${where}: ${box.what} by ${other.what}`);
        }
      }
      wrong.push(...(await tablet.violations()).map((rule) => `${where}: ${rule}`));
      const sideways = await dialog.evaluate(
        ({ scrollWidth, clientWidth }) => scrollWidth - clientWidth,
      );
      if (sideways > 0) wrong.push(`${where}: wider than the screen`);
      await shot(tablet.page, `bench-${size}-${where.replaceAll(/[^A-Za-z]+/g, "-")}`);
    }
    expect(wrong).toEqual([]);
  });
});

test.each(Object.keys(sizes) as (keyof typeof sizes)[])(
  "names of every kind are shown as text and fit on a %s screen",
  async (size) => {
    const long = "Seventy-nine fathoms of weed and rope along the outer harbour wall at low tide..";
    const names = ["<img src=x onerror=alert(1)>", "🌊🧶 tide", "ים בשעת ערב", long];
    const renamed = <T extends { name: string }>(list: readonly T[]) =>
      list.map((item, i) => ({ ...item, name: names[i] ?? item.name }));
    const { stocks, pans, skeins, bases, colourways } = demonstration;
    const sheet = {
      ...demonstration,
      name: long,
      stocks: renamed(stocks),
      pans: renamed(pans),
      skeins: renamed(skeins),
      bases: renamed(bases),
      colourways: renamed(colourways),
    };
    const { status } = await house.ask("POST", "/api/sessions", { token, body: sheet });
    expect(status).toBe(201);
    await tablet.close();
    tablet = await Tablet.open(browser, house.address, { token, size });
    await tablet.tap("Go live");
    for (const section of ["Jug", "Stocks", "Skeins and pans", "Bath", "Record"]) {
      const dialog = await tablet.bench(section);
      if (section === "Skeins and pans") await tablet.button(/^Skein Seventy/).click();
      expect(await tablet.page.locator("img").count()).toBe(0);
      const sideways = await dialog
        .locator(".bench-work")
        .evaluate(({ scrollWidth, clientWidth }) => scrollWidth - clientWidth);
      expect(sideways).toBe(0);
      await shot(tablet.page, `bench-names-${size}-${section.replaceAll(" ", "-")}`);
    }
  },
);
