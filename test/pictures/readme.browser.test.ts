import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { launchBrowser, shot } from "../browser/launch.ts";
import { House } from "../overlay/house.ts";

const root = fileURLToPath(new URL("../..", import.meta.url));

/** A dye pan seen from above, as a camera over the bench would show it. */
const camera = `data:image/svg+xml,${encodeURIComponent(
  `<svg xmlns="http://www.w3.org/2000/svg" width="1920" height="1080" viewBox="0 0 1920 1080">
    <rect width="1920" height="1080" fill="#6d6254"/>
    <path d="M0 300h1920M0 640h1920M0 980h1920" stroke="#5f5548" stroke-width="6"/>
    <ellipse cx="960" cy="420" rx="430" ry="340" fill="#c9c8c4"/>
    <ellipse cx="960" cy="420" rx="398" ry="310" fill="#5d8290"/>
  </svg>`,
)}`;

let house: House;
let browser: Browser;

beforeAll(async () => {
  house = await House.open();
  browser = await launchBrowser("current");
  await house.does({ type: "goLive" });
  await house.until("s11");
});

afterAll(async () => {
  await house.close();
});

async function open(address: string, width: number, height: number, scale = 1): Promise<Page> {
  const context = await browser.newContext({
    viewport: { width, height },
    deviceScaleFactor: scale,
  });
  const page = await context.newPage();
  await page.goto(address);
  return page;
}

describe("the pictures that the README shows", () => {
  test("of the overlay", async () => {
    const page = await open(house.overlay, 1920, 1080);
    await page.getByText("37.5").first().waitFor();
    await page.evaluate((image) => {
      document.documentElement.style.background = `url('${image}')`;
    }, camera);
    await page.waitForTimeout(1500);
    await shot(page, "readme-overlay");
  });

  test("of the controller", async () => {
    const page = await open(house.controller, 1180, 820);
    await page.getByRole("button", { name: "Poured" }).waitFor();
    await shot(page, "readme-controller");
  });

  test("of the follow page", async () => {
    const page = await open(`${house.address}/follow`, 390, 844, 2);
    await page.getByText("37.5").first().waitFor();
    await shot(page, "readme-follow");
  });

  test("are all there", () => {
    const named = [
      ...readFileSync(join(root, "README.md"), "utf8").matchAll(/\]\((pictures\/[^)]+)\)/g),
    ];
    expect(named.map(([, file]) => file)).toHaveLength(3);
    for (const [, file = ""] of named) expect(existsSync(join(root, file)), file).toBe(true);
  });
});
