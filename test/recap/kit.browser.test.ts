import { readFileSync } from "node:fs";
import Papa from "papaparse";
import type { Browser, BrowserContext, Page } from "playwright-core";
import { PNG } from "pngjs";
import { afterAll, afterEach, beforeAll, describe, expect, test } from "vitest";
import { pouredDemonstration } from "../../server/recap/demonstration.ts";
import { writeFile } from "../../shared/plan/file.ts";
import { launchBrowser, shot } from "../browser/launch.ts";
import { axeViolations } from "../controller/benchAxe.ts";
import { sizes, Tablet } from "../controller/benchTablet.ts";
import { House, pause } from "../server/house.ts";

let browser: Browser;
let house: House;
let token: string;
let tablet: Tablet;

beforeAll(async () => {
  browser = await launchBrowser("current");
  house = await House.start();
  token = await house.pair();
  // The demonstration poured to its end comes in as a file and stands among the other sessions.
  const { events } = pouredDemonstration(Date.UTC(2031, 4, 17, 18));
  const body = writeFile({ pourside: "session", session: "dusk-of-may", events });
  const opened = await house.ask("POST", "/api/sessions/file", { token, body });
  if (opened.status >= 300) throw new Error(opened.text);
});

afterAll(() => house.close());
afterEach(() => tablet.close());

async function open(size: keyof typeof sizes, axe = false): Promise<Page> {
  tablet = await Tablet.open(browser, house.address, { token, size, axe });
  await tablet.tap("Publishing kit of Harbour at dusk");
  await tablet.page.getByRole("heading", { name: "Recap card" }).waitFor();
  await tablet.page.waitForFunction(() => document.querySelectorAll(".kit-card img").length === 4);
  await tablet.page.getByLabel("Video description", { exact: true }).waitFor();
  return tablet.page;
}

async function saved(page: Page, name: string): Promise<Buffer> {
  const coming = page.waitForEvent("download");
  await page.getByRole("button", { name, exact: true }).click();
  return readFileSync(await (await coming).path());
}

async function clipboard(page: Page): Promise<string> {
  const context: BrowserContext = page.context();
  await context.grantPermissions(["clipboard-read"]);
  return page.evaluate(() => navigator.clipboard.readText());
}

describe("the publishing kit of a closed session", () => {
  test.each(["wide", "tall", "phone"] as const)(
    "fits, has targets of 48 px, and nothing for axe to find: %s",
    async (size) => {
      const page = await open(size, true);
      const found = await page.evaluate(() => ({
        over: document.documentElement.scrollWidth - innerWidth,
        small: [...document.querySelectorAll("button, a")]
          .map((one) => one.getBoundingClientRect())
          .filter(({ width, height }) => width < 48 || height < 48).length,
      }));
      expect(found).toEqual({ over: 0, small: 0 });
      await shot(page, `kit-${size}`, true);
      expect(await axeViolations(page)).toEqual([]);
      expect(tablet.errors).toEqual([]);
    },
  );

  test("gives each text with one tap", async () => {
    const page = await open("wide");
    for (const [button, start] of [
      ["Copy: Video description", "Harbour at dusk\n17 May 2031"],
      ["Copy: Skein 3: Weed line", "Weed line\nHand-dyed on Quay sock"],
    ] as const) {
      await page.getByRole("button", { name: button, exact: true }).click();
      expect((await clipboard(page)).replaceAll("\r\n", "\n").startsWith(start)).toBe(true);
    }
    expect(await page.getByText("Copied.").count()).toBe(2);
  });

  test("gives each file, as the command line writes it", async () => {
    const page = await open("wide");
    const picture = PNG.sync.read(await saved(page, "Save PNG: Tall"));
    expect([picture.width, picture.height]).toEqual([1080, 1920]);
    expect((await saved(page, "Save SVG: Portrait, 2 of 2")).toString()).toMatch(/^<svg /);
    const table = (await saved(page, "Save: All pours")).toString().replace("\ufeff", "");
    // Six pours go over one skein each alone, and the others over two.
    expect(Papa.parse<string[]>(table.trim()).data.length).toBe(23);
    expect((await saved(page, "Save: Recipe sheet, A4")).toString()).toContain("210mm 297mm");
    expect((await saved(page, "Save: Take-away recipe")).length).toBeLessThan(400_000);
  });
});

describe("the publishing kit of a session on the bench", () => {
  test("is there while it is live, says that it is not whole, and leads back", async () => {
    const bench = await house.benchClient(token);
    await bench.must({ type: "goLive" });
    tablet = await Tablet.open(browser, house.address, { token, size: "wide" });
    const { page } = tablet;
    await tablet.button("Bench").waitFor();
    await page.locator(".live-name button").click();
    await tablet.tap("Publishing kit: card, recipe and texts");
    await page.getByText("This session is not closed.").waitFor();
    await page.getByText("There is no dyed skein to list.").waitFor();
    await page.getByText("There are no captions and no chapters").waitFor();
    await shot(page, "kit-live-wide", true);
    await tablet.tap("Back to the sessions");
    await page.getByRole("heading", { name: "Addresses" }).waitFor();

    // With a clock, and a pour in its time, there are captions.
    await house.ask("POST", "/api/broadcast/live-now", { token });
    await bench.must({ type: "advance", expect: "s1" });
    await pause(450);
    await bench.must({ type: "advance", expect: "s2" });
    await tablet.tap("Publishing kit: card, recipe and texts");
    await tablet.tap("Copy: Captions, WebVTT");
    expect(await clipboard(page)).toMatch(/^WEBVTT[\s\S]*40\u202fmL Lantern 1\u202f% into pan A/);
    expect((await saved(page, "Save: Chapters")).toString()).toMatch(/^WEBVTT\n/);
  });
});

describe("the code on screen", () => {
  test("is chosen among the bench's addresses, or typed", async () => {
    const bench = await house.benchClient(token);
    tablet = await Tablet.open(browser, house.address, { token, size: "wide", axe: true });
    const { page } = tablet;
    const dialog = await tablet.bench("On screen");
    const { body } = await house.ask("GET", "/api/addresses", { token });
    const [follow = ""] = body.follow;
    await dialog.getByRole("button", { name: follow.replace("http://", "") }).click();
    await expect.poll(() => bench.known().overlay.code).toBe(follow);

    const field = dialog.getByLabel("Another address");
    await field.fill(`recipes.example/${"dusk".repeat(20)}`);
    await dialog.getByRole("button", { name: "Show it" }).click();
    await dialog.getByText("longer than the 53 letters").waitFor();
    expect(bench.known().overlay.code).toBe(follow);
    await field.fill("recipes.example/dusk");
    await dialog.getByRole("button", { name: "Show it" }).click();
    await expect.poll(() => bench.known().overlay.code).toBe("https://recipes.example/dusk");
    await page.getByText("typed here").waitFor();
    await shot(page, "bench-code-wide");
    await page.setViewportSize(sizes.tall);
    await shot(page, "bench-code-tall");
    expect(await axeViolations(page)).toEqual([]);
    await dialog.getByRole("button", { name: "No code" }).click();
    await expect.poll(() => bench.known().overlay.code).toBeUndefined();
  });
});
