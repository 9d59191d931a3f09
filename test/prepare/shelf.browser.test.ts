import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import type { PreparationWord } from "../../shared/prepare/word.ts";
import type { Shelf } from "../../shared/shelf/shelf.ts";
import { launchBrowser } from "../browser/launch.ts";
import { PrepareTable } from "./table.ts";

let browser: Browser;
let table: PrepareTable;
let page: Page;

beforeAll(async () => {
  browser = await launchBrowser("current");
  table = await PrepareTable.open(browser);
  page = table.page;
  await table.tab("Shelf");
});
afterAll(() => table.close());

const shelf = async (): Promise<Shelf> => {
  await table.saved();
  return ((await table.ask("/api/preparation")) as PreparationWord).shelf;
};
const status = () => page.locator(".prepare-said").textContent();

describe("the shelf", () => {
  test("takes a new dye with what its safety data sheet warns of", async () => {
    await page.getByRole("button", { name: "Add a dye", exact: true }).click();
    await page.getByLabel("Name", { exact: true }).fill("Kelp");
    await page.getByLabel("Class", { exact: true }).selectOption("metalComplex");
    await page.getByLabel("Powder on hand", { exact: true }).fill("1 oz");
    await page.getByLabel("Colour it gave", { exact: true }).fill("#2f4a3c");
    await page.getByLabel("At a depth of", { exact: true }).fill("0,5");
    await page.getByLabel("Used bath: check local rules before tipping").check();
    const dye = (await shelf()).dyes.at(-1);
    expect(dye).toMatchObject({
      name: "Kelp",
      dyeClass: "metalComplex",
      onHandUg: 28_349_523,
      hex: "#2f4a3c",
      swatchDepthPct: 0.5,
      hazards: ["wasteWater"],
    });
    expect(await table.look("shelf-dyes")).toEqual([]);
  });

  test("keeps a blend once its fibres add to a hundred", async () => {
    await page.getByRole("button", { name: "Yarns", exact: true }).click();
    await page.getByRole("button", { name: "Add a yarn", exact: true }).click();
    await page.getByLabel("Share of fibre 1", { exact: true }).fill("80");
    await page.getByText("add to 80").waitFor();
    expect((await shelf()).bases.at(-1)?.fibres).toEqual([{ fibre: "wool", pct: 100 }]);
    await page.getByRole("button", { name: "One more fibre", exact: true }).click();
    expect((await shelf()).bases.at(-1)?.fibres).toEqual([
      { fibre: "wool", pct: 80 },
      { fibre: "nylon", pct: 20 },
    ]);
    await page.getByRole("button", { name: "Add a fleck", exact: true }).click();
    expect(await table.look("shelf-yarns")).toEqual([]);
  });

  test("lets go of what nothing uses, and retires the rest", async () => {
    await page.getByRole("button", { name: "Off the shelf for good", exact: true }).click();
    await expect.poll(status).toMatch(/took the yarn New yarn off the shelf/);
    await page.locator(".shelf-item", { hasText: "Quay sock" }).click();
    await page.getByRole("button", { name: "Off the shelf for good", exact: true }).click();
    await expect.poll(status).toMatch(/used by the plan Harbour at dusk. Retire it instead/);
    await page.getByRole("button", { name: "Out of use", exact: true }).click();
    expect((await shelf()).bases.find(({ id }) => id === "quay")?.retired).toBe(true);
    await page.getByRole("button", { name: "Undo", exact: true }).click();
    await expect.poll(async () => (await shelf()).bases[0]?.retired).toBe(false);
  });

  test("calibrates a dropper from twenty drops", async () => {
    await page.getByRole("button", { name: "Measuring tools", exact: true }).click();
    await page.getByRole("button", { name: "Add a tool", exact: true }).click();
    await page.getByLabel("Kind", { exact: true }).selectOption("dropper");
    await page.getByLabel("20 drops together weigh", { exact: true }).fill("0.9 g");
    expect((await shelf()).tools.at(-1)?.tool).toEqual({ kind: "dropper", dropUl: 45 });
    expect(await table.look("shelf-tools")).toEqual([]);
  });

  test("goes out as a table and comes back, and a table with a mistake changes nothing", async () => {
    await page.getByRole("button", { name: "Dyes", exact: true }).click();
    const [download] = await Promise.all([
      page.waitForEvent("download"),
      page.getByRole("button", { name: "Save the table", exact: true }).click(),
    ]);
    const stream = await download.createReadStream();
    let text = "";
    for await (const part of stream) text += part;
    const put = (content: string) =>
      page.locator(".tables input[type=file]").setInputFiles({
        name: "dyes.csv",
        mimeType: "text/csv",
        buffer: Buffer.from(content),
      });
    const before = await shelf();
    await put(text.replace("Saltmarsh", "Salt marsh").replace("Lantern", '"=HYPERLINK(1)"'));
    await page.getByText("0 lines added, 7 changed.").waitFor();
    await page.getByRole("button", { name: "Take it in", exact: true }).click();
    await expect
      .poll(async () => (await shelf()).dyes.map(({ name }) => name))
      .toContain("Salt marsh");
    await page.getByRole("button", { name: "Undo", exact: true }).click();
    await expect.poll(shelf).toEqual(before);
    const lines = text.split("\n");
    await put([...lines.slice(0, 2), lines[2]?.replace("unsure", "sunny") ?? "", ""].join("\n"));
    await page.getByText(/^Line 3: /).waitFor();
    expect(await shelf()).toEqual(before);
    expect(table.tablet.errors).toEqual([]);
  });
});
