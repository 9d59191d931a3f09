import { BANDS, type Spectrum } from "./spectrum.ts";

/**
 * K/S that a dye adds to a yarn against its depth of shade: for each band a monotone cubic through
 * nothing at 0 % and the K/S found at each depth, and from the deepest on straight with the slope it
 * has there. With one depth it is a straight line, depth x unit K/S.
 */
export type Curve = {
  /** Where the pieces begin, % owf: 0, then each depth that was seen. */
  readonly knotsPct: readonly number[];
  /** For each piece and band four coefficients of the depth beyond the piece's knot, rising. */
  readonly pieces: readonly Float64Array[];
};

/**
 * A curve through K/S at depths, band by band: Fritsch and Butland, "A method for constructing local
 * monotone piecewise cubic interpolants", SIAM Journal on Scientific and Statistical Computing 5(2),
 * 1984. It neither overshoots nor dips where the K/S do not.
 *
 * @param points by rising depth, at least one, depths above 0
 */
export function curveThrough(points: readonly { depthPct: number; ks: Spectrum }[]): Curve {
  const knotsPct = [0, ...points.map(({ depthPct }) => depthPct)];
  const pieces = knotsPct.map(() => new Float64Array(4 * BANDS));
  const last = points.length;
  for (let band = 0; band < BANDS; band++) {
    const ks = [0, ...points.map((point) => point.ks[band] as number)];
    const widths = points.map((_, at) => (knotsPct[at + 1] as number) - (knotsPct[at] as number));
    const secants = widths.map((w, at) => ((ks[at + 1] as number) - (ks[at] as number)) / w);
    const slopes = slopesOf(widths, secants);
    for (let at = 0; at < last; at++) {
      const w = widths[at] as number;
      const secant = secants[at] as number;
      const from = slopes[at] as number;
      const to = slopes[at + 1] as number;
      const piece = pieces[at] as Float64Array;
      piece[4 * band] = ks[at] as number;
      piece[4 * band + 1] = from;
      piece[4 * band + 2] = (3 * secant - 2 * from - to) / w;
      piece[4 * band + 3] = (from + to - 2 * secant) / (w * w);
    }
    const beyond = pieces[last] as Float64Array;
    beyond[4 * band] = ks[last] as number;
    beyond[4 * band + 1] = Math.max(0, slopes[last] as number);
  }
  return last === 1
    ? straight(pieces[1] as Float64Array, points[0]?.depthPct ?? 1)
    : { knotsPct, pieces };
}

function straight(beyond: Float64Array, depthPct: number): Curve {
  const piece = beyond.slice();
  for (let band = 0; band < BANDS; band++) {
    piece[4 * band + 1] = (piece[4 * band] as number) / depthPct;
    piece[4 * band] = 0;
  }
  return { knotsPct: [0], pieces: [piece] };
}

function slopesOf(widths: readonly number[], secants: readonly number[]): number[] {
  const count = secants.length;
  const first = secants[0] as number;
  if (count === 1) return [first, first];
  const slopes = [end(widths[0], widths[1], first, secants[1] as number)];
  for (let at = 1; at < count; at++) {
    const before = secants[at - 1] as number;
    const after = secants[at] as number;
    if (before * after <= 0) {
      slopes.push(0);
      continue;
    }
    const w1 = 2 * (widths[at] as number) + (widths[at - 1] as number);
    const w2 = (widths[at] as number) + 2 * (widths[at - 1] as number);
    slopes.push((w1 + w2) / (w1 / before + w2 / after));
  }
  const final = secants[count - 1] as number;
  slopes.push(end(widths[count - 1], widths[count - 2], final, secants[count - 2] as number));
  return slopes;
}

/** Slope at an end from the two nearest pieces, kept from turning the curve around. */
function end(near = 1, next = 1, secant: number, nextSecant: number): number {
  const slope = ((2 * near + next) * secant - near * nextSecant) / (near + next);
  if (slope * secant <= 0) return 0;
  return Math.abs(slope) > 3 * Math.abs(secant) ? 3 * secant : slope;
}

/** K/S per % of depth where the dye only begins to colour the yarn. */
export function unitKs(curve: Curve): Spectrum {
  const piece = curve.pieces[0] as Float64Array;
  return Float64Array.from({ length: BANDS }, (_, band) => piece[4 * band + 1] as number);
}

/** Adds the K/S of a dye at a depth to `into`. */
export function addKs(curve: Curve, depthPct: number, into: Spectrum): void {
  const at = pieceAt(curve, depthPct);
  const piece = curve.pieces[at] as Float64Array;
  const t = depthPct - (curve.knotsPct[at] as number);
  for (let band = 0, c = 0; band < BANDS; band++, c += 4) {
    const ks =
      (piece[c] as number) +
      t *
        ((piece[c + 1] as number) + t * ((piece[c + 2] as number) + t * (piece[c + 3] as number)));
    into[band] = (into[band] as number) + ks;
  }
}

/** Adds the K/S of a dye at a depth to `into`, and writes what each % more would add into `slopes`. */
export function addKsAndSlopes(
  curve: Curve,
  depthPct: number,
  into: Spectrum,
  slopes: Spectrum,
): void {
  const at = pieceAt(curve, depthPct);
  const piece = curve.pieces[at] as Float64Array;
  const t = depthPct - (curve.knotsPct[at] as number);
  for (let band = 0, c = 0; band < BANDS; band++, c += 4) {
    const c1 = piece[c + 1] as number;
    const c2 = piece[c + 2] as number;
    const c3 = piece[c + 3] as number;
    into[band] = (into[band] as number) + (piece[c] as number) + t * (c1 + t * (c2 + t * c3));
    slopes[band] = c1 + t * (2 * c2 + 3 * t * c3);
  }
}

function pieceAt({ knotsPct }: Curve, depthPct: number): number {
  let at = knotsPct.length - 1;
  while (at > 0 && depthPct < (knotsPct[at] as number)) at--;
  return at;
}
