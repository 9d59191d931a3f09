import { ksOf } from "./kubelkaMunk.ts";
import { WEIGHTS } from "./observer.ts";
import { BANDS, type Spectrum, STEP_NM, spectrumOf } from "./spectrum.ts";
import { WHITE, type Xyz } from "./tone.ts";

/*
 * A colour is three numbers and a spectrum thirty-one, so the rest has to come from what is known of
 * dyes: their K/S is positive, spans orders of magnitude and changes slowly along the spectrum. Of
 * all K/S that give exactly the colour seen, the one is taken that is most probable when the
 * logarithm of K/S is a Gaussian process along the wavelength, which is the estimate of Pratt and
 * Mancill ("Spectral estimation techniques for the spectral calibration of a color image scanner",
 * Applied Optics 15, 1976) moved to the logarithm of K/S, where a mix is nearly as straight as in K/S
 * itself and no reflectance leaves 0 to 1. The covariance is the Matérn one of order 3/2 (Rasmussen
 * and Williams, "Gaussian Processes for Machine Learning", 2006, equation 4.17). It is found by
 * Gauss-Newton steps with one multiplier for each of the three equations (Nocedal and Wright,
 * "Numerical Optimization", 2006, chapter 18).
 */

/** How far along the spectrum a dye's ln K/S remembers itself, nm; by trial on dyes of our own making. */
const MEMORY_NM = 90;

/** Variance of the shape of ln K/S, and of its level, of which next to nothing is known. */
const SHAPE_VARIANCE = 2;
const LEVEL_VARIANCE = 100;

/** How much the shape and the level of one dye's ln K/S may differ between two of its depths. */
const DEPTH_SHAPE_VARIANCE = 0.02;
const DEPTH_LEVEL_VARIANCE = 0.25;

/** Dyes absorb less towards the red, in ln K/S per nm; by trial. */
const SLOPE_PER_NM = -0.004;

/**
 * Where a dye absorbs less than this share of what its yarn does, its shape is taken to be the
 * yarn's and not followed into the invisible; by trial.
 */
const UNSEEN_SHARE = 0.3;

/** Steps of the search, and the longest of one step in ln K/S. */
const MOST_STEPS = 80;
const LONGEST_STEP = 1.5;

/** A step in ln K/S after which the next would change nothing that could be seen. */
const STILL_ENOUGH = 1e-4;

/** A miss that is none, CIELAB L* / 116: 0.0001 of L*. */
const EXACT = 1e-6;

/** A band whose dye has come to nothing still pulls this much, so that it can come back. */
const PULL_OF_NOTHING = 0.02;

/** No colour is darker than this, share of white: under it K/S grows without end. */
const DARKEST_Y = 1e-6;

/** A dye seen on a yarn: the colour it gave, the yarn's own K/S, and the depth of shade. */
export type Sight = { readonly xyz: Xyz; readonly yarnKs: Spectrum; readonly depthPct: number };

const shapeKernel = kernel(SHAPE_VARIANCE, LEVEL_VARIANCE);
const depthKernel = kernel(DEPTH_SHAPE_VARIANCE, DEPTH_LEVEL_VARIANCE);
const bothKernels = shapeKernel.map((value, at) => value + (depthKernel[at] as number));
const slope = spectrumOf((_, nm) => SLOPE_PER_NM * (nm - 550));

/** Covariance of each band with each, row after row. */
function kernel(shape: number, level: number): Float64Array {
  return Float64Array.from({ length: BANDS * BANDS }, (_, at) => {
    const apart = Math.abs(Math.floor(at / BANDS) - (at % BANDS)) * STEP_NM;
    const far = (Math.sqrt(3) * apart) / MEMORY_NM;
    return level + shape * (1 + far) * Math.exp(-far);
  });
}

/**
 * The smoothest K/S of a colour: of a yarn, or of anything else of which only the colour is known.
 * Its reflectance gives the colour back to better than 0.001 CIEDE2000 wherever sRGB has it, down to
 * black; a perfect white is K/S 0.
 */
export function smoothKs(xyz: Xyz): Spectrum {
  const nothing = new Float64Array(BANDS);
  if (Math.min(xyz.x / WHITE.x, xyz.y / WHITE.y, xyz.z / WHITE.z) >= 1 - 1e-9) return nothing;
  return unitKsOf([{ xyz, yarnKs: nothing, depthPct: 1 }])[0] ?? nothing;
}

/**
 * K/S that one dye adds to a yarn for each % of depth, from the colours it gave: one curve for each
 * sight, alike in shape as far as the colours allow, each giving its own colour back as near as its
 * yarn lets it. A colour that is lighter than its yarn cannot be reached and is missed by the least.
 *
 * @param sights at different depths, above 0
 * @param known the dye's own curve per % where it was measured; the shape is then its shape
 */
export function unitKsOf(sights: readonly Sight[], known?: Spectrum): Spectrum[] {
  const first = search(sights, known, UNSEEN_SHARE);
  if (first.miss < EXACT) return first.units;
  // Cutting bands off makes the search stumble now and then; without it bands only fade away.
  const second = search(sights, known, 0);
  return second.miss < first.miss ? second.units : first.units;
}

/** The search itself, and by how much it missed a colour, in CIELAB's compressed light. */
function search(
  sights: readonly Sight[],
  known: Spectrum | undefined,
  unseenShare: number,
): { units: Spectrum[]; miss: number } {
  const count = sights.length;
  const equations = 3 * count;
  const alone = count === 1 && !known;
  const deep = Math.exp(sights.reduce((sum, { depthPct }) => sum + Math.log(depthPct), 0) / count);
  const wanted = sights.flatMap(({ xyz }) => compressed(reachable(xyz)));
  const unseen = sights.map(({ yarnKs }) => yarnKs.map((ks) => (unseenShare * ks) / deep));
  const means = unseen.map((hidden) =>
    known ? known.map((ks, band) => Math.log(ks + (hidden[band] as number) + 1e-9)) : slope,
  );
  const z = means.map((mean, i) => start(sights[i] as Sight, mean, known !== undefined));
  const units = sights.map(() => new Float64Array(BANDS));
  const gradients = Array.from({ length: equations }, () => new Float64Array(BANDS));
  const common = Array.from({ length: equations }, () => new Float64Array(BANDS));
  const own = Array.from({ length: equations }, () => new Float64Array(BANDS));
  const found = new Float64Array(equations);
  let best = units.map((unit) => unit.slice());
  let nearest = Number.POSITIVE_INFINITY;
  let longest = Number.POSITIVE_INFINITY;

  for (let step = 0; step < MOST_STEPS; step++) {
    let miss = 0;
    for (let i = 0; i < count; i++) {
      const sight = sights[i] as Sight;
      look(
        sight,
        z[i] as Spectrum,
        unseen[i] as Spectrum,
        units[i] as Spectrum,
        gradients,
        found,
        i,
      );
    }
    for (let e = 0; e < equations; e++) {
      miss = Math.max(miss, Math.abs((wanted[e] as number) - (found[e] as number)));
    }
    if (miss < nearest) {
      nearest = miss;
      best = units.map((unit) => unit.slice());
    }
    if (longest < STILL_ENOUGH) break;

    for (let e = 0; e < equations; e++) {
      const gradient = gradients[e] as Spectrum;
      if (alone) {
        spread(bothKernels, gradient, own[e] as Spectrum);
        continue;
      }
      if (!known) spread(shapeKernel, gradient, common[e] as Spectrum);
      spread(depthKernel, gradient, own[e] as Spectrum);
    }
    const matrix: number[][] = [];
    for (let e = 0; e < equations; e++) {
      const block = Math.floor(e / 3);
      const row = Array.from(gradients, (other, f) => {
        let sum = dot(other, common[e] as Spectrum);
        if (Math.floor(f / 3) === block) sum += dot(other, own[e] as Spectrum);
        return e === f ? sum * (1 + 1e-12) : sum;
      });
      const gradient = gradients[e] as Spectrum;
      const moved = dot(gradient, z[block] as Spectrum) - dot(gradient, means[block] as Spectrum);
      row.push((wanted[e] as number) - (found[e] as number) + moved);
      matrix.push(row);
    }
    const multipliers = solve(matrix);
    const targets = means.map((mean, i) => {
      const next = mean.slice();
      for (let e = 0; e < equations; e++) {
        const by = multipliers[e] as number;
        const mine = Math.floor(e / 3) === i;
        for (let band = 0; band < BANDS; band++) {
          const ownPart = mine ? ((own[e] as Spectrum)[band] as number) : 0;
          next[band] =
            (next[band] as number) + by * (((common[e] as Spectrum)[band] as number) + ownPart);
        }
      }
      return next;
    });
    longest = 0;
    for (let i = 0; i < count; i++) {
      for (let band = 0; band < BANDS; band++) {
        const move =
          ((targets[i] as Spectrum)[band] as number) - ((z[i] as Spectrum)[band] as number);
        longest = Math.max(longest, Math.abs(move));
      }
    }
    if (!Number.isFinite(longest)) break;
    const share = Math.min(1, LONGEST_STEP / longest);
    for (let i = 0; i < count; i++) {
      const from = z[i] as Spectrum;
      for (let band = 0; band < BANDS; band++) {
        const at = from[band] as number;
        from[band] = at + share * (((targets[i] as Spectrum)[band] as number) - at);
      }
    }
  }
  return { units: best, miss: nearest };
}

/** The prior's shape at the level that a grey of the same lightness would have. */
function start({ xyz, yarnKs, depthPct }: Sight, mean: Spectrum, known: boolean): Spectrum {
  if (known) return mean.slice();
  const yarn = yarnKs.reduce((sum, ks) => sum + ks, 0) / BANDS;
  const level = Math.log(Math.max(1e-3, ksOf(xyz.y) - yarn) / depthPct);
  return mean.map((value) => value + level);
}

/** Fills in what a sight's curve gives: K/S per %, compressed X, Y, Z, and how each band moves them. */
function look(
  { yarnKs, depthPct }: Sight,
  z: Spectrum,
  unseen: Spectrum,
  unit: Spectrum,
  gradients: readonly Spectrum[],
  found: Float64Array,
  block: number,
): void {
  const gx = gradients[3 * block] as Spectrum;
  const gy = gradients[3 * block + 1] as Spectrum;
  const gz = gradients[3 * block + 2] as Spectrum;
  let x = 0;
  let y = 0;
  let zed = 0;
  for (let band = 0; band < BANDS; band++) {
    const whole = Math.exp(z[band] as number);
    const over = whole - (unseen[band] as number);
    const per = Math.max(0, over);
    unit[band] = per;
    const ks = (yarnKs[band] as number) + depthPct * per;
    const root = Math.sqrt(ks * (ks + 2)) + 1e-12;
    const r = 1 / (1 + ks + root);
    const slide = (-r / root) * depthPct * whole * (over > 0 ? 1 : PULL_OF_NOTHING);
    const wx = WEIGHTS.x[band] as number;
    const wy = WEIGHTS.y[band] as number;
    const wz = WEIGHTS.z[band] as number;
    x += wx * r;
    y += wy * r;
    zed += wz * r;
    gx[band] = wx * slide;
    gy[band] = wy * slide;
    gz[band] = wz * slide;
  }
  x /= WHITE.x;
  zed /= WHITE.z;
  found[3 * block] = compress(x);
  found[3 * block + 1] = compress(y);
  found[3 * block + 2] = compress(zed);
  const dx = compressSlope(x) / WHITE.x;
  const dy = compressSlope(y);
  const dz = compressSlope(zed) / WHITE.z;
  for (let band = 0; band < BANDS; band++) {
    gx[band] = (gx[band] as number) * dx;
    gy[band] = (gy[band] as number) * dy;
    gz[band] = (gz[band] as number) * dz;
  }
}

function reachable({ x, y, z }: Xyz): Xyz {
  return {
    x: Math.max(x, DARKEST_Y * WHITE.x),
    y: Math.max(y, DARKEST_Y),
    z: Math.max(z, DARKEST_Y * WHITE.z),
  };
}

function compressed({ x, y, z }: Xyz): [number, number, number] {
  return [compress(x / WHITE.x), compress(y), compress(z / WHITE.z)];
}

/** CIELAB's f (CIE 15): the cube root, and a straight line near black. */
export function compress(share: number): number {
  return share > KNEE ? Math.cbrt(share) : (KAPPA * share + 16) / 116;
}

export function compressSlope(share: number): number {
  return share > KNEE ? 1 / (3 * Math.cbrt(share) ** 2) : KAPPA / 116;
}

const KNEE = 216 / 24389;
const KAPPA = 24389 / 27;

function spread(covariance: Float64Array, from: Spectrum, into: Spectrum): void {
  for (let i = 0, at = 0; i < BANDS; i++) {
    let sum = 0;
    for (let j = 0; j < BANDS; j++, at++) {
      sum += (covariance[at] as number) * (from[j] as number);
    }
    into[i] = sum;
  }
}

function dot(a: Spectrum, b: Spectrum): number {
  let sum = 0;
  for (let band = 0; band < BANDS; band++) sum += (a[band] as number) * (b[band] as number);
  return sum;
}

/** Solves rows of coefficients that end with their right-hand side, by elimination with pivots. */
function solve(rows: number[][]): number[] {
  const size = rows.length;
  for (let at = 0; at < size; at++) {
    let pivot = at;
    for (let row = at + 1; row < size; row++) {
      if (Math.abs(rows[row]?.[at] ?? 0) > Math.abs(rows[pivot]?.[at] ?? 0)) pivot = row;
    }
    const top = rows[pivot] as number[];
    rows[pivot] = rows[at] as number[];
    rows[at] = top;
    for (let below = at + 1; below < size; below++) {
      const row = rows[below] as number[];
      const share = (row[at] as number) / (top[at] as number);
      for (let k = at; k <= size; k++) row[k] = (row[k] as number) - share * (top[k] as number);
    }
  }
  const answer = new Array<number>(size).fill(0);
  for (let at = size - 1; at >= 0; at--) {
    const row = rows[at] as number[];
    let rest = row[size] as number;
    for (let k = at + 1; k < size; k++) rest -= (row[k] as number) * (answer[k] as number);
    answer[at] = rest / (row[at] as number);
  }
  return answer;
}
