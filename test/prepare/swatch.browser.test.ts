import type { Browser, Locator, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { difference } from "../../shared/colour/difference.ts";
import { labOfHex } from "../../shared/colour/tone.ts";
import type { PreparationWord } from "../../shared/prepare/word.ts";
import type { ShelfSwatch } from "../../shared/shelf/shelf.ts";
import { launchBrowser } from "../browser/launch.ts";
import { jpegHead, pngHead, turnedJpeg } from "./pictures.ts";
import { PrepareTable } from "./table.ts";

const YARN = "#2e6e86";
/** What a card that gives back nine tenths of the light looks like on a screen. */
const CARD = "#f4f4f4";

let browser: Browser;
let table: PrepareTable;
let page: Page;
let photo: Uint8Array;

beforeAll(async () => {
  browser = await launchBrowser("current");
  table = await PrepareTable.open(browser);
  page = table.page;
  photo = turnedJpeg(await lyingPhoto(YARN, CARD), 6);
  await table.tab("Shelf");
  await page.locator(".shelf-item", { hasText: "Saltmarsh" }).click();
});
afterAll(() => table.close());

/**
 * A photograph that lies on its side: once it is turned a quarter clockwise, there is a white card in
 * its upper left, yarn in its middle, and a red table around them.
 */
async function lyingPhoto(yarn: string, card: string): Promise<Uint8Array> {
  const base64 = await page.evaluate(
    ([yarnHex, cardHex]) => {
      const canvas = document.createElement("canvas");
      canvas.width = 900;
      canvas.height = 600;
      const context = canvas.getContext("2d");
      if (!context) throw new Error("There is no canvas.");
      const fill = (hex: string, x: number, y: number, wide: number, tall: number) => {
        context.fillStyle = hex;
        context.fillRect(x * 900, y * 600, wide * 900, tall * 600);
      };
      fill("#902018", 0, 0, 1, 1);
      fill(cardHex ?? "", 0, 0.7, 0.3, 0.3);
      fill(yarnHex ?? "", 0.35, 0.3, 0.35, 0.35);
      return canvas.toDataURL("image/jpeg", 0.95).split(",")[1] ?? "";
    },
    [yarn, card],
  );
  return Buffer.from(base64, "base64");
}

const swatches = async (): Promise<readonly ShelfSwatch[]> => {
  await table.saved();
  return ((await table.ask("/api/preparation")) as PreparationWord).shelf.swatches;
};
const press = (name: string | RegExp) =>
  page
    .getByRole("button", typeof name === "string" ? { name, exact: true } : { name })
    .first()
    .click();
const fill = (label: string, text: string) => page.getByLabel(label, { exact: true }).fill(text);
const warnings = () => page.locator(".swatch-editor .shelf-warning");
const result = () => page.locator(".swatch-result").textContent();
const open = (content: Uint8Array, name = "yarn.jpg") =>
  page
    .locator(".swatch-photo input[type=file]")
    .setInputFiles({ name, mimeType: "image/jpeg", buffer: Buffer.from(content) });
/** A file by way of the clipboard, or dropped. */
const give = (how: "paste" | "drop", onto: string, content: Uint8Array) =>
  page.evaluate(
    ([event, target, base64]) => {
      const bytes = Uint8Array.from(atob(base64 ?? ""), (letter) => letter.charCodeAt(0));
      const carried = new DataTransfer();
      carried.items.add(new File([bytes], "yarn.jpg", { type: "image/jpeg" }));
      const place = target === "document" ? document : document.querySelector(target ?? "");
      place?.dispatchEvent(
        event === "paste"
          ? new ClipboardEvent("paste", { clipboardData: carried, bubbles: true })
          : new DragEvent("drop", { dataTransfer: carried, bubbles: true }),
      );
    },
    [how, onto, Buffer.from(content).toString("base64")],
  );
const sampled = async () => /#[0-9a-f]{6}/.exec((await result()) ?? "")?.[0] ?? "";
const apartFrom = async (hex: string) => {
  const [one, other] = [labOfHex(await sampled()), labOfHex(hex)];
  return one && other ? difference(one, other) : 100;
};
const middleOf = async (of: Locator) => {
  const box = await of.boundingBox();
  if (!box) throw new Error("It is not on the page.");
  return { x: box.x + box.width / 2, y: box.y + box.height / 2 };
};

describe("a dye's swatches", () => {
  test("begin with one that was measured, and say how well the dye is known", async () => {
    await page.getByText("No swatch yet").waitFor();
    await press("Add a swatch");
    await page.getByLabel("Dyed on", { exact: true }).selectOption("quay");
    await fill("L*", "43.5");
    await fill("a*", "-12");
    await fill("b*", "\u221219,5");
    await fill("Depth of shade", "0");
    await press("Keep the swatch");
    await warnings().getByText("A swatch at 0 % is only the yarn").waitFor();
    await fill("Depth of shade", "1");
    await page.getByLabel("It is still wet").check();
    await warnings().getByText("A wet swatch is darker").waitFor();
    await page.getByLabel("It is still wet").uncheck();
    expect(await swatches()).toEqual([]);
    await press("Keep the swatch");
    await page.getByText(/^(Well|Fairly) known: one swatch/).waitFor();
    expect(await swatches()).toMatchObject([
      {
        dye: "saltmarsh",
        base: "quay",
        depthPct: 1,
        seen: { how: "measured", lab: { l: 43.5, a: -12, b: -19.5 } },
      },
    ]);
    const pinned = page.locator('.swatch-rungs li[data-swatched="true"]');
    expect(await pinned.allTextContents()).toEqual(["1.00\u202f%swatched"]);
  });

  test("contradict each other aloud, and are taken out of use and back", async () => {
    await press("Add a swatch");
    await fill("Depth of shade", "2");
    await press("By eye");
    await fill("Colour", "#d8d0c4");
    await warnings()
      .getByText(/weaker than the one at 1.00/)
      .waitFor();
    await press("Keep the swatch");
    await page.locator(".swatch-line .shelf-warning").first().waitFor();
    await press(/^Out of use for the swatch at 2\.00/);
    await page.locator(".swatch-line .shelf-warning").waitFor({ state: "detached" });
    expect((await swatches()).map(({ retired }) => retired)).toEqual([false, true]);
  });

  test("are sampled from a photograph turned by its EXIF, by keyboard, mouse and finger", async () => {
    await press("Add a swatch");
    await fill("Depth of shade", "3");
    await press("From a photograph");
    await open(photo);
    const picture = page.locator(".swatch-picture");
    await picture.waitFor();
    const box = await picture.boundingBox();
    expect((box?.width ?? 0) / (box?.height ?? 1)).toBeCloseTo(600 / 900, 1);
    const yarn = page.getByRole("button", { name: /^Yarn:/ });
    const card = page.getByRole("button", { name: /^White card:/ });
    await yarn.focus();
    await page.keyboard.press("ArrowRight");
    await page.getByText(/The marked yarn is even to/).waitFor();
    expect(await apartFrom(YARN)).toBeLessThan(1);
    expect(await table.look("swatch-photo")).toEqual([]);

    // With the mouse, off the yarn and onto the table.
    const from = await middleOf(yarn);
    const whole = await picture.boundingBox();
    if (!whole) throw new Error("There is no picture.");
    await page.mouse.move(from.x, from.y);
    await page.mouse.down();
    await page.mouse.move(whole.x + whole.width * 0.85, whole.y + whole.height * 0.2, { steps: 4 });
    await page.mouse.up();
    await expect.poll(() => apartFrom("#902018")).toBeLessThan(2);

    // With a finger, drawn anew on the yarn once it is the chosen one.
    await press("Mark the yarn");
    const touch = await page.context().newCDPSession(page);
    const finger = (type: "touchStart" | "touchMove" | "touchEnd", x = 0, y = 0) =>
      touch.send("Input.dispatchTouchEvent", {
        type,
        touchPoints:
          type === "touchEnd"
            ? []
            : [{ x: whole.x + whole.width * x, y: whole.y + whole.height * y }],
      });
    await finger("touchStart", 0.4, 0.4);
    await finger("touchMove", 0.5, 0.5);
    await finger("touchMove", 0.6, 0.65);
    await finger("touchEnd");
    await expect.poll(() => apartFrom(YARN)).toBeLessThan(1);

    // A card that is the red table is no white card.
    await card.focus();
    for (let n = 0; n < 40; n++) await page.keyboard.press("ArrowRight");
    await page.getByText("The card is not white").waitFor();
    expect(await result()).toContain("mark the white card");
    for (let n = 0; n < 40; n++) await page.keyboard.press("ArrowLeft");
    await expect.poll(() => apartFrom(YARN)).toBeLessThan(1);
    await press("Keep the swatch");
    await page.getByText(/photographed, true to 3/).waitFor();
    expect((await swatches()).at(-1)).toMatchObject({
      base: "quay",
      depthPct: 3,
      seen: { how: "photographed" },
    });
  });

  test("refuse pictures that are none, too large, too small, in inks, damaged or burnt out", async () => {
    await press("Add a swatch");
    await press("From a photograph");
    const burnt = await lyingPhoto("#ffffff", "#ffffff");
    for (const [content, says] of [
      [Buffer.from("MZ\u0090\u0000 not a picture"), /not a picture/],
      [jpegHead(20_000, 10_000), /200 megapixels/],
      [pngHead(1, 1), /1 by 1 pixels/],
      [jpegHead(800, 600, { components: 4 }), /CMYK/],
      [jpegHead(800, 600), /cannot be opened here/],
      [new Uint8Array(), /This file is empty/],
    ] as const) {
      await open(content);
      await expect.poll(() => page.locator(".swatch-photo-said").textContent()).toMatch(says);
      expect(await page.locator(".swatch-picture").count()).toBe(0);
    }
    await give("paste", "document", turnedJpeg(burnt, 6));
    await page.getByRole("button", { name: /^Yarn:/ }).focus();
    await page.keyboard.press("ArrowRight");
    await page.getByText(/burnt out or black/).waitFor();
    // What lies open stays open when another one cannot be.
    await give("drop", ".swatch-photo", jpegHead(800, 600));
    await page.getByText("cannot be opened here").waitFor();
    await page.locator(".swatch-picture").waitFor();
    await press("Leave it");
    await press(/^Change the swatch at 3/);
    expect(await result()).toContain("photographed");
    await press("Take it away");
    await expect.poll(async () => (await swatches()).length).toBe(2);
    await press("Undo");
    await expect.poll(async () => (await swatches()).length).toBe(3);
    expect(await table.look("swatch-dye")).toEqual([]);
    expect(table.tablet.errors).toEqual([]);
  });
});
