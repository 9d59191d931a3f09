import jsQR from "jsqr";
import type { Browser, Page } from "playwright-core";
import { PNG } from "pngjs";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { mostAddressLetters } from "../../shared/session/command.ts";
import { browsers, launchBrowser, shot } from "../browser/launch.ts";
import { House } from "../overlay/house.ts";
import { faults, measure, words } from "../overlay/measure.ts";

const grounds = {
  light: "#f7f7f5",
  dark: "#050505",
  busy:
    "repeating-linear-gradient(38deg, #d33 0 34px, #f7f3c0 34px 61px, #185 61px 88px, #114 88px 130px)," +
    "#888",
};
const inRoom = "http://192.0.2.7:4707/follow";
const published = "https://recipes.example/harbour-at-dusk/take-away.html";
const longest = published.slice(0, mostAddressLetters);

/** The picture as it is sent at 640 by 360: each pixel the mean of nine. */
function shrunk(png: PNG): { pixels: Uint8ClampedArray; width: number; height: number } {
  const [width, height] = [png.width / 3, png.height / 3];
  const pixels = new Uint8ClampedArray(width * height * 4).fill(255);
  for (let y = 0; y < height; y += 1) {
    for (let x = 0; x < width; x += 1) {
      for (let channel = 0; channel < 3; channel += 1) {
        let sum = 0;
        for (let dy = 0; dy < 3; dy += 1) {
          for (let dx = 0; dx < 3; dx += 1) {
            sum += png.data[4 * ((3 * y + dy) * png.width + 3 * x + dx) + channel] ?? 0;
          }
        }
        pixels[4 * (y * width + x) + channel] = Math.round(sum / 9);
      }
    }
  }
  return { pixels, width, height };
}

async function decoded(page: Page): Promise<string | undefined> {
  const { pixels, width, height } = shrunk(PNG.sync.read(await page.screenshot()));
  return jsQR(pixels, width, height)?.data;
}

// The oldest browser that broadcasters embed, and the newest there is.
describe.each(browsers.filter(({ name }) => name !== "127"))(
  "the code on the broadcast page in $label",
  ({ name }) => {
    let browser: Browser;
    let house: House;
    let page: Page;

    beforeAll(async () => {
      browser = await launchBrowser(name);
      house = await House.open();
      page = await browser.newPage({ viewport: { width: 1920, height: 1080 } });
      await page.goto(house.overlay);
      await house.goLive();
      await house.advance();
    });

    afterAll(async () => {
      await page.close();
      await house.close();
    });

    async function shows(address: string | null): Promise<void> {
      await house.does({ type: "showCode", address });
      await house.isShown();
    }

    test.each([
      ["of a bench's follow page", inRoom],
      ["of the longest address there may be", longest],
    ])("is read from a picture of 640 by 360 over any video: %s", async (_, address) => {
      await shows(address);
      expect(faults(await measure(page))).toEqual([]);
      expect(await words(page, '[data-part="code"]')).toBe(
        `Copy it at ${address.replace(/^https?:\/\//, "").replaceAll("/", "/ ")}`.trim(),
      );
      for (const [ground, css] of Object.entries(grounds)) {
        await page.evaluate((value) => {
          document.documentElement.style.background = value;
        }, css);
        expect(await decoded(page)).toBe(address);
        if (ground === "busy") await shot(page, `overlay-code-${address.length}-${name}`);
      }
      const code = await page.locator('[data-part="code"] svg').evaluate((svg: SVGSVGElement) => ({
        px: svg.getBoundingClientRect().width,
        modules: svg.viewBox.baseVal.width,
      }));
      expect(code.px / code.modules).toBeGreaterThanOrEqual(9);
      expect(Number.isInteger(code.px / code.modules)).toBe(true);
    });

    test("leaves room for timers at its left, and counts those that have none", async () => {
      // A box comes only when the last one has rested, so each is waited for.
      for (const [pan, boxes] of [
        ["A", 1],
        ["B", 2],
        ["C", 2],
      ] as const) {
        await house.does({
          type: "timerStart",
          timer: `rest of ${pan}`,
          how: "rest",
          pan,
          seconds: 600,
          waitingFor: "",
        });
        await page.waitForFunction((n) => document.querySelectorAll(".timer").length === n, boxes);
        if (pan === "C") await page.waitForSelector(".timer-more");
        expect(faults(await measure(page))).toEqual([]);
      }
      expect(await words(page, ".timers")).toContain("and 2 more");
      await shot(page, `overlay-code-timers-${name}`);
      expect(await decoded(page)).toBe(longest);
    });

    test("is not there beside tally and recap card, nor when all is hidden", async () => {
      for (const view of ["tally", "recap", "hidden"] as const) {
        await house.show(view);
        await house.isShown();
        expect(await page.locator('[data-part="code"]').count()).toBe(0);
        expect(faults(await measure(page))).toEqual([]);
      }
      await house.show("auto");
      await page.waitForSelector('[data-part="code"]');
      await shows(null);
      await page.waitForSelector('[data-part="code"]', { state: "detached" });
    });
  },
);
