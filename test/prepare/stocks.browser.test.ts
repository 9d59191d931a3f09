import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { THIN_SPACE } from "../../shared/dye/display.ts";
import type { PreparationWord } from "../../shared/prepare/word.ts";
import { launchBrowser, shot } from "../browser/launch.ts";
import { dye, stock } from "../scenario/prepare.ts";
import { PrepareTable } from "./table.ts";

let browser: Browser;
let table: PrepareTable;
let page: Page;

beforeAll(async () => {
  browser = await launchBrowser("current");
  table = await PrepareTable.open(browser);
  page = table.page;
  await table.tab("Stocks");
});
afterAll(() => table.close());

const word = async () => {
  await table.saved();
  return (await table.ask("/api/preparation")) as PreparationWord;
};
const press = (name: string) => page.getByRole("button", { name, exact: true }).click();
const fill = async (label: string, text: string) => {
  await page.getByLabel(label, { exact: true }).fill(text);
};
const bottle = (name: string) => page.locator(".stocks-bottle", { hasText: name });

describe("the bottles of stock solution", () => {
  test("stand in a list with level, strength and colour, with nothing that axe finds", async () => {
    await bottle("Saltmarsh").first().waitFor();
    expect(await page.locator(".stocks-bottle").count()).toBe(6);
    expect(await table.look("stocks")).toEqual([]);
  });

  test("are made from powder: what the scale read gives the strength, and the jar holds less", async () => {
    const before = await word();
    const first = before.shelf.dyes[0];
    if (!first) throw new Error("There is no dye.");
    await table.ask("/api/preparation", {
      id: "jar",
      prepare: {
        type: "change",
        change: { change: "shelve", part: "dyes", item: { ...first, onHandUg: 3_000_000 } },
      },
    });
    await press("Make up a stock");
    await fill("Made up to", "200 ml");
    await fill("Strength, g in 100 mL", "1");
    await page.getByText(/^Weigh 2/).waitFor();
    await fill("What the scale read", "2.04 g");
    await fill("Name on the bottle", "Made today");
    // 2.04 g in 200 mL is 1.02 %; half a division of 0.01 g either way is 0.0025 %.
    const says = page.locator(".stocks-weigh");
    expect(await says.textContent()).toContain(`make it 1.02${THIN_SPACE}%`);
    expect(await page.locator(".stocks-caution").first().textContent()).toMatch(/^Dry dye powder/);
    expect(await table.look("stocks-make")).toEqual([]);
    await press("It is made");
    await bottle("Made today").waitFor();
    const made = (await word()).shelf;
    expect(made.stocks.at(-1)).toMatchObject({
      volumeUl: 200_000,
      dyes: { [first.id]: 2_040_000 },
      toMake: false,
    });
    expect(made.dyes[0]?.onHandUg).toBe(960_000);
    await press("Undo");
    await bottle("Made today").waitFor({ state: "detached" });
    const back = (await word()).shelf;
    expect([back.stocks, back.dyes[0]?.onHandUg]).toEqual([before.shelf.stocks, 3_000_000]);
    await press("Make up a stock");
    await fill("Made up to", "500 ml");
    await page.getByText(/is more than the 3\sg on hand\./).waitFor();
    await press("Leave it");
  });

  test("are diluted, tipped out and set right, each one step back", async () => {
    const before = await word();
    const [full] = before.shelf.stocks;
    if (!full) throw new Error("There is no bottle.");
    await press("Dilute");
    await fill("To a strength of", "0.1");
    await fill("How much of it", "100 ml");
    await fill("Name on the bottle", "Thin");
    await shot(page, "prepare-stocks-dilute");
    await press("It is done");
    await bottle("Thin").waitFor();
    const thin = (await word()).shelf.stocks.at(-1);
    const all = Object.values(thin?.dyes ?? {}).reduce((sum, ug) => sum + ug, 0);
    expect([thin?.volumeUl, all]).toEqual([100_000, 100_000]);
    await bottle("Thin").click();
    await fill("Volume", "40 ml");
    await press("Spilled");
    await expect.poll(async () => (await word()).shelf.stocks.at(-1)?.volumeUl).toBe(60_000);
    await fill("Volume", "55 ml");
    expect(await table.look("stocks-bottle")).toEqual([]);
    await press("Holds so much");
    await expect.poll(async () => (await word()).shelf.stocks.at(-1)?.volumeUl).toBe(55_000);
    for (let n = 0; n < 3; n++) {
      await press("Undo");
      await table.saved();
    }
    expect((await word()).shelf.stocks).toEqual(before.shelf.stocks);
  });

  test("are thirty with long names, some old and some out of use, and get labels on paper", async () => {
    const { shelf } = await word();
    const name = (n: number) =>
      `Bottle ${n} of the stock that stands at the back of the third shelf, left`;
    const stocks = Array.from({ length: 30 }, (_, n) =>
      stock(`b${n}`, "saltmarsh", 20 + n * 30, 1, {
        name: name(n),
        madeOn: n % 3 === 0 ? "2024-02-01" : "2026-11-01",
        retired: n > 27,
        toMake: n === 4,
      }),
    );
    const dyes = [...shelf.dyes, dye("kelp", { name: "Kelp ".repeat(15).trim() })];
    const change = {
      change: "shelf",
      because: "filled",
      shelf: { ...shelf, dyes, stocks: [...shelf.stocks, ...stocks] },
    };
    await table.ask("/api/preparation", { id: "many", prepare: { type: "change", change } });
    await expect.poll(() => page.locator(".stocks-bottle").count()).toBe(34);
    expect(await page.getByText(/More than a year old/).count()).toBe(10);
    await press("Show 2 out of use");
    expect(await table.look("stocks-many")).toEqual([]);
    await press("Bottle labels");
    expect(await table.look("labels")).toEqual([]);
    const sheets = page.locator(".labels-sheet");
    expect(await sheets.count()).toBe(3);
    expect(await page.locator(".label").first().textContent()).toMatch(
      /Dye stock solution.*Not food.*Keep .*away from children/,
    );
    for (const [paper, grid, pages] of [
      ["A4", "2x7", 3],
      ["letter", "3x8", 2],
    ] as const) {
      await page.getByLabel("Paper", { exact: true }).selectOption(paper);
      await page.getByLabel("Labels on a sheet", { exact: true }).selectOption(grid);
      const pdf = await page.pdf({
        preferCSSPageSize: true,
        ...(process.env.PDF_FOLDER
          ? { path: `${process.env.PDF_FOLDER}/labels-${paper}.pdf` }
          : {}),
      });
      expect(pdf.toString("latin1").match(/\/Type\s*\/Page\b/g)).toHaveLength(pages);
    }
  });

  test("never fell over", () => {
    expect(table.tablet.errors).toEqual([]);
  });
});
