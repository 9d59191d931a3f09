import { coordinate, type Point } from "./polygon.ts";

/** One plied strand hanging straight: where it stands and how it is twisted. All in px. */
export interface Strand {
  /** Middle of the strand. */
  readonly x: number;
  /** Half its width where a ply bulges most. */
  readonly half: number;
  readonly top: number;
  readonly bottom: number;
  /** Height of one turn of ply. */
  readonly pitch: number;
  /** Where the first turn begins, 0 to 1 of a pitch. */
  readonly phase: number;
}

const WAIST = 0.8;
const CAP_STEPS = 5;

/** Half the width of a strand at a height, on the left (-1) or right (1) edge: plies bulge in turn. */
export function edgeAt(strand: Strand, y: number, side: -1 | 1): number {
  const turn = (y - strand.top) / strand.pitch + strand.phase + (side === 1 ? 0.5 : 0);
  const bulge = Math.sqrt(Math.abs(Math.sin(Math.PI * turn)));
  return strand.x + side * strand.half * (WAIST + (1 - WAIST) * bulge);
}

/** Outline of the strand from one height to its end, which is rounded. */
export function strandOutline(strand: Strand, from = strand.top): Point[] {
  const step = strand.pitch / 6;
  const cap = Math.min(strand.half * 0.9, (strand.bottom - from) / 2);
  const left: Point[] = [];
  const right: Point[] = [];
  const round = strand.bottom - cap;
  for (let y = from; y < round; y += step) {
    left.push({ x: edgeAt(strand, y, -1), y });
    right.push({ x: edgeAt(strand, y, 1), y });
  }
  for (let index = 0; index <= CAP_STEPS; index += 1) {
    const angle = (index / CAP_STEPS) * (Math.PI / 2);
    const y = round + cap * Math.sin(angle);
    left.push({ x: capped(strand, round, -1, angle), y });
    right.push({ x: capped(strand, round, 1, angle), y });
  }
  return [...left, ...right.reverse()];
}

function capped(strand: Strand, y: number, side: -1 | 1, angle: number): number {
  return strand.x + (edgeAt(strand, y, side) - strand.x) * Math.cos(angle);
}

/**
 * Outline of the part of a strand that has taken dye: like the strand, but its upper edge is
 * where the dye has crept to, a tongue that leans with the twist.
 * @param level height of the liquor line on this strand
 * @param creep how far the tongue rises above the line at its tip, px
 * @param lean where the tip stands across the strand, -1 to 1
 */
export function dippedOutline(strand: Strand, level: number, creep: number, lean: number): Point[] {
  const body = strandOutline(strand, level);
  const tongue: Point[] = [];
  const steps = 6;
  const right = edgeAt(strand, level, 1);
  const left = edgeAt(strand, level, -1);
  for (let index = 1; index < steps; index += 1) {
    const across = 1 - index / steps;
    const x = left + (right - left) * across;
    const from = (x - strand.x) / strand.half - lean;
    const rise = creep * Math.exp(-2.2 * from * from) * Math.sin(Math.PI * across) ** 0.5;
    tongue.push({ x, y: level - rise });
  }
  return [...body, ...tongue];
}

/** The visible lines between plies: one short S to each turn, from edge to edge, as path data. */
export function twistLines(strand: Strand, from = strand.top, to = strand.bottom): string {
  let path = "";
  const first = strand.top - strand.phase * strand.pitch;
  for (let turn = 0; ; turn += 1) {
    const y = first + turn * strand.pitch;
    const rise = strand.pitch * 0.5;
    if (y - rise > to) break;
    if (y - rise < from || y > to - strand.half * 0.3) continue;
    const left = edgeAt(strand, y, -1);
    const right = edgeAt(strand, y - rise, 1);
    const middle = (left + right) / 2;
    path +=
      `M${coordinate(left)} ${coordinate(y)}` +
      `C${coordinate(middle - strand.half * 0.3)} ${coordinate(y)}` +
      ` ${coordinate(middle + strand.half * 0.3)} ${coordinate(y - rise)}` +
      ` ${coordinate(right)} ${coordinate(y - rise)}`;
  }
  return path;
}
