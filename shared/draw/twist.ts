import { grain } from "./grain.ts";
import { above, below, closedPath, openPath, type Point } from "./polygon.ts";
import { specksPath } from "./specks.ts";

/** A part of a hank painted or dripped in its own colour. */
export interface HankPatch {
  /** `#rrggbb` */
  readonly hex: string;
  /** Share of the skein it touches, 0 to 1. */
  readonly coverage: number;
  /** True where it lies as specks all over the skein; else it is one part from edge to edge. */
  readonly specks?: boolean | undefined;
}

/** One strand across the twist: its outline, and how much sooner or later dye creeps up it. */
export interface HankStrand {
  readonly outline: readonly Point[];
  /** -1 to 1 */
  readonly creep: number;
  /** -1 to 1, for the lower edge of a patch. */
  readonly bleed: number;
}

/** A skein twisted into a hank and stood on end; px, top left of its box at 0,0. */
export interface HankShape {
  readonly width: number;
  readonly height: number;
  /** The loop at the head, which the body lies over. */
  readonly loop: readonly HankStrand[];
  /** The twisted body. */
  readonly strands: readonly HankStrand[];
  /** How far down the loop reaches. */
  readonly loopTall: number;
  /** Outline of the loop, and of the body. */
  readonly silhouettes: readonly (readonly Point[])[];
  /** Where one ply passes behind the other. */
  readonly folds: readonly (readonly Point[])[];
  /** Half widths of the silhouette, by height from top to foot, evenly spaced. */
  readonly profile: readonly number[];
}

const ROWS = 60;
/** Steps in which a line across the twist is drawn; a small hank needs fewer. */
const stepsAcross = (width: number) => (width < 60 ? 8 : width < 120 ? 12 : 16);
const ARCH = 14;
/** Half width of the head's loop as a share of the hank's width. */
const LOOP_WIDE = 0.33;

/**
 * A hank that fills its box: a loop at the head, two plies twisted round each other, and the
 * end of one ply tucked back at the foot. The seed fixes only how evenly dye creeps.
 */
export function hankShape(width: number, height: number, seed: string): HankShape {
  const next = grain(seed);
  const middle = width / 2;
  const loop = Math.min(height * 0.24, width * 0.62);
  const neck = loop * 0.74;
  const half = (y: number) => (width / 2) * bodyShare((y - neck) / (height - neck));
  const strand = (outline: readonly Point[]): HankStrand => ({
    outline,
    creep: next() * 2 - 1,
    bleed: next() * 2 - 1,
  });

  const head: HankStrand[] = [];
  const strands: HankStrand[] = [];
  const folds: Point[][] = [];
  const loopWide = width * LOOP_WIDE;
  const loopThick = Math.min(width * 0.2, loop * 0.45);
  const loopParts = width < 34 ? 2 : width < 90 ? 3 : 4;
  for (let part = 0; part < loopParts; part += 1) {
    const outer = (part / loopParts) * loopThick;
    const inner = ((part + 1) / loopParts) * loopThick;
    const over = arch(middle, loop, loopWide - outer, loop - outer);
    const under = arch(middle, loop, loopWide - inner, loop - inner);
    // Two halves: a level that cuts a whole arch would join its legs across the hole.
    const { creep, bleed } = strand([]);
    for (const [from, to] of [
      [0, ARCH / 2],
      [ARCH / 2, ARCH],
    ] as const) {
      const outline = [...over.slice(from, to + 1), ...under.slice(from, to + 1).reverse()];
      head.push({ outline, creep, bleed });
    }
  }

  const pitch = (height - neck) / Math.max(2.5, (height - neck) / (width * 0.72));
  const slant = pitch * 1.15;
  const parts = width < 34 ? 3 : width < 90 ? 5 : 7;
  const across = stepsAcross(width);
  const turns = Math.ceil((height - neck + slant) / pitch);
  const crossing = (turn: number): Point[] => {
    const bulge = 0.76 + 0.24 * Math.abs(Math.sin(Math.PI * turn)) ** 0.55;
    return Array.from({ length: across + 1 }, (_, index) => {
      const round = (index / across - 0.5) * Math.PI;
      const aside = Math.sin(round);
      const rise = slant * (0.5 + (0.7 * round) / Math.PI + 0.15 * aside);
      const y = Math.max(neck, Math.min(height, neck + turn * pitch - rise));
      return { x: middle + aside * half(y) * bulge, y };
    });
  };
  const leftEdge: Point[] = [];
  const rightEdge: Point[] = [];
  for (let step = 0; step <= turns * parts; step += 1) {
    const line = crossing(step / parts);
    leftEdge.push(line[0] ?? { x: middle, y: neck });
    rightEdge.push(line[line.length - 1] ?? { x: middle, y: neck });
  }
  const silhouettes = [
    [
      ...arch(middle, loop, loopWide, loop),
      ...arch(middle, loop, loopWide - loopThick, loop - loopThick).reverse(),
    ],
    [...leftEdge, ...rightEdge.reverse()],
  ];
  for (let turn = 0; turn < turns; turn += 1) {
    if (turn > 0) folds.push(crossing(turn));
    for (let part = 0; part < parts; part += 1) {
      const upper = crossing(turn + part / parts);
      const lower = crossing(turn + (part + 1) / parts);
      strands.push(strand([...upper, ...lower.reverse()]));
    }
  }

  const profile = Array.from({ length: ROWS + 1 }, (_, row) => {
    const y = (row / ROWS) * height;
    const rest = Math.min(1, y / loop);
    const head = y < loop ? loopWide * Math.sqrt(1 - (1 - rest) ** 2) : 0;
    return Math.max(head, y >= neck ? half(y) * 0.95 : 0);
  });
  return { width, height, loop: head, strands, loopTall: loop, silhouettes, folds, profile };
}

/** Half width of the twisted body from neck (0) to foot (1), as a share of its widest. */
function bodyShare(down: number): number {
  const at = Math.max(0, Math.min(1, down));
  const shoulder = 1 - Math.min(1, at / 0.16);
  const foot = Math.max(0, (at - 0.8) / 0.2);
  const swell = 0.3 + 0.66 * Math.sqrt(1 - shoulder * shoulder) + 0.04 * Math.sin(Math.PI * at);
  return swell * Math.sqrt(1 - 0.95 * foot * foot);
}

function arch(middle: number, foot: number, wide: number, tall: number): Point[] {
  return Array.from({ length: ARCH + 1 }, (_, index) => {
    const angle = Math.PI * (1 - index / ARCH);
    return { x: middle + Math.cos(angle) * wide, y: foot - Math.sin(angle) * tall };
  });
}

/**
 * Height above which this share of the hank's silhouette lies, px from its top.
 * @param share 0 (its top) to 1 (its foot)
 */
export function heightAtShare(shape: HankShape, share: number): number {
  const widths = shape.profile;
  let whole = 0;
  for (let row = 1; row < widths.length; row += 1) whole += rowArea(widths, row);
  let left = Math.max(0, Math.min(1, share)) * whole;
  for (let row = 1; row < widths.length; row += 1) {
    const here = rowArea(widths, row);
    if (here >= left) {
      const part = here === 0 ? 0 : left / here;
      return ((row - 1 + part) / (widths.length - 1)) * shape.height;
    }
    left -= here;
  }
  return shape.height;
}

function rowArea(widths: readonly number[], row: number): number {
  return (widths[row - 1] ?? 0) + (widths[row] ?? 0);
}

/** What has taken colour in a hank, as outlines strand by strand. */
export interface HankColour {
  readonly crept: readonly (readonly Point[])[];
  /** Of the loop at the head. */
  readonly loop: readonly (readonly Point[])[];
  /** Of the twisted body. */
  readonly dyed: readonly (readonly Point[])[];
  /** Fold lines within the dyed part. */
  readonly folds: readonly (readonly Point[])[];
}

/** Most that dye creeps past its line, as a share of the hank's width. */
const CREEP = 0.13;

/**
 * The lower part of a hank that has taken colour.
 * @param fill share of the skein, 0 (bare) to 1 (all of it)
 */
export function hankFill(shape: HankShape, fill: number): HankColour {
  if (fill <= 0) return { crept: [], loop: [], dyed: [], folds: [] };
  if (fill >= 1) {
    return {
      crept: [],
      loop: shape.loop.map((strand) => strand.outline),
      dyed: shape.strands.map((strand) => strand.outline),
      folds: shape.folds,
    };
  }
  const level = heightAtShare(shape, 1 - fill);
  const reach = Math.min(shape.width * CREEP, level, (shape.height - level) * 0.8);
  const line = (strand: HankStrand) => level + strand.creep * reach;
  const rim = (strand: HankStrand) => line(strand) - reach * (0.5 + 0.35 * strand.bleed);
  const cut = (strands: readonly HankStrand[], at: (strand: HankStrand) => number) =>
    kept(strands.map((strand) => below(strand.outline, at(strand))));
  return {
    crept: cut([...shape.loop, ...shape.strands], rim),
    loop: cut(shape.loop, line),
    dyed: cut(shape.strands, line),
    folds: foldsBetween(shape, level, shape.height),
  };
}

/**
 * Painted or dripped patches of a hank, from its head down in the order given, with bare yarn
 * spread evenly between them; where together they touch more than the whole, they overlap.
 */
export function hankPatches(shape: HankShape, patches: readonly HankPatch[]): HankColour[] {
  return patchZones(patches).map(([from, to]) => {
    const top = heightAtShare(shape, from);
    const foot = heightAtShare(shape, to);
    const reach = Math.min(shape.width * CREEP, (foot - top) * 0.3);
    const zone = (strands: readonly HankStrand[]) =>
      kept(
        strands.map((strand) => {
          const upper = from <= 0 ? 0 : top + strand.creep * reach;
          const lower = to >= 1 ? shape.height : foot + strand.bleed * reach;
          return above(below(strand.outline, upper), lower);
        }),
      );
    return {
      crept: [],
      loop: zone(shape.loop),
      dyed: zone(shape.strands),
      folds: foldsBetween(shape, top, foot),
    };
  });
}

/** From where to where each patch reaches, as shares of the hank from its head. */
export function patchZones(patches: readonly HankPatch[]): [from: number, to: number][] {
  const covers = patches.map((patch) => Math.max(0, Math.min(1, patch.coverage)));
  const whole = covers.reduce((sum, cover) => sum + cover, 0);
  if (whole <= 1) {
    const bare = (1 - whole) / (covers.length + 1);
    let at = 0;
    return covers.map((cover) => {
      const from = at + bare;
      at = from + cover;
      return [from, Math.min(1, at)];
    });
  }
  return covers.map((cover, index) => {
    const share = covers.length === 1 ? 0 : index / (covers.length - 1);
    const from = share * (1 - cover);
    return [from, from + cover];
  });
}

/** Neps of contrasting fibre caught in the yarn, one path for each colour in turn. */
export function hankFlecks(shape: HankShape, colours: number, seed: string): string[] {
  const next = grain(`${seed} flecks`);
  const size = shape.width * 0.032;
  return Array.from({ length: colours }, () => {
    let path = "";
    const count = Math.round(8 + shape.height / 14);
    for (let index = 0; index < count; index += 1) {
      const y = shape.loopTall + (shape.height * 0.96 - shape.loopTall) * next();
      const row = Math.round((y / shape.height) * ROWS);
      const half = (shape.profile[row] ?? 0) * 0.84;
      const x = shape.width / 2 + (next() * 2 - 1) * half;
      const turn = -0.9 + (next() - 0.5) * 0.9;
      const long = size * (1.1 + 1.3 * next());
      const thick = size * (0.45 + 0.35 * next());
      path += closedPath(nep(x, y, turn, long, thick));
    }
    return path;
  });
}

function nep(x: number, y: number, turn: number, long: number, thick: number): Point[] {
  return [0, 1, 2, 3, 4, 5].map((corner) => {
    const angle = (corner / 6) * 2 * Math.PI;
    const along = Math.cos(angle) * long;
    const over = Math.sin(angle) * thick;
    return {
      x: x + along * Math.cos(turn) - over * Math.sin(turn),
      y: y + along * Math.sin(turn) + over * Math.cos(turn),
    };
  });
}

/** Specks of dye all over a hank that together touch about this share of it, as one path. */
export function hankSpecks(shape: HankShape, coverage: number, seed: string): string {
  const rows = shape.profile.length - 1;
  const widths = shape.profile.reduce((sum, half) => sum + 2 * half, 0);
  const whole = (widths / shape.profile.length) * shape.height;
  return specksPath(seed, coverage, whole, shape.width * 0.045, (next) => {
    const y = shape.height * (0.02 + 0.95 * next());
    const half = (shape.profile[Math.round((y / shape.height) * rows)] ?? 0) * 0.86;
    return { x: shape.width / 2 + (next() * 2 - 1) * half, y };
  });
}

/** A thread laid round the hank at a distance, as path data. */
export function hankRing(shape: HankShape, gap: number): string {
  const middle = shape.width / 2;
  const rows = shape.profile.length - 1;
  const reach = (row: number) => {
    const near = Array.from({ length: 5 }, (_, index) => shape.profile[row + index - 2] ?? 0);
    return Math.max(...near);
  };
  const eased = (row: number) => {
    let sum = 0;
    for (let near = -3; near <= 3; near += 1) sum += reach(row + near);
    return sum / 7;
  };
  const right: Point[] = [];
  const shoulder = Math.round((shape.loopTall / shape.height) * rows * 0.5);
  const hip = Math.round(rows * 0.88);
  const start = { x: eased(shoulder) + gap, y: (shoulder / rows) * shape.height };
  const end = { x: eased(hip) + gap, y: (hip / rows) * shape.height };
  for (let index = 0; index < 10; index += 1) {
    const angle = (index / 10) * (Math.PI / 2);
    right.push({
      x: middle + Math.sin(angle) * start.x,
      y: start.y - Math.cos(angle) * (start.y + gap),
    });
  }
  for (let row = shoulder; row <= hip; row += 1) {
    right.push({ x: middle + eased(row) + gap, y: (row / rows) * shape.height });
  }
  for (let index = 1; index <= 10; index += 1) {
    const angle = (index / 10) * (Math.PI / 2);
    right.push({
      x: middle + Math.cos(angle) * end.x,
      y: end.y + Math.sin(angle) * (shape.height + gap - end.y),
    });
  }
  const left = right.map((point) => ({ x: 2 * middle - point.x, y: point.y })).reverse();
  return closedPath([...right, ...left]);
}

/** Outlines as one path. */
export function outlinesPath(outlines: readonly (readonly Point[])[]): string {
  return outlines.map(closedPath).join("");
}

/** Lines as one path. */
export function linesPath(lines: readonly (readonly Point[])[]): string {
  return lines.map(openPath).join("");
}

function foldsBetween(shape: HankShape, top: number, foot: number): Point[][] {
  return shape.folds
    .map((fold) => fold.filter((point) => point.y >= top && point.y <= foot))
    .filter((fold) => fold.length > 1);
}

function kept(outlines: Point[][]): Point[][] {
  return outlines.filter((outline) => outline.length > 2);
}
