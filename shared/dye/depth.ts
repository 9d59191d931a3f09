import type { DyeMasses } from "./vessel.ts";

/**
 * Depth of shade, % on weight of fibre: dye / dry fibre x 100. It is depth offered, not depth taken
 * up: what the yarn leaves behind is still in the bath. 4 kg on 100 kg of goods is 4 % (VFSTR
 * University lecture, "Fundamentals: basic terminologies in dyeing").
 *
 * @param dyeUg 0 or more
 * @param fibreUg dry fibre, above 0
 * @throws RangeError when fibreUg is not above 0
 */
export function depthPct(dyeUg: number, fibreUg: number): number {
  return (dyeUg / above0(fibreUg, "fibreUg")) * 100;
}

/** Dye for a depth, ug, rounded once. `pct` % owf and `fibreUg` 0 or more. */
export function dyeUgForDepth(pct: number, fibreUg: number): number {
  return Math.round((pct * fibreUg) / 100);
}

/**
 * Dry fibre that a mass of dye takes to a depth, ug, rounded once.
 *
 * @param pct % owf, above 0
 * @throws RangeError when pct is not above 0
 */
export function fibreUgForDepth(pct: number, dyeUg: number): number {
  return Math.round((dyeUg * 100) / above0(pct, "pct"));
}

/**
 * Stock for a depth, uL, rounded once: V = W x P / C, mL = g of dry fibre x % depth / % strength
 * (textile laboratory notes, textilecalculation, 2014 and 2015).
 *
 * @param pct % owf, 0 or more
 * @param fibreUg dry fibre, 0 or more
 * @param strengthPct % w/v, above 0
 * @throws RangeError when strengthPct is not above 0
 */
export function volumeUlForDepth(pct: number, fibreUg: number, strengthPct: number): number {
  return Math.round((fibreUg * pct) / above0(strengthPct, "strengthPct") / 1000);
}

/**
 * Depth that a volume of stock gives, % owf: P = V x C / W. A negative volume gives the depth that
 * is lost by leaving that much out.
 *
 * @param volumeUl any
 * @param strengthPct % w/v, 0 or more
 * @param fibreUg dry fibre, above 0
 * @throws RangeError when fibreUg is not above 0
 */
export function depthPctForVolume(volumeUl: number, strengthPct: number, fibreUg: number): number {
  return (volumeUl * strengthPct * 1000) / above0(fibreUg, "fibreUg");
}

/**
 * Dry fibre that a volume of stock takes to a depth, ug, rounded once: W = V x C / P.
 *
 * @param pct % owf, above 0
 * @throws RangeError when pct is not above 0
 */
export function fibreUgForVolume(volumeUl: number, strengthPct: number, pct: number): number {
  return Math.round((volumeUl * strengthPct * 1000) / above0(pct, "pct"));
}

/**
 * Strength at which a volume of stock gives a depth, % w/v: C = W x P / V.
 *
 * @param volumeUl above 0
 * @throws RangeError when volumeUl is not above 0
 */
export function strengthPctForDepth(pct: number, fibreUg: number, volumeUl: number): number {
  return (fibreUg * pct) / above0(volumeUl, "volumeUl") / 1000;
}

/**
 * Depth where the pour touched the yarn, % owf: dye / (dry fibre x coverage). A pour that touches a
 * tenth of a skein lies ten times as deep there as its average.
 *
 * @param coverage share of the skein touched, above 0 to 1
 * @throws RangeError when fibreUg is not above 0 or coverage is outside its range
 */
export function localDepthPct(dyeUg: number, fibreUg: number, coverage: number): number {
  if (!(coverage <= 1)) throw new RangeError(`coverage is at most 1: ${coverage}`);
  return depthPct(dyeUg, fibreUg) / above0(coverage, "coverage");
}

/** Depth of each dye, dye id to % owf; the depths sum to the depth of all dyes together. */
export function depthsPct(dyes: DyeMasses, fibreUg: number): Readonly<Record<string, number>> {
  return Object.fromEntries(
    Object.entries(dyes).map(([dye, dyeUg]) => [dye, depthPct(dyeUg, fibreUg)]),
  );
}

/**
 * Liquor ratio, mL of bath to a gram of dry fibre: 100 kg with 1,000 L is 10, said 1:10 or 10:1
 * (VFSTR University lecture, "Fundamentals: basic terminologies in dyeing").
 *
 * @param fibreUg above 0
 * @throws RangeError when fibreUg is not above 0
 */
export function liquorRatio(bathUl: number, fibreUg: number): number {
  return (bathUl * 1000) / above0(fibreUg, "fibreUg");
}

/** Bath for a liquor ratio, uL, rounded once. `ratio` in mL per g. */
export function bathUlForRatio(ratio: number, fibreUg: number): number {
  return Math.round((ratio * fibreUg) / 1000);
}

function above0(n: number, name: string): number {
  if (!(n > 0)) throw new RangeError(`${name} must be above 0: ${n}`);
  return n;
}
