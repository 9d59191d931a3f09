import { readFile } from "node:fs/promises";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { openFile, writeFile } from "../../shared/plan/file.ts";
import type { PreparationWord } from "../../shared/prepare/word.ts";
import { launchBrowser } from "../browser/launch.ts";
import { Desk, pourOf } from "../scenario/desk.ts";
import { dye } from "../scenario/prepare.ts";
import { PrepareTable } from "./table.ts";

let browser: Browser;
let table: PrepareTable;
let page: Page;

beforeAll(async () => {
  browser = await launchBrowser("current");
  table = await PrepareTable.open(browser);
  page = table.page;
  await table.tab("Files");
});
afterAll(() => table.close());

const word = async () => {
  await table.saved();
  return (await table.ask("/api/preparation")) as PreparationWord;
};
const press = (name: string) => page.getByRole("button", { name, exact: true }).click();
const choose = (name: string, text: string) =>
  page
    .getByLabel("File to open")
    .setInputFiles({ name, mimeType: "application/json", buffer: Buffer.from(text) });
const saved = async (button: string) => {
  const coming = page.waitForEvent("download");
  await press(button);
  const download = await coming;
  return {
    name: download.suggestedFilename(),
    text: await readFile(await download.path(), "utf8"),
  };
};

describe("files", () => {
  test("are explained before there are any, with nothing that axe finds", async () => {
    await page.getByRole("button", { name: /^Start the next one/ }).waitFor();
    expect(await table.look("files")).toEqual([]);
  });

  test("of the shelf and of a plan are saved, and hold what is here", async () => {
    const { shelf, plans } = await word();
    const whole = await saved("Save as file: the shelf");
    expect(whole.name).toBe("shelf.shelf.json");
    expect(openFile(whole.text)).toMatchObject({ ok: true, file: { pourside: "shelf", shelf } });
    const plan = await saved("Save as file: the plan Harbour at dusk");
    expect(plan.name).toBe("harbour-at-dusk.plan.json");
    expect(openFile(plan.text)).toMatchObject({
      ok: true,
      file: { pourside: "plan", plan: plans["harbour-at-dusk"]?.plan },
    });
  });

  test("that are damaged or foreign are refused by the line, and nothing is changed", async () => {
    const before = await word();
    const { text } = await saved("Save as file: the shelf");
    await choose("torn.json", text.replaceAll('"dyeClass": "', '"dyeClass": "x'));
    await page.getByText("was not opened, and nothing was changed").waitFor();
    const lines = page.locator(".files-problems li");
    expect(await lines.count()).toBe(before.shelf.dyes.length);
    expect(await lines.first().textContent()).toMatch(/^Line \d+shelf, dyes 1, dyeClass.*\.$/);
    expect(await table.look("files-refused")).toEqual([]);
    await choose("list.json", "[1, 2, 3]");
    await page.getByText("not a shelf, a plan or a session of Pourside").waitFor();
    expect((await word()).seq).toBe(before.seq);
  });

  test("of a shelf say what will happen, do it, and are one step back", async () => {
    const before = await word();
    const [first, ...rest] = before.shelf.dyes;
    if (!first) throw new Error("There is no dye.");
    const shelf = {
      ...before.shelf,
      dyes: [{ ...first, onHandUg: 7_000_000 }, dye("kelp", { name: "Kelp" })],
    };
    await choose(
      "given.json",
      writeFile({ pourside: "shelf", shelf: { ...shelf, stocks: [], swatches: [] } }),
    );
    await page.getByText("New on the shelf: 1 dye.").waitFor();
    await page.getByText("Replaced by what the file says: 1 dye.").waitFor();
    expect(await table.look("files-shelf")).toEqual([]);
    await press("Put it on the shelf");
    await page.getByText("It is on the shelf now.").waitFor();
    const after = await word();
    expect(after.shelf.dyes.map(({ id }) => id)).toEqual([
      first.id,
      ...rest.map(({ id }) => id),
      "kelp",
    ]);
    expect(after.shelf.stocks).toEqual(before.shelf.stocks);
    await press("Undo");
    expect((await word()).shelf).toEqual(before.shelf);
  });

  test("of a plan become a new plan, which is then the one in hand", async () => {
    const { text } = await saved("Save as file: the plan Harbour at dusk");
    await choose("dusk.json", text);
    await page.getByText(/A new plan, Harbour at dusk 2/).waitFor();
    await press("Take the plan in");
    await expect
      .poll(() => page.getByLabel("Plan", { exact: true }).locator("option:checked").textContent())
      .toBe("Harbour at dusk 2");
    const { plans } = await word();
    const all = Object.values(plans).map((line) => line.plan);
    expect(all.at(-1)).toEqual({ ...all[0], name: "Harbour at dusk 2" });
  });

  test("of a session go into the record, and the next one starts from it", async () => {
    const desk = Desk.live();
    desk.must({ type: "pour", pour: pourOf("lantern", 12_500) });
    desk.must({ type: "close" });
    const session = "evening";
    await choose("evening.json", writeFile({ pourside: "session", session, events: desk.events }));
    await press("Put it into the record");
    await page.getByText("The session is in the record now.").waitFor();
    const next = page.getByRole("button", {
      name: /^Start the next one from this: Harbour at dusk/,
    });
    await expect.poll(() => next.count()).toBe(2);
    // The one that was written last stands first, and that is the one on the bench.
    await next.nth(1).click();
    await page.getByText(/^Began Harbour at dusk \d\. On the shelf \d bottles stand/).waitFor();
    expect(await table.look("files-next")).toEqual([]);
    const { shelf } = await word();
    const left = desk.state.setup.stocks.lantern?.volumeUl ?? 0;
    expect(shelf.stocks.find(({ id }) => id === "lantern")?.volumeUl).toBe(left - 12_500);
  });

  test("never fell over", () => {
    expect(table.tablet.errors).toEqual([]);
  });
});
