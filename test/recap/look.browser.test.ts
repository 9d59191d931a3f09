import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import type { Browser, Page } from "playwright-core";
import { PNG } from "pngjs";
import { beforeAll, describe, expect, test } from "vitest";
import { pouredDemonstration } from "../../server/recap/demonstration.ts";
import { cardPng, cardSvg } from "../../server/recap/picture.ts";
import { sheetHtml } from "../../server/recap/sheetFile.ts";
import { type Card, type CardFormat, cardStages, recapCards } from "../../shared/recap/card.ts";
import { sayDay } from "../../shared/recap/recap.ts";
import { recapView } from "../../shared/session/views/publicView.ts";
import { browsers, launchBrowser, shot } from "../browser/launch.ts";
import { House } from "../overlay/house.ts";
import { Desk, harbourSheet, pourOf, setupOf } from "../scenario/desk.ts";
import { nextDay } from "../scenario/nextDay.ts";
import { longNames, lotOf, recapWith } from "./recaps.ts";

const shots = fileURLToPath(new URL("../shots/", import.meta.url));
const day = "17 May 2031";
const { state } = pouredDemonstration(Date.UTC(2031, 4, 17, 18));
const recap = recapView(state);

function keep(name: string, picture: Buffer): void {
  mkdirSync(shots, { recursive: true });
  writeFileSync(join(shots, name), picture);
}

type Area = { x: number; y: number; width: number; height: number };

/**
 * How two pictures of the same drawing differ: pixels off by more than 24 of 255 in a channel, as a
 * share of all, and those that also have no neighbour in the other picture that is nearer, which
 * antialiasing of a shared edge always has.
 */
function difference(a: PNG, b: PNG, area: Area): { off: number; astray: number } {
  const at = (png: PNG, x: number, y: number) => 4 * (y * png.width + x);
  const far = (x: number, y: number, nx: number, ny: number) =>
    Math.max(
      ...[0, 1, 2].map((channel) =>
        Math.abs((a.data[at(a, x, y) + channel] ?? 0) - (b.data[at(b, nx, ny) + channel] ?? 0)),
      ),
    );
  let [off, astray] = [0, 0];
  for (let y = area.y + 1; y < area.y + area.height - 1; y += 1) {
    for (let x = area.x + 1; x < area.x + area.width - 1; x += 1) {
      if (far(x, y, x, y) <= 24) continue;
      off += 1;
      let nearest = 255;
      for (let dy = -1; dy <= 1; dy += 1) {
        for (let dx = -1; dx <= 1; dx += 1) nearest = Math.min(nearest, far(x, y, x + dx, y + dy));
      }
      if (nearest > 48) astray += 1;
    }
  }
  const pixels = area.width * area.height;
  return { off: off / pixels, astray: astray / pixels };
}

describe("what is published looks as it does on screen", () => {
  let browser: Browser;
  beforeAll(async () => {
    browser = await launchBrowser("current");
  });

  async function shown(svg: string, { stage }: Card): Promise<PNG> {
    const { width, height } = stage;
    const page = await browser.newPage({ viewport: { width, height } });
    await page.setContent(`<style>body{margin:0}svg{display:block}</style>${svg}`);
    const picture = PNG.sync.read(await page.screenshot());
    await page.close();
    return picture;
  }

  const cards = (Object.keys(cardStages) as CardFormat[]).flatMap((format) => {
    const many = recapWith(
      Array.from({ length: 12 }, (_, n) => lotOf(n, longNames[n % 4] ?? "", 3)),
      longNames[1],
    );
    return [
      { name: `card-${format}`, card: recapCards(recap, day, cardStages[format])[0] },
      { name: `card-${format}-long`, card: recapCards(many, day, cardStages[format])[0] },
    ];
  });

  test.each(cards)(
    "a browser draws the file as the file's own picture: $name",
    async ({ name, card }) => {
      if (!card) throw new Error("There is a card.");
      const svg = cardSvg(card, "Recap");
      const png = await cardPng(svg);
      keep(`${name}.png`, png);
      const { width, height } = card.stage;
      const { off, astray } = difference(await shown(svg, card), PNG.sync.read(png), {
        x: 0,
        y: 0,
        width,
        height,
      });
      // Two rasters differ along edges: one pixel in 200 at most, and next to none by more than that.
      expect(off).toBeLessThan(0.005);
      expect(astray).toBeLessThan(0.00005);
    },
  );

  // The oldest browser that broadcasters embed, and the newest there is.
  test.each(browsers.filter(({ name }) => name !== "127"))(
    "the overlay draws the card as its file has it, within the safe area: $label",
    async ({ name }) => {
      const own = name === "current" ? browser : await launchBrowser(name);
      const house = await House.open();
      try {
        await house.goLive();
        await house.advance();
        await house.advance();
        // The pour that is next has no hazard, so no caution takes room from the card.
        await house.show("recap");
        const page: Page = await own.newPage({ viewport: { width: 1920, height: 1080 } });
        await page.goto(house.overlay);
        await page.waitForSelector(".recap svg");
        await page.waitForFunction(
          () => document.querySelector(".recap")?.getBoundingClientRect().height === 972,
        );
        await page.waitForFunction(() => document.getAnimations().length === 0);
        await shot(page, `overlay-recap-card-${name}`);
        const onScreen = PNG.sync.read(await page.screenshot());
        const onCard = recapView(house.state);
        const [card] = recapCards(onCard, sayDay(onCard.day), cardStages.landscape);
        if (!card) throw new Error("There is a card.");
        const file = PNG.sync.read(await cardPng(cardSvg(card, "Recap")));
        const { off, astray } = difference(onScreen, file, cardStages.landscape.panel);
        expect(off).toBeLessThan(0.005);
        expect(astray).toBeLessThan(0.00005);
        await page.close();
      } finally {
        await house.close();
      }
    },
  );

  test.each(["A4", "Letter"] as const)(
    "the recipe sheet of 200 pours under long names in four scripts has nothing cut on %s",
    async (paper) => {
      const sheet = harbourSheet();
      const named = <Item extends { name: string }>(items: readonly Item[]) =>
        items.map((item, n) => ({ ...item, name: `${n} ${longNames[n % 4]}`.slice(0, 80).trim() }));
      const desk = Desk.live(
        setupOf({
          ...sheet,
          name: longNames[2]?.slice(0, 80).trim(),
          stocks: named(sheet.stocks),
          colourways: named(sheet.colourways),
          pans: named(sheet.pans),
        }),
      );
      for (let n = 0; n < 200; n += 1) {
        desk.must({ type: "pour", pour: pourOf("saltmarsh", 100, { pan: n % 2 ? "A" : "B" }) });
      }
      const width = paper === "A4" ? 688 : 710;
      const page = await browser.newPage({ viewport: { width, height: 1000 } });
      await page.setContent(sheetHtml(desk.state, recapView(desk.state), paper));
      await page.evaluate(() => document.fonts.ready);
      await page.emulateMedia({ media: "print" });
      const over = await page.evaluate(() =>
        [...document.querySelectorAll("*")]
          .filter((one) => one.getBoundingClientRect().right > innerWidth + 1)
          .map((one) => `${one.tagName} ${one.textContent?.slice(0, 40)}`),
      );
      expect(over).toEqual([]);
      keep(`recipe-sheet-long-${paper}.pdf`, await page.pdf({ preferCSSPageSize: true }));
      await page.close();
    },
  );

  test.each(["A4", "Letter"] as const)(
    "the recipe sheet prints on %s without a cut",
    async (paper) => {
      const page = await browser.newPage({
        viewport: { width: paper === "A4" ? 688 : 710, height: 1000 },
      });
      await page.setContent(sheetHtml(state, recap, paper));
      await page.evaluate(() => document.fonts.ready);
      await page.emulateMedia({ media: "print" });
      const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
      expect(wide).toBeLessThanOrEqual(0);
      await shot(page, `recipe-sheet-${paper}`, true);
      const pdf = await page.pdf({ preferCSSPageSize: true, printBackground: true });
      keep(`recipe-sheet-${paper}.pdf`, pdf);
      // A PDF says the size of each page in points: 1/72 inch.
      const boxes = [...pdf.toString("latin1").matchAll(/\/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]/g)];
      expect(boxes.length).toBeGreaterThan(1);
      const [width, height] = paper === "A4" ? [595.3, 841.9] : [612, 792];
      for (const [, w, h] of boxes) {
        expect(Math.abs(Number(w) - width)).toBeLessThan(1.5);
        expect(Math.abs(Number(h) - height)).toBeLessThan(1.5);
      }
      await page.close();
    },
  );

  test("the recipe sheet shows what was corrected, dyed and seen the next day without a cut", async () => {
    const page = await browser.newPage({ viewport: { width: 688, height: 1000 } });
    const { state } = nextDay().desk;
    await page.setContent(sheetHtml(state, recapView(state), "A4"));
    await page.evaluate(() => document.fonts.ready);
    await page.emulateMedia({ media: "print" });
    await page.getByRole("heading", { name: "Corrected after the stream" }).waitFor();
    const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
    expect(wide).toBeLessThanOrEqual(0);
    await shot(page, "recipe-sheet-next-day", true);
    await page.close();
  });
});
