import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { headerOf } from "../../controller/picture/header.ts";
import { looker } from "../../controller/picture/look.ts";
import { stacked, within } from "../../controller/picture/studio.ts";
import {
  colourDraft,
  readSigned,
  reflectanceIn,
  type SwatchDraft,
  swatchDraft,
  swatchOf,
} from "../../controller/swatch/form.ts";
import { between, keyed, moved, patchOf, resized } from "../../controller/swatch/frame.ts";
import { ladderOf, sayDoubt, sayHow, sayKnown } from "../../controller/swatch/known.ts";
import { refused } from "../../shared/dye/refusal.ts";
import { type Shelf, type ShelfSwatch, shelfSwatchSchema } from "../../shared/shelf/shelf.ts";
import { creel, dye, quay, shelf } from "../scenario/prepare.ts";
import { gif, jpegHead, pngHead } from "./pictures.ts";

const bases = [quay, creel];
const draft = (change: Partial<SwatchDraft>): SwatchDraft => ({
  ...swatchDraft("s1", "quay"),
  depthPct: 1,
  colour: colourDraft({ how: "typed", hex: "#2e6e86" }),
  ...change,
});
const codeOf = (answer: unknown) => (refused(answer) ? answer.code : "kept");

describe("a swatch as it is told", () => {
  test("is kept in each way of knowing its colour, and told anew from what was kept", () => {
    const ways: ShelfSwatch["seen"][] = [
      { how: "typed", hex: "#2e6e86" },
      { how: "measured", lab: { l: 44.12, a: -12.5, b: -20.25 } },
      { how: "photographed", hex: "#2e6e86", spread: 1.25 },
      { how: "spectrum", reflectance: Array.from({ length: 31 }, (_, n) => 0.1 + n / 100) },
    ];
    for (const seen of ways) {
      const swatch = swatchOf(
        draft({ colour: colourDraft(seen), madeOn: "2031-05-31", note: " dull day " }),
        "lantern",
        bases,
      );
      if (refused(swatch)) throw new Error(swatch.say);
      expect(shelfSwatchSchema.parse(swatch)).toEqual(swatch);
      expect(swatch).toMatchObject({ dye: "lantern", base: "quay", seen, note: "dull day" });
      expect(swatchOf(swatchDraft("s1", null, swatch), "lantern", bases)).toEqual(swatch);
    }
  });

  test.each([
    ["on no yarn", { base: null }, "swatch.noBase"],
    ["at no depth", { depthPct: null }, "swatch.unsaidDepth"],
    ["at depth 0", { depthPct: 0 }, "swatch.noDepth"],
    ["still wet", { wet: true }, "swatch.wet"],
    ["with a day that is none", { madeOn: "2031-02-30" }, "swatch.noDate"],
    ["without a measurement", { colour: colourDraft(undefined) }, "swatch.noNumber"],
    [
      "with no photograph",
      { colour: { ...colourDraft(undefined), how: "photographed" as const } },
      "swatch.noPhoto",
    ],
    [
      "with no file",
      { colour: { ...colourDraft(undefined), how: "spectrum" as const } },
      "swatch.noFile",
    ],
    [
      "that is brighter than white",
      { colour: colourDraft({ how: "measured", lab: { l: 101, a: 0, b: 0 } }) },
      "colour.fluorescent",
    ],
    [
      "outside of any colour",
      { colour: colourDraft({ how: "measured", lab: { l: 50, a: 180, b: 0 } }) },
      "colour.noLab",
    ],
  ])("%s is refused", (_, change, code) => {
    expect(codeOf(swatchOf(draft(change), "lantern", bases))).toBe(code);
  });

  test("black or lighter than its yarn is kept, for calibrating says what that means", () => {
    for (const hex of ["#000000", "#ffffff"]) {
      const colour = colourDraft({ how: "typed", hex });
      expect(codeOf(swatchOf(draft({ colour }), "lantern", bases))).toBe("kept");
    }
  });

  test.each([
    ["-12.5", -12.5],
    ["\u221212,5", -12.5],
    ["+ 3", 3],
    ["0", 0],
    ["\u22120", 0],
    ["1/2", 0.5],
  ])("reads %j as an instrument shows it", (text, value) => {
    expect(readSigned(text, "a*")).toBe(value);
  });

  test.each(["", "--1", "1e3", "green", "-"])("refuses %j, naming the number", (text) => {
    const read = readSigned(text, "a*");
    expect(refused(read) && read.say).toContain("a*");
  });

  test("takes a reflectance file, and says what is the matter with another", () => {
    const lines = (share: number) =>
      Array.from({ length: 31 }, (_, n) => `${400 + 10 * n} ${share}`).join("\n");
    const read = reflectanceIn(new TextEncoder().encode(lines(0.42)));
    expect(read).toHaveLength(31);
    expect(codeOf(reflectanceIn(new TextEncoder().encode(lines(1.4))))).toBe("colour.fluorescent");
    expect(codeOf(reflectanceIn(new Uint8Array([0xff, 0xd8, 0xff, 0xe0])))).toBe("file.encoding");
    expect(codeOf(reflectanceIn(new TextEncoder().encode("hello")))).toBe("reflectance.empty");
  });
});

describe("how well a dye is known", () => {
  const lantern = dye("lantern", { hex: "#c8862a" });
  const swatch = (id: string, change: Partial<ShelfSwatch>): ShelfSwatch => ({
    id,
    dye: "lantern",
    base: "quay",
    depthPct: 1,
    seen: { how: "photographed", hex: "#c8862a", spread: 1 },
    retired: false,
    ...change,
  });
  const on = (...swatches: ShelfSwatch[]): Shelf => ({ ...shelf, dyes: [lantern], swatches });

  test("is said of a dye without a swatch too", () => {
    expect(sayKnown(on(), lantern)).toBe("colour fairly known, no swatch");
    expect(sayKnown(on(swatch("a", { retired: true })), lantern)).toMatch(/no swatch$/);
  });

  test("is at least 3 CIEDE2000 unsure by a photograph, and more on another yarn", () => {
    const photographed = on(swatch("a", {}));
    expect(sayKnown(photographed, lantern)).toBe("colour roughly known");
    expect(sayHow({ how: "photographed", hex: "#c8862a" })).toContain(
      "true to 3.0 CIEDE2000 at best",
    );
    expect(sayHow({ how: "photographed", hex: "#c8862a", spread: 4 })).toContain("true to 5.0");
    const [other] = sayDoubt(photographed, lantern, creel);
    expect(other).toMatch(/^Creel tweed is another yarn/);
    const much = Number(/about ([\d.]+)/.exec(other ?? "")?.[1]);
    expect(much).toBeGreaterThan(3.1);
    expect(sayDoubt(photographed, lantern, quay).join()).not.toContain("another yarn");
  });

  test("is drawn as a ladder from pale to deep, with a rung where a swatch was dyed", () => {
    const two = on(
      swatch("a", { depthPct: 0.7 }),
      swatch("b", { depthPct: 2.05, seen: { how: "typed", hex: "#a06010" } }),
    );
    const ladder = ladderOf(two, lantern, quay);
    expect(ladder.map(({ depthPct }) => depthPct)).toEqual([0.25, 0.5, 0.7, 1, 2.05, 3, 4]);
    expect(ladder.filter(({ swatched }) => swatched).map(({ depthPct }) => depthPct)).toEqual([
      0.7, 2.05,
    ]);
    const greens = ladder.map(({ hex }) => Number.parseInt(hex.slice(3, 5), 16));
    expect([...greens].sort((a, b) => b - a)).toEqual(greens);
  });
});

describe("a picture before it is decoded", () => {
  test.each([
    ["a PNG", pngHead(4_000, 3_000), { type: "png", width: 4_000, height: 3_000 }],
    ["a JPEG", jpegHead(4_000, 3_000), { type: "jpeg", width: 4_000, height: 3_000 }],
    [
      "a JPEG after much else",
      jpegHead(640, 480, { before: 60_000 }),
      { type: "jpeg", width: 640, height: 480 },
    ],
    ["a grey JPEG", jpegHead(640, 480, { components: 1 }), { type: "jpeg", width: 640 }],
    ["a GIF", gif(20, 30), { type: "gif", width: 20, height: 30 }],
  ])("tells kind and size of %s", (_, bytes, header) => {
    expect(headerOf(bytes)).toMatchObject(header);
  });

  test.each([
    ["of 200 megapixels", jpegHead(20_000, 10_000), "picture.tooLarge", "200 megapixels"],
    ["of 200 megapixels as PNG", pngHead(10_000, 20_000), "picture.tooLarge", "megapixels"],
    ["of one pixel", pngHead(1, 1), "picture.tooSmall", "1 by 1"],
    ["of no pixels", pngHead(0, 900), "picture.none", "not a picture"],
    ["in printing inks", jpegHead(640, 480, { components: 4 }), "picture.inks", "CMYK"],
    [
      "in printing inks after much else",
      jpegHead(640, 480, { components: 4, before: 60_000 }),
      "picture.inks",
      "CMYK",
    ],
    [
      "that is a renamed program",
      Uint8Array.from({ length: 4_096 }, (_, n) => [0x7f, 0x45, 0x4c, 0x46][n] ?? n % 256),
      "picture.none",
      "whatever its name says",
    ],
    ["of text", new TextEncoder().encode("550 0.42\n"), "picture.none", "not a picture"],
    ["that ends in its head", jpegHead(640, 480).slice(0, 11), "picture.none", "not a picture"],
    ["of nothing", new Uint8Array(), "picture.none", "not a picture"],
  ])("%s is refused", (_, bytes, code, says) => {
    const answer = headerOf(bytes);
    expect(refused(answer) ? answer : null).toMatchObject({
      code,
      say: expect.stringContaining(says),
    });
  });

  test("never fails on bytes by chance, also behind a true beginning", () => {
    const beginnings = [pngHead(9, 9), jpegHead(99, 99), gif(9, 9), new Uint8Array()];
    fc.assert(
      fc.property(
        fc.constantFrom(...beginnings),
        fc.nat(30),
        fc.uint8Array({ maxLength: 200 }),
        (beginning, kept, rest) => {
          const answer = headerOf(Uint8Array.from([...beginning.slice(0, kept), ...rest]));
          expect(refused(answer) || answer.width * answer.height <= 64_000_000).toBe(true);
        },
      ),
      { numRuns: 300 },
    );
  });

  test("that cannot be decoded is refused, and nothing stays open", async () => {
    let open = 0;
    const look = looker({
      decode: async () => {
        open += 1;
        return { source: {} as ImageBitmap, width: 20, height: 20, close: () => open-- };
      },
      canvas: () => null,
    });
    const none = looker({ decode: () => Promise.reject(new Error("no")), canvas: () => null });
    const file = new Blob(["x"]);
    expect(codeOf(await look({ look: "view", file }))).toBe("picture.damaged");
    expect(open).toBe(0);
    expect(codeOf(await none({ look: "view", file }))).toBe("picture.damaged");
  });
});

describe("the frames on a photograph", () => {
  const share = fc.double({ min: -0.5, max: 1.5, noNaN: true });
  const corner = fc.record({ x: share, y: share });

  test("stay within it, and mark at least one pixel of it", () => {
    const size = fc.record({
      width: fc.integer({ min: 16, max: 9_000 }),
      height: fc.integer({ min: 16, max: 9_000 }),
    });
    fc.assert(
      fc.property(corner, corner, share, share, size, (one, other, across, down, of) => {
        const begun = between(one, other);
        for (const frame of [begun, moved(begun, across, down), resized(begun, across, down)]) {
          const { x, y, width, height } = patchOf(frame, of);
          expect(Math.min(x, y)).toBeGreaterThanOrEqual(0);
          expect(Math.min(width, height)).toBeGreaterThanOrEqual(1);
          expect(x + width).toBeLessThanOrEqual(of.width);
          expect(y + height).toBeLessThanOrEqual(of.height);
        }
      }),
      { numRuns: 200 },
    );
  });

  test("go with the arrows and stretch with Shift", () => {
    const frame = { x: 0.5, y: 0.5, width: 0.25, height: 0.25 };
    expect(keyed(frame, "ArrowLeft", false, 0.25)).toEqual({ ...frame, x: 0.25 });
    expect(keyed(frame, "ArrowDown", true, 0.125)).toEqual({ ...frame, height: 0.375 });
    expect(keyed(frame, "Enter", false, 0.25)).toBeNull();
  });

  test("are looked at piece by piece, none larger than a million pixels", () => {
    const pieces = stacked([
      { x: 5, y: 5, width: 40, height: 30 },
      { x: 0, y: 0, width: 8_000, height: 8_000 },
    ]);
    expect(pieces).toEqual([
      { x: 0, y: 0, width: 40, height: 30 },
      { x: 0, y: 30, width: 1_000, height: 1_000 },
    ]);
    expect(within({ x: -5, y: 90, width: 500, height: 20 }, { width: 100, height: 100 })).toEqual({
      x: 0,
      y: 90,
      width: 100,
      height: 10,
    });
  });
});
