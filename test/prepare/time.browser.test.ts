import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import type { Plan } from "../../shared/plan/plan.ts";
import type { PreparationWord } from "../../shared/prepare/word.ts";
import { launchBrowser, shot } from "../browser/launch.ts";
import { PrepareTable } from "./table.ts";

let browser: Browser;
let table: PrepareTable;
let page: Page;

beforeAll(async () => {
  browser = await launchBrowser("current");
  table = await PrepareTable.open(browser);
  page = table.page;
});
afterAll(() => table.close());

const plan = async (): Promise<Plan> => {
  await table.saved();
  const { plans } = (await table.ask("/api/preparation")) as PreparationWord;
  const line = plans["harbour-at-dusk"];
  if (!line) throw new Error("The demonstration is gone.");
  return line.plan;
};

describe("the time of a plan", () => {
  test("is told with what it waits for, and as a tape of minutes", async () => {
    await table.tab("Time");
    expect(await page.locator(".time-figure").textContent()).toMatch(/\d/);
    expect(await table.look("time")).toEqual([]);
    await page.getByText("The same as a list").click();
    expect(await page.locator(".day-list tbody tr").count()).toBe((await plan()).steps.length);
  });

  test("says how far it is over the stream that is wanted", async () => {
    await page.getByLabel("Stream, at the most", { exact: true }).fill("30 min");
    await page.getByText(/more than the 30.min you want/).waitFor();
    await page.getByLabel("Height above the sea", { exact: true }).fill("5000 ft");
    await page.getByLabel("Height above the sea", { exact: true }).press("Tab");
    await page.getByText(/Water boils at 9[45]/).waitFor();
    expect((await plan()).workroom).toMatchObject({ streamSeconds: 1_800, altitudeM: 1_524 });
  });

  test("of another arrangement is one tap away, and one undo back", async () => {
    const before = await plan();
    await page.getByRole("button", { name: /Take this.*All in one pan/ }).click();
    expect(new Set((await plan()).skeins.flatMap(({ pan }) => pan ?? [])).size).toBe(1);
    await page.getByRole("button", { name: "Undo", exact: true }).click();
    await expect.poll(plan).toEqual(before);
  });

  test("is corrected by one heating that was timed", async () => {
    await page.getByText("I timed one heating").click();
    const timed = page.locator(".workroom-timed");
    await timed.getByLabel("From", { exact: true }).fill("15");
    await timed.getByLabel("To", { exact: true }).fill("85");
    await timed.getByLabel("In", { exact: true }).fill("9 min");
    await timed.getByRole("button", { name: /reaches the pan: reckon with that/ }).click();
    expect((await plan()).workroom.ringEfficiency).not.toBe(0.6);
  });
});

describe("the prep sheet", () => {
  test("prints on A4 and on Letter without cutting anything off", async () => {
    await table.tab("Prep sheet");
    await page.getByRole("heading", { name: "In order" }).waitFor();
    expect(await table.look("sheet")).toEqual([]);
    const texts = await page.locator(".printed").textContent();
    for (const word of ["Saltmarsh", "Pan", "mask", "safety data sheet"]) {
      expect(texts).toContain(word);
    }
    const inch = 96;
    for (const [paper, width] of [
      ["A4", (210 / 25.4) * inch],
      ["letter", 8.5 * inch],
    ] as const) {
      await page.getByLabel("Paper", { exact: true }).selectOption(paper);
      const pdf = (await page.pdf({ preferCSSPageSize: true })).toString("latin1");
      const [, box = ""] = /\/MediaBox \[0 0 ([\d.]+)/.exec(pdf) ?? [];
      expect((Number(box) / 72) * inch).toBeCloseTo(width, -1);
      const pages = pdf.match(/\/Type \/Page\b/g)?.length ?? 0;
      expect(pages).toBeGreaterThanOrEqual(2);
      expect(pages).toBeLessThanOrEqual(4);
      await page.emulateMedia({ media: "print" });
      await page.setViewportSize({ width: Math.round(width - (28 / 25.4) * inch), height: 1000 });
      expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(
        Math.round(width - (28 / 25.4) * inch),
      );
      await shot(page, `prepare-sheet-print-${paper}`, true);
      await page.emulateMedia({ media: "screen" });
      await page.setViewportSize({ width: 1180, height: 820 });
    }
    expect(table.tablet.errors).toEqual([]);
  });
});
