import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { CAUTIONS, shortDeferral } from "../../shared/cautions/cautions.ts";
import { readMs } from "../../shared/cautions/read.ts";
import { browsers, launchBrowser, shot } from "../browser/launch.ts";
import { slowness } from "../scenario/slowness.ts";
import { House, pause } from "./house.ts";
import { faults, measure, words } from "./measure.ts";
import { changedArea, inkOf, photograph } from "./pictures.ts";

const full = { width: 1920, height: 1080 };

describe.each(browsers)("the broadcast page over time in $label", ({ name }) => {
  let browser: Browser;
  let house: House;
  let page: Page;

  beforeAll(async () => {
    browser = await launchBrowser(name);
    house = await House.open();
    await house.goLive();
    page = await browser.newPage({ viewport: full });
    await page.goto(house.overlay);
    await page.waitForSelector(".stage");
  });

  afterAll(async () => {
    await page.close();
    await house.close();
  });

  test("tells the bench what it has painted, and again every three seconds", async () => {
    await house.isShown();
    const seq = await house.choose(2);
    await house.isShown();
    expect(house.presence.overlaySeq).toBe(seq);
    const heard = house.presence.overlayHeardAt ?? 0;
    await pause(3_900);
    expect(house.presence.overlayHeardAt ?? 0).toBeGreaterThan(heard);
  });

  test("keeps a caution until it can have been read, though its step went by at once", async () => {
    await page.waitForSelector(".cautions", { state: "detached" });
    const lasted = page.evaluate(
      () =>
        new Promise<number>((done) => {
          let since: number | null = null;
          const look = () => {
            const there = document.querySelector(".cautions") !== null;
            const now = performance.now();
            if (there) since ??= now;
            if (!there && since !== null) done(now - since);
            else requestAnimationFrame(look);
          };
          look();
        }),
    );
    await house.choose(1);
    await page.waitForSelector('[data-hazard="acid"]');
    await house.choose(2);
    await house.isShown();
    const said = `${CAUTIONS.acid.line} ${shortDeferral}`;
    expect(await words(page, ".cautions")).toBe(said);
    expect(await lasted).toBeGreaterThan(readMs(said) - 50);
    expect(await lasted).toBeLessThan(readMs(said) + 1_500 * slowness());
  });

  test("does not strobe when it is shown and hidden twenty times a second", async () => {
    await page.evaluate(() => {
      const changes: number[] = [];
      let there = document.querySelector(".panel") !== null;
      const look = () => {
        const now = document.querySelector(".panel") !== null;
        if (now !== there) changes.push(performance.now());
        there = now;
        requestAnimationFrame(look);
      };
      look();
      Object.assign(window, { changes });
    });
    const seen = () => page.evaluate(() => (window as unknown as { changes: number[] }).changes);
    let changes: number[] = [];
    // A busy machine draws few of them, so it goes on until there is a gap to look at.
    for (let tap = 0; tap < 60 || (changes.length < 2 && tap < 600); tap += 1) {
      await house.show(tap % 2 === 0 ? "hidden" : "auto");
      await pause(50);
      changes = await seen();
    }
    await house.show("auto");
    expect(changes.length).toBeGreaterThan(1);
    const gaps = changes.slice(1).map((at, i) => at - (changes[i] ?? 0));
    expect(Math.min(...gaps)).toBeGreaterThan(600);
    await page.waitForSelector(".panel");
  });

  test("changes less than a flash's area when an amount is tapped up and down fast", async () => {
    await house.choose(11);
    await house.isShown();
    await pause(900);
    const step = house.state.setup.steps[10];
    if (!step) throw new Error("There is no step 11.");
    let before = await photograph(page);
    for (const volumeUl of [112_500, 8_000, 250_000]) {
      const amount = { how: "measured", volumeUl, plusMinusUl: 0 } as const;
      await house.does({ type: "adjust", expect: step.id, amount: { of: "volume", amount } });
      await house.isShown();
      const after = await photograph(page);
      // A quarter of ten degrees of the field of view: 341 by 256 px of 1,024 by 768, by area.
      const flash = (0.25 * 341 * 256 * (full.width * full.height)) / (1024 * 768);
      expect(await changedArea(page, before, after)).toBeLessThan(flash);
      before = after;
    }
  });

  test("draws the same after a change of size as when it is opened in that size", async () => {
    await house.choose(16);
    await house.isShown();
    for (const size of [{ width: 640, height: 360 }, { width: 1000, height: 1000 }, full]) {
      await page.setViewportSize(size);
      const fresh = await browser.newPage({ viewport: size });
      await fresh.goto(house.overlay);
      await fresh.waitForSelector(".pan");
      await pause(700);
      expect(faults(await measure(page))).toEqual([]);
      const pictures = [await photograph(page), await photograph(fresh)] as const;
      expect(await changedArea(page, ...pictures)).toBeLessThan(20);
      const ink = await inkOf(page, pictures[0]);
      expect(ink).toBeGreaterThan(0.1 * size.width * Math.min(size.height, (size.width * 9) / 16));
      expect(ink).toBeLessThan(0.5 * size.width * Math.min(size.height, (size.width * 9) / 16));
      await fresh.close();
    }
  });

  test("shows no scrollbar, cursor or selection, and lets the pointer through", async () => {
    const style = await page.evaluate(() => {
      const { overflow, cursor, userSelect, pointerEvents } = getComputedStyle(document.body);
      return { overflow, cursor, userSelect, pointerEvents };
    });
    expect(style).toEqual({
      overflow: "hidden",
      cursor: "none",
      userSelect: "none",
      pointerEvents: "none",
    });
  });

  test("holds the last true view when the server is lost, says so after 10 s, and recovers", async () => {
    await house.choose(11);
    await house.isShown();
    const before = await words(page, ".panel");
    const lost = Date.now();
    await house.stop();
    // Once in real time; in the other browsers the device's clock is put on instead of waiting.
    const skippedMs = name === "103" ? 0 : 8_000;
    await page.evaluate((ms) => {
      const now = Date.now;
      Date.now = () => now() + ms;
    }, skippedMs);
    await pause(9_000 - skippedMs);
    expect(await page.locator(".held").count()).toBe(0);
    await page.waitForSelector(".held", { timeout: 30_000 });
    expect(Date.now() + skippedMs - lost).toBeGreaterThan(9_950);
    expect(await words(page, ".held")).toMatch(/^Held for 1[0-2] s: waiting for the bench$/);
    expect(await words(page, ".panel")).toBe(before);
    expect(faults(await measure(page))).toEqual([]);
    await shot(page, `overlay-held-${name}`);
    await house.startAgain();
    await page.waitForSelector(".held", { state: "detached" });
    await house.choose(12);
    await house.isShown();
    expect(await words(page, ".panel")).toContain("Gullwing");
  });

  test("follows when another session is put on the bench", async () => {
    const sheet = { ...(await harbour()), name: "Second evening" };
    await house.put(sheet);
    await page.waitForSelector('.stage[data-main="waiting"]');
    expect(await words(page)).toContain("Second evening");
  });

  test("is reached by the waiting file that was opened before the server", async () => {
    const response = await fetch(`${house.address}/overlay/waiting-file`);
    expect(response.headers.get("content-disposition")).toContain("attachment");
    const folder = await mkdtemp(join(tmpdir(), "pourside-waiting-"));
    const file = join(folder, "overlay.html");
    await writeFile(file, await response.text());
    await house.stop();
    const source = await browser.newPage({ viewport: full });
    await source.goto(pathToFileURL(file).href);
    await pause(2_500);
    expect(source.url()).toMatch(/^file:/);
    expect(await inkOf(source, await photograph(source))).toBe(0);
    await house.startAgain();
    await source.waitForSelector('.stage[data-main="waiting"]', { timeout: 30_000 });
    expect(source.url()).toMatch(/\/overlay$/);
    await source.close();
    await rm(folder, { recursive: true });
  });
});

async function harbour(): Promise<object> {
  const sheet = await import("../../server/session/harbour-at-dusk.json", {
    with: { type: "json" },
  });
  return sheet.default;
}
