import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import type { Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { loadFollow } from "../../server/http/follow.ts";
import { takeawayHtml } from "../../server/recap/takeaway.ts";
import { type PublicView, publicView } from "../../shared/session/views/publicView.ts";
import { root } from "../../tools/build.mjs";
import { browsers, launchBrowser, shot } from "../browser/launch.ts";
import { nextDay } from "../scenario/nextDay.ts";
import { longSession } from "./long.ts";

const axeFile = createRequire(import.meta.url).resolve("axe-core/axe.min.js");
const folder = mkdtempSync(join(tmpdir(), "pourside-takeaway-"));
const addresses: Record<"long" | "nextDay", string> = { long: "", nextDay: "" };

beforeAll(() => {
  const build = loadFollow(join(root, "dist", "pages"));
  const write = (name: keyof typeof addresses, view: PublicView) => {
    const file = join(folder, `${name}.html`);
    const facts = { session: "session", seq: 9, madeAt: Date.UTC(2031, 4, 19), build };
    writeFileSync(file, takeawayHtml(view, facts));
    addresses[name] = pathToFileURL(file).href;
  };
  write("long", longSession(300, 300));
  write("nextDay", publicView(nextDay().desk.state));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const plain = (text: string) => text.replace(/[\s\u202f]+/g, " ");

describe.each(browsers.filter(({ name }) => name !== "127"))("a file in $label", ({ name }) => {
  test("of 300 pours stands there as text, and its script unpacks, draws and scales it", async () => {
    const browser = await launchBrowser(name);
    const still = await browser.newContext({ javaScriptEnabled: false });
    const bare = await still.newPage();
    await bare.goto(addresses.long);
    expect(plain((await bare.locator("#follow").allInnerTexts()).join())).toContain("300. ");
    expect(await bare.locator("[data-pour]").count()).toBe(0);
    await shot(bare, `takeaway-long-still-${name}`);
    await still.close();

    const page = await browser.newPage({ viewport: { width: 390, height: 844 } });
    const troubles: string[] = [];
    page.on("pageerror", (error) => troubles.push(String(error)));
    page.on("console", (line) => line.type() === "error" && troubles.push(line.text()));
    await page.goto(addresses.long);
    await page.locator('[data-pour="300"]').waitFor();
    expect(await page.locator("[data-pour]").count()).toBe(300);
    await page.locator(".mine h2 button").click();
    await page.getByLabel("I have none: powder only").check();
    await page.getByText("Dry measuring is cruder than stock").first().waitFor();
    expect(troubles).toEqual([]);
    await browser.close();
  });
});

test("what was corrected and dyed the next day is there, and clean", async () => {
  const browser = await launchBrowser("current");
  const sizes = { phone: [390, 844], desk: [1440, 900] } as const;
  for (const [size, [width, height]] of Object.entries(sizes)) {
    // The file's own policy refuses the checker's script, and rightly so.
    const context = await browser.newContext({ viewport: { width, height }, bypassCSP: true });
    const page = await context.newPage();
    await page.goto(addresses.nextDay);
    const line = page.locator('[data-pour="1"]');
    expect(plain((await line.allInnerTexts()).join())).toContain("Why misread the <syringe>");
    await page.getByRole("heading", { name: "After the stream", exact: true }).waitFor();
    expect(await violations(page)).toEqual([]);
    const room = await page.evaluate(() => document.documentElement.scrollWidth);
    expect(room).toBeLessThanOrEqual(width);
    await shot(page, `takeaway-next-day-${size}`, true);
    await context.close();
  }
});

async function violations(page: Page): Promise<string[]> {
  await page.addScriptTag({ path: axeFile });
  return await page.evaluate(async () => {
    const { axe } = window as unknown as {
      axe: { run(options: unknown): Promise<{ violations: { id: string }[] }> };
    };
    const { violations } = await axe.run({ resultTypes: ["violations"] });
    return violations.map(({ id }) => id);
  });
}
