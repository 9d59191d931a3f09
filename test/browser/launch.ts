/**
 * Real browsers for tests and benchmarks.
 *
 * ```ts
 * import { browsers, launchBrowser, shot } from "../browser/launch.ts";
 *
 * describe.each(browsers)("the overlay in $label", ({ name }) => {
 *   let browser: Browser;
 *   beforeAll(async () => {
 *     browser = await launchBrowser(name);
 *   });
 *
 *   test("says what goes in now", async () => {
 *     const page = await browser.newPage({ viewport: { width: 1920, height: 1080 } });
 *     await page.goto(`${server.url}/overlay`);
 *     expect(await page.textContent("[data-volume]")).toBe("12 mL");
 *     await shot(page, `overlay-pour-${name}`); // test/shots/overlay-pour-103.png
 *   });
 * });
 * ```
 *
 * - Name the file `*.browser.test.ts`: those run few at a time and with long timeouts, and what a
 *   test file launched is closed after it even if a test failed.
 * - `launchBrowser(name, { hosts: ["bench.test"] })` makes `http://bench.test:4707` reach this
 *   machine, as a name that is no secure context. No other name but `localhost` resolves, so that
 *   a page which dials out fails.
 * - A scenario that needs only one browser takes `launchBrowser("current")`.
 * - On Linux x64 nothing of the system's is used, neither libraries nor fonts: the only typeface is
 *   Open Sans. Elsewhere an installed Chrome is "current", and 103 and 127 are left out.
 */
import { mkdir } from "node:fs/promises";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { type Browser, chromium, type LaunchOptions, type Page } from "playwright-core";
import { type BrowserName, unpackBrowser } from "./unpack.ts";

export type { BrowserName };

/** Whether the packaged browsers run here; elsewhere an installed Chrome stands in for "current". */
export const packaged = process.platform === "linux" && process.arch === "x64";

const all: readonly { name: BrowserName; label: string }[] = [
  { name: "103", label: "Chromium 103" },
  { name: "127", label: "Chromium 127" },
  { name: "current", label: packaged ? "current Chromium" : "the installed Chrome" },
];

/** The browsers available on this system, for `describe.each`. */
export const browsers = packaged ? all : all.filter(({ name }) => name === "current");

/** The browsers that this system cannot run, to be said aloud. */
export const skippedBrowsers = all.filter((browser) => !browsers.includes(browser));

const open = new Set<Browser>();

/**
 * Starts a headless browser.
 *
 * @param which "103", "127" or "current"; an Error where this system cannot run it
 * @param options `hosts`: names that shall reach this machine; `args`: further browser flags
 */
export async function launchBrowser(
  which: BrowserName,
  { hosts = [], args = [] }: { hosts?: string[]; args?: string[] } = {},
): Promise<Browser> {
  if (!browsers.some(({ name }) => name === which)) {
    throw new Error(`Chromium ${which} runs on Linux x64 only, and this is another system.`);
  }
  const names = hosts.map((host) => `MAP ${host} 127.0.0.1`);
  const browser = await chromium.launch({
    ...(await program(which)),
    headless: true,
    args: [
      "--no-sandbox",
      "--disable-gpu",
      "--disable-software-rasterizer",
      "--disable-background-networking",
      "--disable-component-update",
      "--disable-domain-reliability",
      "--disable-sync",
      "--disable-quic",
      "--no-first-run",
      "--no-pings",
      "--font-render-hinting=none",
      `--host-resolver-rules=${[...names, "MAP * ~NOTFOUND", "EXCLUDE localhost", "EXCLUDE 127.0.0.1"].join(",")}`,
      ...args,
    ],
  });
  open.add(browser);
  browser.on("disconnected", () => open.delete(browser));
  return browser;
}

async function program(which: BrowserName): Promise<LaunchOptions> {
  if (!packaged) return { channel: "chrome" };
  const { executablePath, env } = await unpackBrowser(which);
  return { executablePath, env: { ...process.env, ...env } };
}

/** Closes every browser that `launchBrowser` started in this process. */
export async function closeBrowsers(): Promise<void> {
  await Promise.all([...open].map((browser) => browser.close()));
}

/** Writes a picture of the page's window to test/shots/NAME.png, and gives back its path. */
export async function shot(page: Page, name: string, fullPage = false): Promise<string> {
  const folder = fileURLToPath(new URL("../shots/", import.meta.url));
  await mkdir(folder, { recursive: true });
  const path = join(folder, `${name}.png`);
  await page.screenshot({ path, omitBackground: true, fullPage });
  return path;
}
