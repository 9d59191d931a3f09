import { PNG } from "pngjs";
import { describe, expect, test } from "vitest";
import { cardPng, cardSvg } from "../../server/recap/picture.ts";
import { contrast } from "../../shared/draw/contrast.ts";
import { INK, INK_QUIET, WOOL } from "../../shared/draw/palette.ts";
import {
  type Card,
  type CardItem,
  type CardStage,
  cardStages,
  leastSize,
  overlayStage,
  recapCards,
} from "../../shared/recap/card.ts";
import { type Recap, sayPart } from "../../shared/recap/recap.ts";
import { longNames, lotOf, recapWith } from "./recaps.ts";

const day = "17 May 2031";
const stages = { ...cardStages, "overlay beside cautions": overlayStage(486) };

const colourways = (
  count: number,
  parts: (n: number) => number,
  name = (n: number) => `Ebb ${n}`,
) => recapWith(Array.from({ length: count }, (_, n) => lotOf(n, name(n), parts(n))));

const recaps: Record<string, Recap> = {
  "no pours": recapWith([]),
  "one colourway": colourways(1, () => 2),
  "six colourways": colourways(6, (n) => 2 + (n % 3)),
  "twelve colourways and 40 pours": colourways(12, (n) => (n % 3 === 0 ? 4 : 3)),
  "forty stocks in one colourway": colourways(1, () => 40),
  "500 pours, no two from the same jug": colourways(10, () => 50),
  "names of 200 letters in four scripts": {
    ...colourways(
      6,
      () => 3,
      (n) => longNames[n % 4] ?? "",
    ),
    name: longNames[2] ?? "",
  },
  "a name in a script that no bundled face has": {
    ...colourways(
      2,
      () => 2,
      () => "夕暮れの港 \u{1f9f6} ชายฝั่ง",
    ),
    name: "港",
  },
};

type Box = { left: number; top: number; right: number; bottom: number };

/** Where an item's ink may be: letters from their highest to their lowest. */
function boxOf(item: CardItem): Box {
  const { x, y } = item;
  if (item.kind === "text") {
    const { size } = item.style;
    return { left: x, right: x + item.width, top: y - size * 0.72, bottom: y + size * 0.2 };
  }
  const height = item.kind === "rule" ? 2 : item.height;
  return { left: x, top: y, right: x + item.width, bottom: y + height };
}

function faultsOf({ stage, items }: Card): string[] {
  const { panel } = stage;
  const found: string[] = [];
  const boxes = items.map((item) => ({ item, ...boxOf(item) }));
  for (const { item, left, top, right, bottom } of boxes) {
    const what = item.kind === "text" ? `"${item.text}"` : item.kind;
    if (item.kind === "text" && item.style.size < leastSize) found.push(`${what} is too small`);
    if (left < panel.x || right > panel.x + panel.width + 0.01) found.push(`${what} is too wide`);
    if (top < panel.y || bottom > panel.y + panel.height) found.push(`${what} is too high`);
  }
  boxes.forEach((a, at) => {
    for (const b of boxes.slice(at + 1)) {
      const apart =
        a.right <= b.left + 0.5 ||
        b.right <= a.left + 0.5 ||
        a.bottom <= b.top ||
        b.bottom <= a.top;
      if (!apart)
        found.push(
          `${JSON.stringify(a.item).slice(0, 90)} meets ${JSON.stringify(b.item).slice(0, 90)}`,
        );
    }
  });
  return found;
}

const textsOf = (cards: readonly Card[]) =>
  cards.flatMap(({ items }) => items.flatMap((item) => (item.kind === "text" ? [item.text] : [])));

describe.each(Object.entries(recaps))("the recap card of %s", (_, recap) => {
  test.each(Object.entries(stages))("is readable and whole: %s", (_, stage) => {
    const cards = recapCards(recap, day, stage);
    expect(cards.length).toBeGreaterThan(0);
    for (const card of cards) expect(faultsOf(card)).toEqual([]);
    // Nothing is lost between the leaves: every amount of every colourway stands on one of them.
    const said = textsOf(cards);
    for (const lot of recap.lots) {
      for (const part of lot.parts) {
        expect(said.filter((text) => text === sayPart(part)).length).toBeGreaterThan(0);
      }
    }
    const parts = recap.lots.flatMap(({ parts }) => parts).length;
    const strips = cards.flatMap(({ items }) => items.filter(({ kind }) => kind === "strip"));
    expect(strips).toHaveLength(parts);
  });
});

describe("the recap card", () => {
  const twelve = recaps["twelve colourways and 40 pours"] as Recap;

  test("holds twelve colourways and 40 pours on two leaves in landscape", () => {
    expect(recapCards(twelve, day, cardStages.landscape)).toHaveLength(2);
  });

  test("shortens the name of a colourway before that of a stock", () => {
    const long = colourways(
      12,
      () => 3,
      (n) => longNames[n % 4] ?? "",
    );
    const said = textsOf(recapCards(long, day, cardStages.landscape));
    for (const { parts } of long.lots) for (const { title } of parts) expect(said).toContain(title);
  });

  test("keeps a contrast of 7 to 1 or more", () => {
    expect(contrast(WOOL, INK)).toBeGreaterThan(7);
    expect(contrast(INK_QUIET, INK)).toBeGreaterThan(7);
  });

  test("says of every colour how it is known", () => {
    const { lots } = recaps["one colourway"] as Recap;
    const [lot] = lots;
    if (!lot) throw new Error("There is one colourway.");
    for (const [how, said] of [
      ["predicted", "predicted"],
      ["photographed", "photo"],
      ["measured", "measured"],
    ] as const) {
      const known = recapWith([{ ...lot, colour: { ...lot.colour, how } }]);
      expect(textsOf(recapCards(known, day, cardStages.landscape))).toContain(said);
    }
  });

  test.each(Object.entries(cardStages))(
    "is a PNG of its own size: %s",
    async (_, stage: CardStage) => {
      const [card] = recapCards(recaps["six colourways"] as Recap, day, stage);
      if (!card) throw new Error("There is a card.");
      const picture = PNG.sync.read(await cardPng(cardSvg(card, "Recap")));
      expect([picture.width, picture.height]).toEqual([stage.width, stage.height]);
      const pixel = (x: number, y: number) => [
        ...picture.data.subarray(4 * (y * picture.width + x), 4 * (y * picture.width + x) + 4),
      ];
      // Ink in the corner, and the colour of the first hank somewhere on its middle line.
      expect(pixel(2, 2)).toEqual([0x1d, 0x21, 0x25, 255]);
      const hank = card.items.find((item) => item.kind === "hank");
      if (hank?.kind !== "hank") throw new Error("There is a hank.");
      const x = Math.round(hank.x + hank.width / 2);
      const column = Array.from({ length: Math.floor(hank.height) }, (_, y) =>
        pixel(x, Math.round(hank.y + y)).join(),
      );
      expect(column.filter((said) => said === "211,154,44,255").length).toBeGreaterThan(
        hank.height / 3,
      );
    },
  );

  test("is the same to the last byte, and takes less than a second", async () => {
    const spent = ({ user, system }: NodeJS.CpuUsage) => (user + system) / 1000;
    const make = async () => {
      // The processor's own time, so that what else the machine does is not counted.
      const from = process.cpuUsage();
      const [card] = recapCards(twelve, day, cardStages.landscape);
      if (!card) throw new Error("There is a card.");
      const svg = cardSvg(card, "Recap");
      const png = await cardPng(svg);
      return { svg, png, ms: spent(process.cpuUsage(from)) };
    };
    const made = [await make(), await make(), await make()];
    const [first, second] = made;
    expect(second?.svg).toBe(first?.svg);
    expect(second && first && Buffer.compare(second.png, first.png)).toBe(0);
    expect(Math.min(...made.map(({ ms }) => ms))).toBeLessThan(1000);
  });

  test("leaves the bench its thread while it is drawn, and says what cannot be drawn", async () => {
    const [card] = recapCards(twelve, day, cardStages.landscape);
    if (!card) throw new Error("There is a card.");
    const svg = cardSvg(card, "Recap");
    const happened: string[] = [];
    setImmediate(() => happened.push("a tap"));
    const drawn = Promise.all([cardPng(svg), cardPng(svg)]).then(([first, second]) => {
      happened.push("pictures");
      return first.equals(second);
    });
    await expect(cardPng("<svg")).rejects.toThrow();
    expect(await drawn).toBe(true);
    expect(happened).toEqual(["a tap", "pictures"]);
  });

  test("asks for no font and holds no script, whatever a name says", async () => {
    const name = `<script>alert(1)</script> & "Ebb"`;
    const [card] = recapCards(recapWith([lotOf(1, name, 2)], name), day, cardStages.landscape);
    if (!card) throw new Error("There is a card.");
    const svg = cardSvg(card, name);
    expect(svg).not.toContain("<script");
    expect(svg).not.toMatch(/<text|font-family|href/);
    expect((await cardPng(svg)).length).toBeGreaterThan(10_000);
  });
});
