import { converter, formatHex, modeLrgb, modeOklab, modeRgb, useMode } from "culori/fn";
import { type Refusal, refuse } from "../dye/refusal.ts";
import { difference } from "./difference.ts";
import { type Lab, labOfHex, labOfXyz, shownXyz, WHITE, type Xyz } from "./tone.ts";

useMode(modeRgb);
useMode(modeLrgb);
useMode(modeOklab);

/** A picture's pixels, sRGB with alpha, four bytes each, row after row. */
export type Picture = {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8Array | Uint8ClampedArray;
};

/** A rectangle of a picture, in whole pixels. */
export type Patch = {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
};

/** A colour sampled from a photograph, as a swatch takes it. */
export type Sample = {
  readonly how: "photographed";
  readonly hex: string;
  /** How far a quarter of the patch strays from the whole, CIEDE2000. */
  readonly spread: number;
};

/** The least pixels in a patch: fewer are noise. */
const FEWEST_PIXELS = 25;

/** The most of a patch that may be clipped, share, and from where a channel is. */
const MOST_CLIPPED = 0.02;
const FULL = 254;

/** A white card darker than this, share of full light, is in shadow, or is none. */
const DARKEST_CARD = 0.1;

/** A card whose channels differ by more, ratio, is no white one or lies in coloured light. */
const MOST_TINT = 4;

/** What a white card reflects; common practice, no source. */
const CARD_REFLECTANCE = 0.9;

const linear = Float64Array.from({ length: 256 }, (_, byte) => {
  const v = byte / 255;
  return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4;
});

/**
 * The colour of a patch of a photograph, corrected by a white card in it: the patch's mean light, over
 * the card's, in the cone space of Bradford (Lam 1985; the adaptation that ICC.1:2022 annex E sets
 * out). The card and the swatch have to lie in the same light.
 */
export function sampleSwatch(picture: Picture, patch: Patch, card: Patch): Sample | Refusal {
  for (const [what, rectangle] of [
    ["swatch", patch],
    ["white card", card],
  ] as const) {
    const problem = unusable(picture, rectangle, what);
    if (problem) return problem;
  }
  const white = meanLight(picture, card);
  const brightest = Math.max(white.r, white.g, white.b);
  const darkest = Math.min(white.r, white.g, white.b);
  if (brightest < DARKEST_CARD) {
    return refuse(
      "photo.darkCard",
      "The white card is too dark: photograph it beside the swatch, in the same even light.",
    );
  }
  if (brightest > MOST_TINT * darkest) {
    return refuse(
      "photo.tintedCard",
      "The card is not white, or the light is strongly coloured: use a white card in daylight.",
    );
  }
  const whole = corrected(meanLight(picture, patch), white);
  if (whole.y > 1.02) {
    return refuse(
      "photo.brighter",
      "The swatch is brighter than white: it shines or fluoresces, or the card is in shadow.",
    );
  }
  const lab = labOfXyz(whole);
  const spread = Math.max(
    ...quarters(patch).map((quarter) =>
      difference(labOfXyz(corrected(meanLight(picture, quarter), white)), lab),
    ),
  );
  return { how: "photographed", hex: shownXyz(whole).hex, spread };
}

function unusable(picture: Picture, patch: Patch, what: string): Refusal | undefined {
  const { x, y, width, height } = patch;
  const inside =
    [x, y, width, height].every(Number.isSafeInteger) &&
    x >= 0 &&
    y >= 0 &&
    x + width <= picture.width &&
    y + height <= picture.height;
  if (!inside || width * height < FEWEST_PIXELS) {
    return refuse(
      "photo.smallPatch",
      `Mark a larger piece of the ${what}: at least 5 by 5 pixels, within the picture.`,
    );
  }
  let clipped = 0;
  forEachPixel(picture, patch, (r, g, b) => {
    if (Math.max(r, g, b) >= FULL || Math.max(r, g, b) === 0) clipped++;
  });
  return clipped > MOST_CLIPPED * width * height
    ? refuse(
        "photo.clipped",
        `Part of the ${what} is burnt out or black in the photograph: take it again with less light on it, or more.`,
      )
    : undefined;
}

type Light = { r: number; g: number; b: number };

function meanLight(picture: Picture, patch: Patch): Light {
  const sum = { r: 0, g: 0, b: 0 };
  forEachPixel(picture, patch, (r, g, b) => {
    sum.r += linear[r] as number;
    sum.g += linear[g] as number;
    sum.b += linear[b] as number;
  });
  const count = patch.width * patch.height;
  return { r: sum.r / count, g: sum.g / count, b: sum.b / count };
}

function forEachPixel(
  { width, data }: Picture,
  patch: Patch,
  look: (r: number, g: number, b: number) => void,
): void {
  for (let y = patch.y; y < patch.y + patch.height; y++) {
    for (let x = patch.x, at = 4 * (y * width + x); x < patch.x + patch.width; x++, at += 4) {
      look(data[at] as number, data[at + 1] as number, data[at + 2] as number);
    }
  }
}

function quarters({ x, y, width, height }: Patch): Patch[] {
  const left = Math.floor(width / 2);
  const top = Math.floor(height / 2);
  return [
    { x, y, width: left, height: top },
    { x: x + left, y, width: width - left, height: top },
    { x, y: y + top, width: left, height: height - top },
    { x: x + left, y: y + top, width: width - left, height: height - top },
  ];
}

const toXyz = converter("xyz65");

/** A light as it would be with the card as white, Bradford: cones of the two whites in proportion. */
function corrected(light: Light, card: Light): Xyz {
  const from = conesOf(toXyz({ mode: "lrgb", ...card }));
  const to = conesOf(WHITE);
  const seen = conesOf(toXyz({ mode: "lrgb", ...light }));
  const [r, g, b] = [0, 1, 2].map(
    (cone) =>
      ((CARD_REFLECTANCE * (seen[cone] as number)) / (from[cone] as number)) * (to[cone] as number),
  ) as [number, number, number];
  return {
    x: 0.9869929 * r - 0.1470543 * g + 0.1599627 * b,
    y: 0.4323053 * r + 0.5183603 * g + 0.0492912 * b,
    z: -0.0085287 * r + 0.0400428 * g + 0.9684867 * b,
  };
}

function conesOf({ x, y, z }: Xyz): [number, number, number] {
  return [
    0.8951 * x + 0.2664 * y - 0.1614 * z,
    -0.7502 * x + 1.7135 * y + 0.0367 * z,
    0.0389 * x - 0.0685 * y + 1.0296 * z,
  ];
}

/** One colour of a picture and its share of it. */
export type PaletteColour = { readonly hex: string; readonly lab: Lab; readonly share: number };

export const MOST_COLOURS = 8;

/** Pixels that are looked at, at the most; of a larger picture every other, every third and so on. */
const MOST_SAMPLED = 6_000_000;

/** Colours of a palette nearer than this are one, and a smaller share is none, CIEDE2000 and share. */
const ONE_COLOUR = 6;
const LEAST_SHARE = 0.003;

const ROUNDS = 24;

/**
 * Up to eight colours that a picture is made of, the largest share first: its pixels, gathered in
 * cells of 8 levels a channel, are clustered in OKLab by weighted k-means (Lloyd 1982), begun from the
 * colours that lie furthest from those already taken, so that the same picture always gives the same.
 */
export function paletteOf(
  picture: Picture,
  most: number = MOST_COLOURS,
): readonly PaletteColour[] | Refusal {
  const cells = cellsOf(picture);
  if (cells.length === 0) {
    return refuse("picture.empty", "There is nothing to see in this picture.");
  }
  const centres = clustered(cells, Math.min(most, MOST_COLOURS));
  const whole = cells.reduce((sum, { weight }) => sum + weight, 0);
  const colours: PaletteColour[] = [];
  for (const { l, a, b, weight } of centres.sort((one, other) => other.weight - one.weight)) {
    const hex = formatHex({ mode: "oklab", l, a, b });
    const lab = labOfHex(hex);
    if (!lab || weight === 0) continue;
    const near = colours.findIndex((colour) => difference(colour.lab, lab) < ONE_COLOUR);
    const there = colours[near];
    const share = weight / whole;
    if (there) colours[near] = { ...there, share: there.share + share };
    else if (share >= LEAST_SHARE || colours.length === 0) colours.push({ hex, lab, share });
  }
  return colours.sort((one, other) => other.share - one.share);
}

type Cell = { l: number; a: number; b: number; weight: number };

const toOklab = converter("oklab");

function cellsOf({ width, height, data }: Picture): Cell[] {
  const count = new Float64Array(32 ** 3);
  const red = new Float64Array(32 ** 3);
  const green = new Float64Array(32 ** 3);
  const blue = new Float64Array(32 ** 3);
  const pixels = Math.min(width * height, Math.floor(data.length / 4));
  const stride = Math.max(1, Math.ceil(pixels / MOST_SAMPLED));
  for (let pixel = 0; pixel < pixels; pixel += stride) {
    const at = 4 * pixel;
    if ((data[at + 3] as number) < 128) continue;
    const r = data[at] as number;
    const g = data[at + 1] as number;
    const b = data[at + 2] as number;
    const cell = ((r >> 3) << 10) | ((g >> 3) << 5) | (b >> 3);
    count[cell] = (count[cell] as number) + 1;
    red[cell] = (red[cell] as number) + r;
    green[cell] = (green[cell] as number) + g;
    blue[cell] = (blue[cell] as number) + b;
  }
  const cells: Cell[] = [];
  for (const [cell, weight] of count.entries()) {
    if (weight === 0) continue;
    const scale = 1 / (255 * weight);
    const { l, a, b } = toOklab({
      mode: "rgb",
      r: (red[cell] as number) * scale,
      g: (green[cell] as number) * scale,
      b: (blue[cell] as number) * scale,
    });
    cells.push({ l, a, b, weight });
  }
  return cells;
}

function clustered(cells: readonly Cell[], most: number): Cell[] {
  let centres = [cells.reduce((a, b) => (b.weight > a.weight ? b : a))];
  const far = cells.map(() => Number.POSITIVE_INFINITY);
  while (centres.length < most) {
    const newest = centres.at(-1) as Cell;
    let next: Cell | undefined;
    let furthest = 1e-5;
    for (const [n, cell] of cells.entries()) {
      far[n] = Math.min(far[n] as number, apart(cell, newest));
      // The root of the weight lets small areas of a colour of their own in, and keeps specks out.
      const worth = (far[n] as number) * Math.sqrt(cell.weight);
      if (worth > furthest) {
        furthest = worth;
        next = cell;
      }
    }
    if (!next) break;
    centres.push(next);
  }
  for (let round = 0; round < ROUNDS; round++) {
    const sums = centres.map(() => ({ l: 0, a: 0, b: 0, weight: 0 }));
    for (const cell of cells) {
      let nearest = 0;
      let least = Number.POSITIVE_INFINITY;
      for (let n = 0; n < centres.length; n++) {
        const distance = apart(cell, centres[n] as Cell);
        if (distance < least) {
          least = distance;
          nearest = n;
        }
      }
      const sum = sums[nearest] as Cell;
      sum.l += cell.l * cell.weight;
      sum.a += cell.a * cell.weight;
      sum.b += cell.b * cell.weight;
      sum.weight += cell.weight;
    }
    centres = sums.map(({ l, a, b, weight }, n) =>
      weight > 0
        ? { l: l / weight, a: a / weight, b: b / weight, weight }
        : { ...(centres[n] as Cell), weight: 0 },
    );
  }
  return centres;
}

function apart(one: Cell, other: Cell): number {
  return (one.l - other.l) ** 2 + (one.a - other.a) ** 2 + (one.b - other.b) ** 2;
}
