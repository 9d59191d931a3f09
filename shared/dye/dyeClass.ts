/** The classes of acid dye, by how they go on; "unsure" where the maker does not say. */
export const DYE_CLASSES = ["levelling", "milling", "metalComplex", "unsure"] as const;

export type DyeClass = (typeof DYE_CLASSES)[number];

/**
 * How a bath of a class is usually run: the pH before the yarn it is brought to, acetic acid by
 * weight of fibre, the fastest rise, and how warm and how long it is held.
 */
export type Practice = {
  targetPh: number;
  aceticPct: number;
  rampPerMin: number;
  holdCelsius: number;
  holdSeconds: number;
};

/**
 * Common practice, no source. A levelling dye wanders and evens itself out, so it may be soured and
 * heated briskly; a milling or metal-complex dye stays where it first strikes, so its bath is less
 * sour and warmed slowly. The maker's own sheet comes first. "unsure" is run as milling.
 */
export const PRACTICE: Readonly<Record<DyeClass, Practice>> = {
  levelling: { targetPh: 4, aceticPct: 4, rampPerMin: 2, holdCelsius: 90, holdSeconds: 1_800 },
  milling: { targetPh: 4.5, aceticPct: 2, rampPerMin: 1.5, holdCelsius: 90, holdSeconds: 2_700 },
  metalComplex: { targetPh: 5.5, aceticPct: 1, rampPerMin: 1, holdCelsius: 90, holdSeconds: 2_700 },
  unsure: { targetPh: 4.5, aceticPct: 2, rampPerMin: 1.5, holdCelsius: 90, holdSeconds: 2_700 },
};

/** The practice that suits every class in a bath: least sour, slowest and longest of them. */
export function practiceFor(classes: readonly DyeClass[]): Practice {
  const practices = (classes.length > 0 ? classes : ["unsure" as const]).map(
    (one) => PRACTICE[one],
  );
  return practices.reduce((a, b) => ({
    targetPh: Math.max(a.targetPh, b.targetPh),
    aceticPct: Math.min(a.aceticPct, b.aceticPct),
    rampPerMin: Math.min(a.rampPerMin, b.rampPerMin),
    holdCelsius: Math.max(a.holdCelsius, b.holdCelsius),
    holdSeconds: Math.max(a.holdSeconds, b.holdSeconds),
  }));
}

/** "levelling", "milling", "metal-complex", "class not known". */
export function sayClass(dyeClass: DyeClass): string {
  return {
    levelling: "levelling",
    milling: "milling",
    metalComplex: "metal-complex",
    unsure: "class not known",
  }[dyeClass];
}
