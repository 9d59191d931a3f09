import { depthPctForVolume } from "../dye/depth.ts";
import { COARSEST_SHARE } from "../dye/tool.ts";

/** How a dye is measured for one skein. */
export type Means = {
  /** Dry fibre, ug, above 0. */
  readonly fibreUg: number;
  /** Strength of the stock, % w/v, above 0. */
  readonly strengthPct: number;
  /** Distance of two marks of the syringe, uL, above 0. */
  readonly divisionUl: number;
  /** Whether the stock may be diluted for a small dose. */
  readonly dilute: boolean;
};

/** A dose that can be measured: whole divisions of the stock, or of the stock diluted. */
export type MeasuredDose = {
  readonly depthPct: number;
  readonly volumeUl: number;
  /** One part of stock made up to this many parts; 1 is the stock as it is. */
  readonly factor: number;
};

export const NOTHING: MeasuredDose = { depthPct: 0, volumeUl: 0, factor: 1 };

/** Simple dilutions, in the order in which they are tried. */
const FACTORS = [1, 2, 5, 10, 20, 50, 100] as const;

/** The most of one liquor that is poured as one dose, uL: more is not measured with a syringe. */
const MOST_UL = 200_000;

/**
 * The measurable doses next to a depth of shade, the lower first: one where it falls on a mark. The
 * stock is diluted, where that is allowed, just as far as is needed for half a division to be within
 * `share` of the dose.
 *
 * @param depthPct % owf, 0 or more
 * @param share most that half a division may be of the dose
 */
export function dosesAround(
  depthPct: number,
  means: Means,
  share: number = COARSEST_SHARE,
): readonly MeasuredDose[] {
  if (!(depthPct > 0)) return [NOTHING];
  const factor = factorFor(depthPct, means, share);
  const mark = markPct(means, factor);
  const marks = depthPct / mark;
  const low = Math.floor(marks + 1e-9);
  const lower = doseOf(low, means, factor);
  return marks - low < 1e-9 ? [lower] : [lower, doseOf(low + 1, means, factor)];
}

/** Depth that one division of the stock gives, % owf. */
export function markPct({ divisionUl, strengthPct, fibreUg }: Means, factor = 1): number {
  return depthPctForVolume(divisionUl, strengthPct / factor, fibreUg);
}

/** True where half a division is more than `share` of the dose even with all the dilution allowed. */
export function isTooFine(depthPct: number, means: Means, share: number = COARSEST_SHARE): boolean {
  if (!(depthPct > 0)) return false;
  const factor = factorFor(depthPct, means, share);
  return markPct(means, factor) > 2 * share * depthPct * (1 + 1e-9);
}

function factorFor(depthPct: number, means: Means, share: number): number {
  if (!means.dilute) return 1;
  let widest = 1;
  for (const factor of FACTORS) {
    const mark = markPct(means, factor);
    if ((depthPct / mark) * means.divisionUl > MOST_UL) break;
    widest = factor;
    if (mark <= 2 * share * depthPct) break;
  }
  return widest;
}

function doseOf(marks: number, means: Means, factor: number): MeasuredDose {
  if (marks === 0) return NOTHING;
  const volumeUl = Math.round(marks * means.divisionUl);
  const { strengthPct, fibreUg } = means;
  return {
    depthPct: depthPctForVolume(volumeUl, strengthPct / factor, fibreUg),
    volumeUl,
    factor,
  };
}
