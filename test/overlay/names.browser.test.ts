import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { browsers, launchBrowser, shot } from "../browser/launch.ts";
import { House } from "./house.ts";
import { faults, measure, words } from "./measure.ts";
import { hardNames, hardSheet } from "./sheets.ts";

describe.each(browsers)("hard names and amounts on the broadcast page in $label", ({ name }) => {
  let browser: Browser;
  let house: House;
  let page: Page;
  const alarms: string[] = [];

  beforeAll(async () => {
    browser = await launchBrowser(name);
    house = await House.open(hardSheet(200));
    page = await browser.newPage({ viewport: { width: 1920, height: 1080 } });
    page.on("dialog", (dialog) => {
      alarms.push(dialog.message());
      void dialog.dismiss();
    });
    await page.goto(house.overlay);
    await page.waitForSelector(".stage");
    await page.evaluate(() => {
      document.documentElement.style.background = "#6b6257";
    });
  });

  afterAll(async () => {
    await page.close();
    await house.close();
  });

  async function fits(state: string): Promise<string> {
    await house.isShown();
    const found = faults(await measure(page));
    await shot(page, `overlay-hard-${state}-${name}`);
    expect(found).toEqual([]);
    return words(page);
  }

  test("a session name of 80 letters and dyes of 40 fit while viewers wait", async () => {
    expect(await fits("waiting")).toContain("Coming up: 8 pours into 2 pans");
  });

  test("a stock name of 40 letters and 1,250 mL into 200 skeins stand whole", async () => {
    await house.goLive();
    const said = await fits("forty");
    expect(said).toContain(`${hardNames.forty} 0.125 %`);
    expect(said).toContain("1,250 mL");
    expect(said).toContain("200 skeins");
    expect(said).toContain("0 → 0.015 %");
  });

  test("a name of 40 wide letters without a break stands whole", async () => {
    await house.choose(2);
    expect(await fits("wide")).toContain(`${hardNames.wide} 0.125 %`);
  });

  test("markup in a name is shown as it was written and does nothing", async () => {
    await house.choose(3);
    expect(await fits("markup")).toContain(hardNames.markup);
    expect(await page.locator(".stage img").count()).toBe(0);
    expect(alarms).toEqual([]);
  });

  test("a name from right to left keeps its strength behind it, to its right", async () => {
    await house.choose(4);
    expect(await fits("right-to-left")).toContain(`${hardNames.rightToLeft} 0.125 %`);
    const [named, strength] = await page.evaluate(() =>
      [".words-title bdi", ".words-title .after"].map((part) => {
        const rects = document.querySelector(part)?.getClientRects();
        const last = rects?.[rects.length - 1];
        if (!last) throw new Error(`There is no ${part}.`);
        return { left: last.left, right: last.right, top: last.top };
      }),
    );
    if (!named || !strength) throw new Error("Nothing was measured.");
    const below = strength.top > named.top + 1;
    expect(below || strength.left >= named.right - 1).toBe(true);
  });

  test("a name with emoji stands whole", async () => {
    await house.choose(5);
    expect(await fits("emoji")).toContain(hardNames.emoji);
  });

  test("one drop is told as 0.05 mL", async () => {
    await house.choose(6);
    expect(await fits("drop")).toContain("1 drop 0.05 mL");
  });

  test("two skeins of long names with depths of their own fit", async () => {
    await house.choose(7);
    expect(await fits("two")).toContain("99.9 mL");
  });

  test("more than a kilogram of powder fits with its doubt", async () => {
    await house.choose(8);
    expect(await fits("powder")).toContain("Powder, ± 99.5 g 1,235 g");
  });

  test("12 L of acid into a pan of a long name fits", async () => {
    await house.choose(9);
    const said = await fits("acid");
    expect(said).toContain("12,346 mL");
    expect(said).toContain("9,000 → 21,346 mL");
  });

  test("a day of steam and five timers fit", async () => {
    await house.choose(10);
    await house.advance();
    for (const [at, how] of (["steam", "stove", "oven", "rest", "steam"] as const).entries()) {
      const seconds = 3600 * (at + 1);
      const pan = at % 2 === 0 ? "A" : "B";
      await house.does({ type: "timerStart", timer: `t${at}`, how, pan, seconds, waitingFor: "" });
    }
    await page.waitForSelector(".timer >> text=and 2 more");
    expect(await fits("steam")).toMatch(/24:00:00|23:59:\d\d/);
  });

  test("a tally of 200 skeins is leafed through", async () => {
    await house.show("tally");
    await page.waitForSelector(".tally");
    const said = await fits("tally");
    expect(said).toMatch(/, 1 of \d\d/);
  });

  test("a recap card of long names with several dyes fits", async () => {
    await house.show("recap");
    await page.waitForSelector(".recap");
    await fits("recap");
  });

  test("twelve colourways are leafed through on the recap card", async () => {
    const sheet = hardSheet(12);
    const skeins = sheet.skeins.map(({ colourway: _, ...skein }) => skein);
    const steps = sheet.steps.slice(0, 6);
    await house.put({ ...sheet, skeins, steps });
    await house.goLive();
    for (const _ of steps.slice(1)) await house.advance();
    // A pour without a hazard is next: cautions take room, and what has no room goes on a leaf.
    await page.waitForSelector(".cautions", { state: "detached" });
    await house.show("recap");
    await page.waitForSelector(".recap");
    const said = await fits("recap-twelve");
    expect(said).toContain("12 colourways");
    expect(said).toMatch(/1 of \d/);
  });
});
