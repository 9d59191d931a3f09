import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { expect, test } from "vitest";
import { browsers, launchBrowser } from "../browser/launch.ts";
import { Bench, pause } from "./bench.ts";

const lateMs = 30_000;

test("the waiting file stays transparent and loads the overlay when Pourside starts 30 s late", async () => {
  const first = await Bench.open();
  const { port } = first;
  const { text } = await first.ask("GET", "/overlay/waiting-file");
  await first.end();
  const folder = await mkdtemp(join(tmpdir(), "pourside-late-"));
  const file = join(folder, "pourside-overlay.html");
  await writeFile(file, text);
  const browser = await launchBrowser(browsers[0]?.name ?? "current");
  const page = await browser.newPage({ viewport: { width: 1280, height: 720 } });
  await page.goto(pathToFileURL(file).href);
  await pause(lateMs);
  expect(page.url()).toMatch(/^file:/);
  expect((await page.textContent("body"))?.trim()).toBe("");
  const bench = await Bench.open(port);
  await page.waitForSelector(".stage", { timeout: 30_000 });
  expect(page.url()).toMatch(/\/overlay$/);
  await browser.close();
  await bench.end();
  await rm(folder, { recursive: true });
});
