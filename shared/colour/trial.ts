import { addKsAndSlopes, unitKs } from "./curve.ts";
import { squaredDifference } from "./difference.ts";
import { WEIGHTS } from "./observer.ts";
import type { Yarn } from "./seen.ts";
import { compress, compressSlope, unitKsOf } from "./smooth.ts";
import { BANDS, type Spectrum } from "./spectrum.ts";
import type { Dye } from "./swatch.ts";
import { type Lab, WHITE, xyzOfLab } from "./tone.ts";

/** The most dyes in one recipe. */
export const MOST_DYES = 3;

/** A dye that may go into a recipe, up to a depth of shade, % owf, above 0. */
export type Offer = { readonly dye: Dye; readonly limitPct: number };

/** Where a search stops: a step in % owf, and a gain in CIEDE2000. */
const SMALLEST_STEP_PCT = 1e-6;
const SMALLEST_GAIN = 1e-6;
const MOST_STEPS = 60;

/** Step for the slope of CIEDE2000 along L*, a* and b*. */
const NUDGE = 1e-4;

const weights = Float64Array.from({ length: 3 * BANDS }, (_, at) => {
  const band = Math.floor(at / 3);
  const channel = at % 3;
  if (channel === 0) return (WEIGHTS.x[band] as number) / WHITE.x;
  if (channel === 1) return WEIGHTS.y[band] as number;
  return (WEIGHTS.z[band] as number) / WHITE.z;
});

/**
 * One target on one yarn, and the dyes that may come near it. Made to be asked often: nothing is
 * allocated while it searches, so one trial must not be used by two searches at a time.
 */
export class Trial {
  readonly offers: readonly Offer[];
  /** Colour of the doses last looked at. */
  l = 0;
  a = 0;
  b = 0;
  private readonly yarnKs: Spectrum;
  private readonly target: Lab;
  /** K/S per % of each dye, where it is straight and where it is not. */
  private readonly units: readonly Spectrum[];
  private readonly straight: readonly boolean[];
  /** How each % of each dye moves L*, a*, b* near the target: three numbers a dye. */
  private readonly pulls: Float64Array;
  /** How the target lies from the yarn, in the same terms. */
  private readonly way = new Float64Array(3);
  private readonly ks = new Float64Array(BANDS);
  private readonly slopes = [0, 1, 2].map(() => new Float64Array(BANDS));
  private readonly none = new Float64Array(BANDS);
  private readonly lines: Spectrum[] = [this.none, this.none, this.none];
  /** dL*, da*, db* per % of each dye of the recipe: row after row. */
  private readonly jacobian = new Float64Array(9);
  private readonly metric = new Float64Array(6);
  private readonly gradient = new Float64Array(3);
  private readonly hessian = new Float64Array(9);
  private readonly system = new Float64Array(12);
  private readonly move = new Float64Array(3);
  private readonly tried = new Float64Array(3);
  private readonly free = new Uint8Array(3);

  constructor(yarn: Yarn, target: Lab, offers: readonly Offer[]) {
    this.yarnKs = yarn.ks;
    this.target = target;
    this.offers = offers;
    this.straight = offers.map(({ dye }) => dye.curve.pieces.length === 1);
    this.units = offers.map(({ dye }) => unitKs(dye.curve));
    this.pulls = new Float64Array(3 * offers.length);
    this.aim();
  }

  /** Lays the target's own smooth K/S beside the dyes', to start each search from. */
  private aim(): void {
    const sight = { xyz: xyzOfLab(this.target), yarnKs: this.yarnKs, depthPct: 1 };
    const added = unitKsOf([sight])[0] ?? this.none;
    this.ks.set(this.yarnKs);
    for (let band = 0; band < BANDS; band++) {
      this.ks[band] = (this.ks[band] as number) + (added[band] as number);
    }
    const saved = this.ks.slice();
    for (let n = -1; n < this.offers.length; n++) {
      this.ks.set(saved);
      const line = n < 0 ? added : this.typical(n);
      this.lines[0] = line;
      this.lines[1] = this.none;
      this.lines[2] = this.none;
      this.optics();
      const into = n < 0 ? this.way : this.pulls;
      const at = n < 0 ? 0 : 3 * n;
      into[at] = this.jacobian[0] as number;
      into[at + 1] = this.jacobian[3] as number;
      into[at + 2] = this.jacobian[6] as number;
    }
    this.fillMetric(this.target.l, this.target.a, this.target.b);
  }

  /** K/S per % of a dye in the middle of what it may be used at. */
  private typical(n: number): Spectrum {
    const unit = this.units[n] ?? this.none;
    const offer = this.offers[n];
    if (!offer || this.straight[n]) return unit;
    const line = new Float64Array(BANDS);
    addKsAndSlopes(offer.dye.curve, offer.limitPct / 2, new Float64Array(BANDS), line);
    return line;
  }

  /**
   * Doses to start a search from, % owf: those that would be right if the colour moved straight with
   * K/S around the target. They may be negative or over their limits.
   *
   * @returns false when the dyes are too alike to tell
   */
  start(dyes: readonly number[], into: Float64Array): boolean {
    const count = dyes.length;
    const { hessian, gradient } = this;
    for (let i = 0; i < count; i++) {
      const pi = 3 * (dyes[i] as number);
      gradient[i] = -this.inMetric(this.pulls, pi, this.way, 0);
      for (let j = 0; j <= i; j++) {
        const value = this.inMetric(this.pulls, pi, this.pulls, 3 * (dyes[j] as number));
        hessian[3 * i + j] = value;
        hessian[3 * j + i] = value;
      }
      this.free[i] = 1;
    }
    if (!this.solve(count, 1e-9)) return false;
    for (let i = 0; i < count; i++) into[i] = this.move[i] as number;
    return true;
  }

  /** How far a dose of a dye moves the colour near the target, about CIEDE2000, with its sign. */
  weight(dye: number, depthPct: number): number {
    return (
      depthPct * Math.sqrt(Math.max(0, this.inMetric(this.pulls, 3 * dye, this.pulls, 3 * dye)))
    );
  }

  /** CIEDE2000 of doses, % owf from 0 to their limits, from the target. */
  difference(dyes: readonly number[], doses: ArrayLike<number>): number {
    return Math.sqrt(this.squared(dyes, doses));
  }

  /** The same squared, leaving the colour and how it moves with each dose behind. */
  squared(dyes: readonly number[], doses: ArrayLike<number>): number {
    const count = dyes.length;
    const { ks, yarnKs } = this;
    for (let band = 0; band < BANDS; band++) ks[band] = yarnKs[band] as number;
    for (let i = 0; i < MOST_DYES; i++) {
      if (i >= count) {
        this.lines[i] = this.none;
        continue;
      }
      const n = dyes[i] as number;
      const depthPct = doses[i] as number;
      if (this.straight[n]) {
        const unit = this.units[n] as Spectrum;
        for (let band = 0; band < BANDS; band++) {
          ks[band] = (ks[band] as number) + depthPct * (unit[band] as number);
        }
        this.lines[i] = unit;
      } else {
        const slopes = this.slopes[i] as Spectrum;
        addKsAndSlopes((this.offers[n] as Offer).dye.curve, depthPct, ks, slopes);
        this.lines[i] = slopes;
      }
    }
    this.optics();
    return squaredDifference(this.target.l, this.target.a, this.target.b, this.l, this.a, this.b);
  }

  /** CIELAB of the K/S at hand, and how it moves with each line. */
  private optics(): void {
    const { ks, jacobian } = this;
    const first = this.lines[0] as Spectrum;
    const second = this.lines[1] as Spectrum;
    const third = this.lines[2] as Spectrum;
    let x = 0;
    let y = 0;
    let z = 0;
    let x1 = 0;
    let y1 = 0;
    let z1 = 0;
    let x2 = 0;
    let y2 = 0;
    let z2 = 0;
    let x3 = 0;
    let y3 = 0;
    let z3 = 0;
    for (let band = 0, at = 0; band < BANDS; band++, at += 3) {
      const k = ks[band] as number;
      const root = Math.sqrt(k * (k + 2)) + 1e-12;
      const r = 1 / (1 + k + root);
      const slope = r / root;
      const wx = weights[at] as number;
      const wy = weights[at + 1] as number;
      const wz = weights[at + 2] as number;
      x += wx * r;
      y += wy * r;
      z += wz * r;
      const s1 = slope * (first[band] as number);
      const s2 = slope * (second[band] as number);
      const s3 = slope * (third[band] as number);
      x1 -= wx * s1;
      y1 -= wy * s1;
      z1 -= wz * s1;
      x2 -= wx * s2;
      y2 -= wy * s2;
      z2 -= wz * s2;
      x3 -= wx * s3;
      y3 -= wy * s3;
      z3 -= wz * s3;
    }
    const fx = compress(x);
    const fy = compress(y);
    const fz = compress(z);
    this.l = 116 * fy - 16;
    this.a = 500 * (fx - fy);
    this.b = 200 * (fy - fz);
    const dx = compressSlope(x);
    const dy = compressSlope(y);
    const dz = compressSlope(z);
    jacobian[0] = 116 * dy * y1;
    jacobian[1] = 116 * dy * y2;
    jacobian[2] = 116 * dy * y3;
    jacobian[3] = 500 * (dx * x1 - dy * y1);
    jacobian[4] = 500 * (dx * x2 - dy * y2);
    jacobian[5] = 500 * (dx * x3 - dy * y3);
    jacobian[6] = 200 * (dy * y1 - dz * z1);
    jacobian[7] = 200 * (dy * y2 - dz * z2);
    jacobian[8] = 200 * (dy * y3 - dz * z3);
  }

  /**
   * Improves doses, within 0 and their limits, until CIEDE2000 from the target gets no less: steps of
   * Levenberg and Marquardt (Nocedal and Wright, "Numerical Optimization", 2006, chapter 10) on the
   * quadratic form that CIEDE2000 is nearby, with the true slope of CIEDE2000.
   *
   * @param doses where to start, % owf; where it ended afterwards
   * @param inside give up as soon as a dose comes to nothing: the recipe without that dye is better
   * @returns CIEDE2000 from the target
   */
  settle(dyes: readonly number[], doses: Float64Array, inside = false): number {
    const count = dyes.length;
    const { tried, move, free, gradient } = this;
    for (let i = 0; i < count; i++) doses[i] = this.within(dyes[i] as number, doses[i] as number);
    let square = this.squared(dyes, doses);
    let damping = 1e-4;
    for (let step = 0; step < MOST_STEPS && square > SMALLEST_GAIN * SMALLEST_GAIN; step++) {
      this.slopeAndForm(count, square);
      let open = 0;
      for (let i = 0; i < count; i++) {
        const at = doses[i] as number;
        const limit = (this.offers[dyes[i] as number] as Offer).limitPct;
        const g = gradient[i] as number;
        free[i] = (at <= 0 && g >= 0) || (at >= limit && g <= 0) ? 0 : 1;
        open += free[i] as number;
      }
      if (open === 0 || (inside && step > 0 && open < count && isEmptied(doses, count))) break;
      let better = false;
      let longest = 0;
      let gain = 0;
      for (let attempt = 0; attempt < 12; attempt++) {
        if (this.solve(count, damping)) {
          longest = 0;
          for (let i = 0; i < count; i++) {
            const at = doses[i] as number;
            tried[i] = this.within(dyes[i] as number, at + (move[i] as number));
            longest = Math.max(longest, Math.abs((tried[i] as number) - at));
          }
          const next = this.squared(dyes, tried);
          if (next < square) {
            gain = Math.sqrt(square) - Math.sqrt(next);
            square = next;
            better = true;
            break;
          }
          if (longest < SMALLEST_STEP_PCT) break;
        }
        damping = damping * 10 + 1e-6;
      }
      if (!better) break;
      for (let i = 0; i < count; i++) doses[i] = tried[i] as number;
      damping *= 0.1;
      if (longest < SMALLEST_STEP_PCT || gain < SMALLEST_GAIN) break;
    }
    return Math.sqrt(square);
  }

  private within(dye: number, depthPct: number): number {
    const limit = (this.offers[dye] as Offer).limitPct;
    return Math.min(limit, Math.max(0, depthPct));
  }

  /** Slope of CIEDE2000 squared along each dose, and the quadratic form that it is nearby. */
  private slopeAndForm(count: number, square: number): void {
    const { target, l, a, b, jacobian, gradient, hessian, metric } = this;
    this.fillMetric((target.l + l) / 2, (target.a + a) / 2, (target.b + b) / 2);
    // Without what the square itself adds over a nudge, which is all there is of it near the target.
    const gl =
      (squaredDifference(target.l, target.a, target.b, l + NUDGE, a, b) - square) / NUDGE -
      NUDGE * (metric[0] as number);
    const ga =
      (squaredDifference(target.l, target.a, target.b, l, a + NUDGE, b) - square) / NUDGE -
      NUDGE * (metric[1] as number);
    const gb =
      (squaredDifference(target.l, target.a, target.b, l, a, b + NUDGE) - square) / NUDGE -
      NUDGE * (metric[2] as number);
    for (let i = 0; i < count; i++) {
      const jl = jacobian[i] as number;
      const ja = jacobian[3 + i] as number;
      const jb = jacobian[6 + i] as number;
      gradient[i] = (jl * gl + ja * ga + jb * gb) / 2;
      for (let j = 0; j <= i; j++) {
        const value = this.form(
          jl,
          ja,
          jb,
          jacobian[j] as number,
          jacobian[3 + j] as number,
          jacobian[6 + j] as number,
        );
        hessian[3 * i + j] = value;
        hessian[3 * j + i] = value;
      }
    }
  }

  /**
   * CIEDE2000 squared around a colour as a quadratic form in L*, a*, b*: its weights (ISO/CIE 11664-6)
   * at that colour, without their own slopes.
   */
  private fillMetric(l: number, a: number, b: number): void {
    const { metric } = this;
    const chroma = Math.sqrt(a * a + b * b);
    const chroma7 = chroma ** 7;
    const stretch = 1.5 - 0.5 * Math.sqrt(chroma7 / (chroma7 + 25 ** 7));
    const x = a * stretch;
    const c = Math.sqrt(x * x + b * b);
    const h = c === 0 ? 0 : Math.atan2(b, x);
    const t =
      1 -
      0.17 * Math.cos(h - Math.PI / 6) +
      0.24 * Math.cos(2 * h) +
      0.32 * Math.cos(3 * h + Math.PI / 30) -
      0.2 * Math.cos(4 * h - (63 * Math.PI) / 180);
    const off = (l - 50) * (l - 50);
    const sl = 1 + (0.015 * off) / Math.sqrt(20 + off);
    const sc = 1 + 0.045 * c;
    const sh = 1 + 0.015 * c * t;
    const turn = ((h < 0 ? h + 2 * Math.PI : h) * 180) / Math.PI;
    const near = ((turn - 275) / 25) ** 2;
    const c7 = c ** 7;
    const rotation =
      -Math.sin((Math.PI / 3) * Math.exp(-near)) * 2 * Math.sqrt(c7 / (c7 + 25 ** 7));
    const cos = c === 0 ? 1 : x / c;
    const sin = c === 0 ? 0 : b / c;
    const cx = (cos * stretch) / sc;
    const cy = sin / sc;
    const hx = (-sin * stretch) / sh;
    const hy = cos / sh;
    metric[0] = 1 / (sl * sl);
    metric[1] = cx * cx + hx * hx + rotation * cx * hx;
    metric[2] = cy * cy + hy * hy + rotation * cy * hy;
    metric[3] = cx * cy + hx * hy + (rotation * (cx * hy + cy * hx)) / 2;
  }

  private form(l1: number, a1: number, b1: number, l2: number, a2: number, b2: number): number {
    const { metric } = this;
    return (
      (metric[0] as number) * l1 * l2 +
      (metric[1] as number) * a1 * a2 +
      (metric[2] as number) * b1 * b2 +
      (metric[3] as number) * (a1 * b2 + b1 * a2)
    );
  }

  private inMetric(left: Float64Array, i: number, right: Float64Array, j: number): number {
    return this.form(
      left[i] as number,
      left[i + 1] as number,
      left[i + 2] as number,
      right[j] as number,
      right[j + 1] as number,
      right[j + 2] as number,
    );
  }

  /** Solves hessian × move = -gradient for the free doses, damped; false when it cannot. */
  private solve(count: number, damping: number): boolean {
    const { system, hessian, gradient, move, free } = this;
    const width = count + 1;
    for (let i = 0; i < count; i++) {
      for (let j = 0; j < count; j++) {
        const open = free[i] === 1 && free[j] === 1;
        system[i * width + j] = open ? (hessian[3 * i + j] as number) : 0;
      }
      const diagonal = system[i * width + i] as number;
      system[i * width + i] = free[i] === 1 ? diagonal * (1 + damping) + 1e-300 : 1;
      system[i * width + count] = free[i] === 1 ? -(gradient[i] as number) : 0;
    }
    for (let i = 0; i < count; i++) {
      const pivot = system[i * width + i] as number;
      if (!(pivot > 1e-12 * (hessian[4 * i] as number)) && free[i] === 1) return false;
      for (let row = i + 1; row < count; row++) {
        const share = (system[row * width + i] as number) / pivot;
        for (let k = i; k <= count; k++) {
          system[row * width + k] =
            (system[row * width + k] as number) - share * (system[i * width + k] as number);
        }
      }
    }
    for (let i = count - 1; i >= 0; i--) {
      let rest = system[i * width + count] as number;
      for (let k = i + 1; k < count; k++) {
        rest -= (system[i * width + k] as number) * (move[k] as number);
      }
      move[i] = rest / (system[i * width + i] as number);
      if (!Number.isFinite(move[i] as number)) return false;
    }
    return true;
  }
}

function isEmptied(doses: Float64Array, count: number): boolean {
  for (let i = 0; i < count; i++) if (doses[i] === 0) return true;
  return false;
}
