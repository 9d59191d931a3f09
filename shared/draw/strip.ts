import { grain } from "./grain.ts";
import { closedPath } from "./polygon.ts";
import { dippedOutline, type Strand, strandOutline, twistLines } from "./strand.ts";

/** Share of a strip's height that stays undyed when nothing else is said. */
export const UNDYED_SHARE = 0.34;

/** One dye of a strip and the share of the dyed length it takes. */
export interface StripBand {
  readonly dyedHex: string;
  /** More than 0; shares are weighed against each other. */
  readonly share: number;
}

/** Paths of a strip of yarn, px, top left at 0,0. */
export interface StripDrawing {
  /** Every strand, whole. */
  readonly yarn: string;
  /** From the top down: what each dye has reached, and the pale rim it crept to above that. */
  readonly bands: readonly {
    readonly crept: string;
    readonly dyed: string;
    readonly twist: string;
  }[];
  /** Twist lines of the undyed part. */
  readonly twist: string;
  /** Thickness of a twist line. */
  readonly twistWidth: number;
}

/** Strands that hang side by side in a strip of this size. */
export function stripStrands(width: number, height: number, next: () => number): Strand[] {
  const count = Math.max(3, Math.min(7, Math.round(width / 16)));
  const half = width / count / 2;
  const strands: Strand[] = [];
  for (let index = 0; index < count; index += 1) {
    strands.push({
      x: half * (2 * index + 1),
      half: half * 1.06,
      top: 0,
      bottom: height - next() * Math.min(height * 0.05, half * 1.6),
      pitch: half * 3,
      phase: next(),
    });
  }
  return strands;
}

/**
 * A strip of yarn dipped into one dye, or into several one above the other.
 * @param seed the same word always draws the same strip
 * @param undyedShare share of the height left undyed, 0 to 1
 */
export function stripDrawing(
  width: number,
  height: number,
  seed: string,
  bands: readonly StripBand[],
  undyedShare = UNDYED_SHARE,
): StripDrawing {
  const next = grain(seed);
  const strands = stripStrands(width, height, next);
  const whole = bands.reduce((sum, band) => sum + band.share, 0) || 1;
  const jitter = Math.min(height * 0.06, (width / strands.length) * 0.7);
  const levels: number[] = [];
  let down = undyedShare * height;
  for (const band of bands) {
    levels.push(down);
    down += (band.share / whole) * height * (1 - undyedShare);
  }
  const drawn = levels.map((level, order) => {
    let crept = "";
    let dyed = "";
    let twist = "";
    for (const strand of strands) {
      const line = level + (next() - 0.5) * 2 * jitter;
      const lean = (next() - 0.5) * 1.4;
      const creep = jitter * (0.6 + next());
      const rim = jitter * (0.35 + next() * 0.7);
      if (order === 0) crept += closedPath(dippedOutline(strand, line - rim, creep, lean));
      dyed += closedPath(dippedOutline(strand, line, creep, lean));
      twist += twistLines(strand, line, levels[order + 1] ?? strand.bottom);
    }
    return { crept, dyed, twist };
  });
  return {
    yarn: strands.map((strand) => closedPath(strandOutline(strand))).join(""),
    bands: drawn,
    twist: strands.map((strand) => twistLines(strand, 0, undyedShare * height)).join(""),
    twistWidth: Math.max(0.8, Math.min(2.4, (width / strands.length) * 0.1)),
  };
}

/**
 * Dry powder shaken over a strip, thicker towards its foot: grains, and a few that have burst
 * into a streak where the yarn was wet. Path data, px.
 */
export function powderPath(width: number, height: number, seed: string): string {
  const next = grain(`${seed} powder`);
  const size = Math.max(0.9, Math.min(4.2, width / 22, height / 26));
  const count = Math.round(Math.min(150, 26 + (width * height) / (size * size * 14)));
  const from = height * 0.16;
  let path = "";
  for (let index = 0; index < count; index += 1) {
    const y = from + (height * 0.95 - from) * next() ** 0.62;
    const x = width * (0.05 + 0.9 * next());
    const reach = size * (0.45 + 0.75 * next() * next());
    const tall = next() > 0.82 ? reach * (2 + 1.6 * next()) : reach * (0.8 + 0.5 * next());
    path += closedPath(grainOutline(x, Math.min(y, height - tall - 1), reach, tall, next));
  }
  return path;
}

function grainOutline(x: number, y: number, wide: number, tall: number, next: () => number) {
  const turn = next() * Math.PI;
  return [0, 1, 2, 3, 4, 5].map((corner) => {
    const angle = turn + (corner / 6) * 2 * Math.PI;
    const reach = 0.8 + 0.4 * next();
    return { x: x + Math.cos(angle) * wide * reach, y: y + Math.sin(angle) * tall * reach };
  });
}
