import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import type { PreparationWord } from "../../shared/prepare/word.ts";
import { emptyShelf, type Shelf } from "../../shared/shelf/shelf.ts";
import { launchBrowser } from "../browser/launch.ts";
import { axeViolations } from "../controller/benchAxe.ts";
import { dye } from "../scenario/prepare.ts";
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
const press = (name: string) => page.getByRole("button", { name, exact: true }).click();
const fill = (label: string, text: string) => page.getByLabel(label, { exact: true }).fill(text);
const put = (content: string | Uint8Array, name = "dyes.csv") =>
  page.locator(".tables input[type=file]").setInputFiles({
    name,
    mimeType: "text/csv",
    buffer: Buffer.from(content),
  });

describe("the shelf", () => {
  test("takes a new dye once it is kept, as one step, with what its safety data sheet warns of", async () => {
    const before = await shelf();
    await press("Add a dye");
    await press("Put it on the shelf");
    await page.getByText("Give it a name first.").waitFor();
    await fill("Name", "Kelp");
    await page.getByLabel("Class", { exact: true }).selectOption("metalComplex");
    await fill("Powder on hand", "1 oz");
    await fill("Colour it gave", "#2f4a3c");
    await fill("At a depth of", "0,5");
    await page.getByLabel("Used bath: check local rules before tipping").check();
    await fill("Deepest sensible shade", "-2");
    expect(await shelf()).toEqual(before);
    await press("Put it on the shelf");
    await page.getByText("One field cannot be read yet.").waitFor();
    await fill("Deepest sensible shade", "3");
    await page.keyboard.press("Enter");
    await expect.poll(status).toMatch(/added the dye Kelp/);
    const kept = (await shelf()).dyes.at(-1);
    expect(kept).toMatchObject({
      name: "Kelp",
      dyeClass: "metalComplex",
      onHandUg: 28_349_523,
      hex: "#2f4a3c",
      swatchDepthPct: 0.5,
      limitPct: 3,
      hazards: ["wasteWater"],
    });
    await press("Undo");
    await expect.poll(shelf).toEqual(before);
    await press("Redo");
    await expect.poll(async () => (await shelf()).dyes.at(-1)).toEqual(kept);
  });

  test("keeps a blend only when its fibres add to a hundred, and says the sum meanwhile", async () => {
    await press("Yarns");
    await press("Add a yarn");
    await fill("Name", "Mole heather");
    await fill("Share of fibre 1", "80");
    await page.getByText("80\u202f%: 20\u202f% is missing.").waitFor();
    await press("Put it on the shelf");
    await page.getByText(/add to 80\u202f%, not 100/).waitFor();
    await press("One more fibre");
    await fill("Share of fibre 2", "21");
    await page.getByText("80 + 21 = 101\u202f%: 1\u202f% too much.").waitFor();
    await fill("Share of fibre 2", "20");
    await fill("Fibre 2", "viscose");
    await page.getByText("takes no acid dye").waitFor();
    await press("Add a fleck");
    await page.getByLabel("Takes dye", { exact: true }).check();
    await press("Put it on the shelf");
    await expect.poll(status).toMatch(/added the yarn Mole heather/);
    expect((await shelf()).bases.at(-1)).toMatchObject({
      name: "Mole heather",
      fibres: [
        { fibre: "wool", pct: 80 },
        { fibre: "viscose", pct: 20 },
      ],
      flecks: [{ name: "peat", hex: "#5a4632", takesDye: true }],
    });
    const drawn = page.locator(".shelf-item", { hasText: "Mole heather" }).locator("svg path");
    expect(await drawn.and(page.locator('[fill="#5a4632"]')).count()).toBe(1);
    expect(await table.look("shelf-yarns")).toEqual([]);
  });

  test("lets go of what nothing uses, and retires the rest", async () => {
    await press("Off the shelf for good");
    await press("Tap again to take it off");
    await expect.poll(status).toMatch(/took the yarn Mole heather off the shelf/);
    await page.locator(".shelf-item", { hasText: "Quay sock" }).click();
    await press("Off the shelf for good");
    await press("Tap again to take it off");
    await expect.poll(status).toMatch(/used by the plan Harbour at dusk. Retire it instead/);
    await press("Out of use");
    await expect.poll(status).toMatch(/retired the yarn Quay sock/);
    expect((await shelf()).bases.find(({ id }) => id === "quay")?.retired).toBe(true);
    expect(await page.locator(".shelf-item", { hasText: "Quay sock" }).count()).toBe(0);
    await press("Show 1 out of use");
    await page.locator(".shelf-item", { hasText: "Quay sock" }).waitFor();
    await press("Undo");
    await expect.poll(async () => (await shelf()).bases[0]?.retired).toBe(false);
  });

  test("calibrates a dropper from twenty drops, and refuses marks wider than the tool", async () => {
    await press("Measuring tools");
    await press("Add a tool");
    await fill("Name", "Glass dropper");
    await page.getByLabel("Kind", { exact: true }).selectOption("dropper");
    await fill("20 drops together weigh", "0.9 g");
    await press("Put it on the shelf");
    await expect.poll(status).toMatch(/added the tool Glass dropper/);
    expect((await shelf()).tools.at(-1)?.tool).toEqual({ kind: "dropper", dropUl: 45 });
    await press("Add a tool");
    await fill("Name", "Odd");
    await fill("Marked every", "20 ml");
    await press("Put it on the shelf");
    await page.getByText("Its marks stand further apart than it holds.").waitFor();
    await press("Leave it");
  });

  test("goes out as a table and comes back after it was looked at", async () => {
    await press("Dyes");
    const [download] = await Promise.all([page.waitForEvent("download"), press("Save the table")]);
    let text = "";
    for await (const part of await download.createReadStream()) text += part;
    const before = await shelf();
    await put(text.replace("Saltmarsh", "Salt marsh").replace("Lantern", '"=HYPERLINK(1)"'));
    await page.getByText("every line can be read").waitFor();
    expect((await page.locator(".tables-coming li").allTextContents()).sort()).toEqual([
      "Changed=HYPERLINK(1)",
      "ChangedSalt marsh",
      expect.stringMatching(/^Same5 lines/),
    ]);
    expect(await shelf()).toEqual(before);
    await press("Take in 2 lines");
    await expect.poll(status).toMatch(/took in a table of dyes/);
    expect((await shelf()).dyes.map(({ name }) => name)).toContain("Salt marsh");
    await press("Undo");
    await expect.poll(shelf).toEqual(before);
  });

  test("says of each bad line what is wrong, and takes in only the good ones when asked to", async () => {
    const before = await shelf();
    expect(await page.locator(".shelf-side .shelf-editor").count()).toBe(0);
    await put("name,class,on hand\nBilge,sunny,2 g\nOakum,milling,1\u202f g\n=1+1,milling,a lot\n");
    await page.getByText("2 lines cannot be read. Nothing was changed.").waitFor();
    const said = await page.locator(".tables-problems li").allTextContents();
    expect(said).toEqual([
      expect.stringMatching(/^Line 2class: "sunny" is not one of levelling/),
      expect.stringMatching(/^Line 4on hand: /),
    ]);
    expect(await shelf()).toEqual(before);
    expect(await axeViolations(page)).toEqual([]);
    await press("Take in only the good line");
    await expect.poll(async () => (await shelf()).dyes.length).toBe(before.dyes.length + 1);
    await press("Undo");
    await expect.poll(shelf).toEqual(before);
    await page.getByLabel("Of all", { exact: true }).selectOption("stocks");
    await put("name,volume,dyes\nThin,10 ml,1 % saltmarsh\n", "bottles.csv");
    await press("Take in 1 line");
    await expect.poll(async () => (await shelf()).stocks.at(-1)?.name).toBe("Thin");
    await press("Undo");
    await expect.poll(shelf).toEqual(before);
    await page.getByLabel("Of all", { exact: true }).selectOption("dyes");
    for (const [content, says] of [
      [new Uint8Array([0x6e, 0x61, 0x6d, 0x65, 0x0a, 0xe9, 0x0a]), /Line 2.*not UTF-8/],
      [`name\n${"x\n".repeat(1_000_000)}`, /goes on past 2,000 lines/],
      [new Uint8Array([0x4d, 0x5a, 0, 0, 1]), /not a text file/],
    ] as const) {
      await put(content);
      await expect.poll(() => page.locator(".tables-problems").textContent()).toMatch(says);
      expect(await page.getByRole("button", { name: /^Take in/ }).count()).toBe(0);
    }
    await press("Leave it");
    expect(await shelf()).toEqual(before);
  });

  test("holds forty dyes with long names, and is looked through by typing", async () => {
    const long =
      "Estuary mud at the lowest ebb of the year, second batch, from the blue-lidded jar";
    const all = await shelf();
    const dyes = Array.from({ length: 34 }, (_, n) =>
      dye(`jar${n}`, {
        name: n % 5 === 0 ? `${n} ${long}`.slice(0, 80) : `Jar ${n}`,
        code: `W-${300 + n}`,
        hex: `#${((n * 7_654_321) % 0xffffff).toString(16).padStart(6, "0")}`,
        onHandUg: n * 1_234_000,
      }),
    );
    await table.ask("/api/preparation", {
      id: "forty",
      prepare: {
        type: "change",
        change: {
          change: "shelf",
          shelf: { ...all, dyes: [...all.dyes, ...dyes] },
          because: "filled the shelf",
        },
      },
    });
    await page.locator(".shelf-item", { hasText: "Jar 33" }).waitFor();
    await page.locator(".shelf-item", { hasText: "5 Estuary mud" }).first().click();
    expect(await table.look("shelf-forty")).toEqual([]);
    await page.getByLabel("Find among dyes").fill("w-312");
    expect(await page.locator(".shelf-item").count()).toBe(1);
    await page.getByLabel("Find among dyes").fill("nothing such");
    await page.getByText("Nothing like that here.").waitFor();
    expect(table.tablet.errors).toEqual([]);
  });

  test("teaches where there is nothing on it", async () => {
    await page.route("**/api/preparation", async (route) => {
      const word = (await (await route.fetch()).json()) as PreparationWord;
      await route.fulfill({ json: { ...word, plans: {}, shelf: emptyShelf } });
    });
    await page.reload();
    await page.getByRole("button", { name: /^Prepare/ }).click();
    await table.tab("Shelf");
    for (const [part, says] of [
      ["Measuring tools", "No tools yet."],
      ["Yarns", "No yarns yet."],
      ["Dyes", "No dyes yet. A dye is a jar on the shelf"],
    ] as const) {
      await press(part);
      await page.getByText(says).waitFor();
    }
    expect(await table.look("shelf-empty")).toEqual([]);
  });
});
