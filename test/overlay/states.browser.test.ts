import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { browsers, launchBrowser, shot } from "../browser/launch.ts";
import { endTimers } from "../scenario/desk.ts";
import { slowness } from "../scenario/slowness.ts";
import { House, pause } from "./house.ts";
import { faults, measure, words } from "./measure.ts";
import { inkOf, photograph } from "./pictures.ts";

const backgrounds = {
  light: "#f7f7f5",
  dark: "#050505",
  busy:
    "repeating-linear-gradient(38deg, #d33 0 34px, #f7f3c0 34px 61px, #185 61px 88px, #114 88px 130px)," +
    "#888",
};

describe.each(browsers)("the broadcast page in $label", ({ name }) => {
  let browser: Browser;
  let house: House;
  let page: Page;

  beforeAll(async () => {
    browser = await launchBrowser(name);
    house = await House.open();
    page = await browser.newPage({ viewport: { width: 1920, height: 1080 } });
  });

  afterAll(async () => {
    await page.close();
    await house.close();
  });

  /** Waits until the page shows what the tests' own tablet knows and has moved all its boxes. */
  async function painted(main: string): Promise<void> {
    await page.waitForSelector(`.stage[data-main="${main}"]`);
    await house.isShown();
  }

  /** All rules for what stands over video, and pictures over three kinds of it. */
  async function isLegible(state: string): Promise<void> {
    expect(faults(await measure(page))).toEqual([]);
    for (const [ground, css] of Object.entries(backgrounds)) {
      // One browser is enough for a look; the others are measured all the same.
      if (name !== "current" && ground !== "busy") continue;
      await page.evaluate((value) => {
        document.documentElement.style.background = value;
      }, css);
      await shot(page, `overlay-${state}-${ground}-${name}`);
    }
    await page.setViewportSize({ width: 640, height: 360 });
    // Another size lets the panels come in anew; the picture is of what has come.
    await page.waitForTimeout(250);
    await shot(page, `overlay-${state}-small-${name}`);
    await page.setViewportSize({ width: 1920, height: 1080 });
    await page.evaluate(() => {
      document.documentElement.style.background = "";
    });
  }

  test("is empty and transparent before it has heard of a session, then waits", async () => {
    const errors: string[] = [];
    page.on("pageerror", (error) => errors.push(String(error)));
    const deaf = await browser.newPage({ viewport: { width: 1920, height: 1080 } });
    await deaf.addInitScript(() =>
      Object.defineProperty(window, "WebSocket", { value: undefined }),
    );
    await deaf.route("**/socket.io/**", (route) => route.abort());
    await deaf.goto(house.overlay);
    await pause(500);
    expect(await words(deaf)).toBe("");
    expect(await inkOf(deaf, await photograph(deaf))).toBe(0);
    await deaf.close();
    await page.goto(house.overlay);
    await painted("waiting");
    expect(await words(page)).toContain("Coming up: 15 pours into 3 pans Harbour at dusk");
    expect(await words(page)).toContain("6 skeins of Quay sock, 300 g");
    expect(await words(page)).toContain("Saltmarsh");
    expect(errors).toEqual([]);
    await isLegible("waiting");
  });

  test("shows acid that goes in, with its caution and what that defers to", async () => {
    await house.goLive();
    await painted("add");
    expect(await words(page)).toContain("White vinegar 5 % into pan A Volume 30 mL");
    expect(await words(page)).toContain("1,500 → 1,530 mL");
    expect(await words(page)).toContain("Acid into water, and mind your eyes");
    expect(await words(page)).toContain("Always follow the dye's safety data sheet");
    await isLegible("add");
  });

  test("shows a pour: stock, volume on its rule, depth before and after, count and place", async () => {
    await house.advance();
    await painted("pour");
    const said = await words(page);
    expect(said).toContain("Pour 1 of 15 Lantern 1 % into pan A, skeins 1 and 2 immersion");
    expect(said).toContain("Volume 40 mL Depth of shade 0 → 0.40 %");
    expect(await page.locator(".hanging path").count()).toBeGreaterThan(2);
    expect(await page.locator('[data-part="rule"] svg').count()).toBe(1);
    await isLegible("pour");
  });

  test("makes the volume the largest thing on screen", async () => {
    const { texts } = await measure(page);
    const [first, second] = [...texts].sort((a, b) => b.size - a.size);
    expect(first?.text).toBe("40");
    expect(first?.size).toBeGreaterThan(1.5 * (second?.size ?? 0));
  });

  test("shows the depth where a painted pour touches beside the average", async () => {
    await house.advance();
    await painted("pour");
    expect(await words(page)).toContain("painted, far half of the skein");
    expect(await words(page)).toContain("Depth on average 0.40 → 0.70 % +0.50 % where it touches");
    await isLegible("painted");
  });

  test("shows dry powder by its mass, as an estimate, with the caution for powder", async () => {
    await house.choose(5);
    await painted("pour");
    const said = await words(page);
    expect(said).toContain("Slipway powder");
    expect(said).toContain("About, ± 20 mg 60 mg");
    expect(said).toContain("Dry dye powder: mask on, still air");
    await isLegible("powder");
  });

  test("shows drops by their count and volume", async () => {
    await house.choose(19);
    await painted("pour");
    expect(await words(page)).toContain("24 drops 1.2 mL");
    expect(await words(page)).toContain("+0.48 % where it touches");
    await isLegible("drops");
  });

  test("shows both skeins' depths when a pour is shared unevenly", async () => {
    await house.choose(16);
    await painted("pour");
    expect(await words(page, '[data-part="depth"]')).toBe(
      "Depth of shade 5 0 → 0.80 % 6 0 → 0.40 %",
    );
    await isLegible("shared");
  });

  test("says about, and hatches the rule, until an amount is measured", async () => {
    await house.choose(20);
    await painted("pour");
    expect(await words(page)).toContain("About, ± 5 mL 25 mL Depth of shade, about");
    await isLegible("about");
  });

  test("shows what a heat step will be, then its timer apart while other pans go on", async () => {
    await house.choose(6);
    await painted("heat");
    expect(await words(page)).toContain("Next Steam pan A waiting for the bath to clear at 98 °C");
    expect(await words(page)).toContain("25 min");
    await isLegible("heat-next");
    await house.advance();
    await painted("pour");
    expect(await words(page, ".timer")).toMatch(/^Pan A steaming\s+2[45]:\d\d/);
    expect(await words(page)).toContain("Steam burns: lift the lid away from you");
    await isLegible("steaming");
  });

  test("shows a rest that the session waits for with the time left on a rule of minutes", async () => {
    await house.choose(22);
    await house.advance();
    await painted("heat");
    await page.waitForSelector(".time .kicker");
    const said = await words(page);
    expect(said).toMatch(
      /Waiting Pan C resting waiting for the yarn to cool in its bath (20:00|19:\d\d)/,
    );
    expect(said).toContain("left of 20 min");
    await isLegible("rest");
  });

  test("says that time is up until the timer is ended", async () => {
    const timer = { type: "timerStart", timer: "late", how: "stove", pan: "B" } as const;
    await house.does({ ...timer, seconds: 60, waitingFor: "the bath to clear" }, 120_000);
    await page.waitForSelector(".timer >> text=time is up");
    await isLegible("time-up");
    await house.does({ type: "timerStop", timer: "late" });
    await page.waitForSelector(".timer >> text=time is up", { state: "detached" });
  });

  test("lets an unplanned pour take over for 12 seconds", async () => {
    const ahead = await words(page);
    expect(ahead).toContain("Pan C resting");
    const amount = { how: "measured", volumeUl: 5000, plusMinusUl: 0 } as const;
    const source = { from: "vessel", vessel: "deepwater", amount } as const;
    const whole = { pan: "C", technique: "immersion", coverage: 1 } as const;
    // A tap that was on its way for four seconds: it is the tap that counts.
    await house.does({ type: "pour", pour: { source, ...whole } }, 4_000);
    const tapped = Date.now() - 4_000;
    await painted("pour");
    expect(await words(page)).toMatch(/Just poured, 2 of 16 Deepwater 1 % into pan C/);
    expect(await words(page)).toContain("0 → 0.050 %");
    await isLegible("just-poured");
    await page.waitForSelector('.stage[data-main="heat"]', { timeout: 30_000 });
    const lasted = Date.now() - tapped;
    expect(lasted).toBeGreaterThan(11_500);
    expect(lasted).toBeLessThan(12_000 + 1_500 * slowness());
  });

  test("shows the running tally by skein", async () => {
    await house.show("tally");
    await painted("tally");
    expect(await words(page)).toContain("Poured so far 2 pours, colours predicted");
    expect(await words(page)).toContain(
      "Skein 2 Rust ladder 0.40 % Lantern 0.40 % Skein 3 Weed line 0 % no dye yet",
    );
    await isLegible("tally");
  });

  test("shows the recap card by colourway", async () => {
    await house.show("recap");
    await painted("recap");
    const said = await words(page);
    expect(said).toContain("4 colourways, 2 pours");
    expect(said).toMatch(/Rust ladder 0\.40 % 50 g Lantern 1 % 20 mL 0\.40 %/);
    expect(said).toContain("predicted");
    await isLegible("recap");
  });

  test("hides everything but the cautions of what is still running", async () => {
    await house.show("hidden");
    await painted("none");
    expect(await page.locator(".panel, .pan, .timer").count()).toBe(0);
    const said = await words(page);
    expect(said).toContain("Steam burns: lift the lid away from you");
    expect(said).toContain("Always follow the dye's safety data sheet");
    await isLegible("hidden");
  });

  test("hides depth, rule, timers and count when asked, never volume or cautions", async () => {
    await house.choose(11);
    await house.show("auto", { depth: false, rule: false, timers: false, count: false });
    await painted("pour");
    await page.waitForSelector("[data-volume]");
    const said = await words(page);
    expect(said).toContain("Pouring now Saltmarsh 1 %");
    expect(said).toContain("37.5 mL");
    expect(said).toContain("Steam burns");
    expect(said).not.toContain("Depth");
    expect(said).not.toMatch(/ of 1\d/);
    expect(await page.locator('.timer, .pan, [data-part="rule"] svg').count()).toBe(0);
    await isLegible("parts-hidden");
    await house.show("auto");
    await page.waitForSelector(".timer");
  });

  test("says when the session is done, with the cautions gone once they were read", async () => {
    for (const end of endTimers(house.state)) await house.does(end);
    await house.does({ type: "close" });
    await painted("closed");
    expect(await words(page)).toContain("Done, 2 pours made Harbour at dusk");
    await page.waitForSelector(".cautions", { state: "detached", timeout: 30_000 });
    await isLegible("closed");
  });
});
