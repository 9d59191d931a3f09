import { mkdtemp, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Browser, Locator, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import type { PreparationWord } from "../../shared/prepare/word.ts";
import { launchBrowser } from "../browser/launch.ts";
import { longestTask } from "./mainThread.ts";
import { jpegHead, pngHead, turnedJpeg } from "./pictures.ts";
import { PrepareTable } from "./table.ts";

let browser: Browser;
let table: PrepareTable;
let page: Page;

beforeAll(async () => {
  browser = await launchBrowser("current");
  table = await PrepareTable.open(browser);
  page = table.page;
  await table.tab("Colour");
});
afterAll(() => table.close());

const press = (name: string) => page.getByRole("button", { name, exact: true }).click();
const field = (label: string) => page.getByLabel(label, { exact: true });
const word = async () => {
  await table.saved();
  return (await table.ask("/api/preparation")) as PreparationWord;
};
const planned = async () => {
  const plans = Object.values((await word()).plans).map(({ plan }) => plan);
  const count = (part: "steps" | "skeins") =>
    plans.reduce((sum, plan) => sum + plan[part].length, 0);
  return { steps: count("steps"), skeins: count("skeins") };
};
const recipes = () => page.locator('.colour-recipes[data-stale="false"] > li');
const strips = () => page.locator(".colour-palette li");
const warning = () => page.locator(".colour-picture .colour-warning");
const target = () => field("Colour to match").inputValue();

/** A picture of three broad grainy bands, drawn in the page. */
async function bands(width: number, height: number): Promise<Buffer> {
  const base64 = await page.evaluate(
    async ([wide, high]) => {
      const canvas = new OffscreenCanvas(wide ?? 1, high ?? 1);
      const grain = new OffscreenCanvas(128, 128);
      const context = canvas.getContext("2d");
      const grained = grain.getContext("2d");
      if (!context || !grained) throw new Error("There is no canvas.");
      const specks = grained.createImageData(128, 128);
      for (let at = 0; at < specks.data.length; at++) {
        specks.data[at] = at % 4 === 3 ? 14 : (at * 7_919) % 256;
      }
      grained.putImageData(specks, 0, 0);
      ["#2e6e86", "#d98f3c", "#40304a"].forEach((hex, n) => {
        context.fillStyle = hex;
        context.fillRect(0, (canvas.height * n) / 3, canvas.width, canvas.height / 3 + 1);
      });
      context.fillStyle = context.createPattern(grain, "repeat") ?? "";
      context.fillRect(0, 0, canvas.width, canvas.height);
      const blob = await canvas.convertToBlob({ type: "image/jpeg", quality: 0.9 });
      const reader = new FileReader();
      await new Promise((done) => {
        reader.onload = done;
        reader.readAsDataURL(blob);
      });
      return String(reader.result).split(",")[1] ?? "";
    },
    [width, height],
  );
  return Buffer.from(base64, "base64");
}

const choose = (content: Uint8Array, name = "picture.jpg") =>
  page
    .locator(".colour-picture input[type=file]")
    .setInputFiles({ name, mimeType: "image/jpeg", buffer: Buffer.from(content) });

const middleOf = async (of: Locator) => {
  const box = await of.boundingBox();
  if (!box) throw new Error("It is not on the page.");
  return { x: box.x + box.width / 2, y: box.y + box.height / 2, height: box.height };
};

describe("the colour table", () => {
  test("matches a typed colour, and pours the recipe in the plan as one step back", async () => {
    await recipes().first().waitFor();
    const before = await planned();
    await field("Colour to match").fill("#2e6e86");
    await page.locator(".colour-recipes [title], .colour-recipes svg").first().waitFor();
    await expect
      .poll(() => page.locator(".colour-recipes").getAttribute("data-stale"))
      .toBe("false");
    const first = recipes().first();
    expect(await first.textContent()).toMatch(
      /[\d.]+ CIEDE2000 away\. Predicted #[0-9a-f]{6}, \u00b1\u202f\d\.\d CIEDE2000/,
    );
    const doses = await first.locator(".colour-doses > div").count();
    expect(doses).toBeGreaterThan(0);
    await first.getByRole("button", { name: /^Pour it over/ }).click();
    await expect.poll(async () => (await planned()).steps).toBe(before.steps + doses);
    await press("Undo");
    await expect.poll(planned).toEqual(before);
    expect(await table.look("colour")).toEqual([]);
  });

  test("says what nothing on the shelf can reach", async () => {
    await field("Colour to match").fill("#00ff00");
    await page.getByText(/^Nothing on your shelf comes nearer than \d+\.\d CIEDE2000/).waitFor();
  });

  test("makes a palette of 24 million pixels without standing still, and nothing leaves", async () => {
    const folder = await mkdtemp(join(tmpdir(), "pourside-picture-"));
    const path = join(folder, "turned.jpg");
    // Turned a quarter by its EXIF, its bands stand upright.
    await writeFile(path, turnedJpeg(await bands(6_000, 4_000), 6));
    const sent: string[] = [];
    page.on("request", (request) => {
      // What the page made itself and shows by a name of its own never leaves the machine.
      if (request.url().startsWith("blob:")) return;
      if (request.method() !== "GET" || !request.url().startsWith(table.server.address)) {
        sent.push(`${request.method()} ${request.url().slice(0, 80)}`);
      }
    });
    let took = 0;
    const longest = await longestTask(browser, page, async () => {
      const start = performance.now();
      await page.locator(".colour-picture input[type=file]").setInputFiles(path);
      await strips().nth(2).waitFor();
      took = performance.now() - start;
      await expect.poll(target).not.toBe("#00ff00");
    });
    console.log(
      `24 MP: ${took.toFixed(0)} ms to the palette, longest task ${longest.toFixed(0)} ms`,
    );
    expect(longest).toBeLessThan(200);
    expect(await strips().count()).toBe(3);
    expect(await page.locator(".colour-palette").textContent()).toMatch(/33\u202f%/);
    const { width, height } = (await page.locator(".colour-print").boundingBox()) ?? {
      width: 1,
      height: 1,
    };
    expect(height / width).toBeCloseTo(1.5, 1);
    expect(sent).toEqual([]);
    await rm(folder, { recursive: true });
  });

  test("adjusts a colour by pointer and by keyboard, and adds one by a click or a button", async () => {
    const print = await page.locator(".colour-print").boundingBox();
    if (!print) throw new Error("The picture is not there.");
    const before = await target();
    const mark = page.locator(".colour-mark").first();
    await mark.scrollIntoViewIfNeeded();
    const from = await middleOf(mark);
    const there = from.x - print.x < print.width / 2 ? 0.85 : 0.15;
    await page.mouse.move(from.x, from.y);
    await page.mouse.down();
    await page.mouse.move(print.x + print.width * there, from.y, { steps: 4 });
    await page.mouse.up();
    const dragged = await target();
    expect(dragged).not.toBe(before);
    await mark.focus();
    const key = there > 0.5 ? "ArrowLeft" : "ArrowRight";
    for (let n = 0; n < 60; n++) await page.keyboard.press(key);
    await expect.poll(target).not.toBe(dragged);
    expect(await strips().first().textContent()).toContain("picked");
    await page
      .locator(".colour-print canvas")
      .click({ position: { x: print.width / 2, y: print.height - 12 } });
    expect(await strips().count()).toBe(4);
    for (let n = 5; n <= 8; n++) await press("Add a colour");
    await press("Add a colour");
    await warning().getByText("A palette has up to 8 colours").waitFor();
    expect(await table.look("colour-picture")).toEqual([]);
    for (let n = 8; n > 3; n--) {
      await strips().last().getByRole("button").click();
      await press(`Take away colour ${n}`);
    }
  });

  test("refuses what is no picture to work with, with a sentence, and keeps the one it has", async () => {
    const whole = await bands(64, 64);
    for (const [content, says] of [
      [Buffer.from("not a picture at all"), /^This is not a picture that can be read/],
      [pngHead(1, 1), /1 by 1 pixels: too few to see a colour in/],
      [jpegHead(20_000, 10_000), /200 megapixels: more than a tablet can hold/],
      [jpegHead(640, 480, { components: 4 }), /printing inks \(CMYK\)/],
      [jpegHead(640, 480), /^This picture cannot be opened here: it is damaged/],
      [Buffer.alloc(0), /^This file is empty/],
    ] as const) {
      await choose(content);
      await warning().getByText(says).waitFor();
      expect(await strips().count()).toBe(3);
    }
    await choose(whole);
    await expect.poll(() => warning().count()).toBe(0);
    await expect.poll(async () => (await strips().count()) > 0).toBe(true);
  });

  test("keeps recipes over a reload, shows flecks on them, and fades between two with a break", async () => {
    await recipes().first().getByRole("button", { name: "Keep this recipe" }).click();
    await press("Recipes and flecks");
    await field("On yarn").selectOption({ label: "Creel tweed" });
    await press("Begin a recipe");
    const second = page.locator(".colour-kept > li").nth(1);
    await second.locator(".colour-fields input").first().fill("0.1");
    await expect
      .poll(() => second.locator(".colour-flecks li").allTextContents())
      .toEqual(expect.arrayContaining([expect.stringMatching(/CIEDE2000 from the ground$/)]));
    expect(await table.look("colour-recipes")).toEqual([]);
    await page.reload();
    await page.getByRole("button", { name: /^Prepare/ }).click();
    await table.tab("Colour");
    await press("Recipes and flecks");
    expect(await page.locator(".colour-kept > li").count()).toBe(2);
    await press("Fade");
    await page.locator(".colour-fade > li").nth(5).waitFor();
    expect(await page.locator(".colour-step").count()).toBe(5);
    await field("A break after skein").fill("3");
    await page.locator('.colour-step[data-break="true"]').waitFor();
    expect(await page.locator(".colour-eyes dd").allTextContents()).toHaveLength(4);
    expect(await table.look("colour-fade")).toEqual([]);
    const before = await planned();
    await page.getByRole("button", { name: /^Pour it over/ }).click();
    await expect.poll(async () => (await planned()).steps).toBeGreaterThan(before.steps + 5);
    await press("Undo");
    await expect.poll(planned).toEqual(before);
  });

  test("says what the leftovers make of one more skein, as a range with a bath, and plans it", async () => {
    await press("Leftovers");
    const figure = page.locator(".colour-figure");
    await figure.waitFor();
    const all = await figure.textContent();
    await page.locator(".colour-bottles input").first().uncheck();
    expect(await figure.textContent()).not.toBe(all);
    await field("A bath not exhausted").selectOption({ index: 1 });
    expect(await figure.textContent()).toMatch(/^[\d.]+\u202f% to [\d.]+\u202f%$/);
    expect(await table.look("colour-left")).toEqual([]);
    const better = page.getByRole("button", { name: "Hold it back", exact: true });
    const held = await page.locator(".colour-bottles input:checked").count();
    await better.click();
    expect(await page.locator(".colour-bottles input:checked").count()).toBeLessThan(held);
    const poured = await page.locator(".colour-bottles input:checked").count();
    const before = await planned();
    await press("Put this skein in the plan");
    await expect.poll(planned).toEqual({ skeins: before.skeins + 1, steps: before.steps + poured });
    await press("Undo");
    await expect.poll(planned).toEqual(before);
  });

  test("never fell over", () => {
    expect(table.tablet.errors).toEqual([]);
  });
});
