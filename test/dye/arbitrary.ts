import fc from "fast-check";

/** How often each property is tried. */
export const RUNS = { numRuns: 1500 } as const;

export const dyeIds = ["saltmarsh", "lantern", "slipway", "__proto__", "constructor"] as const;

/** Any masses of some of the dyes, ug: none to 10 kg. */
export const masses = fc
  .uniqueArray(
    fc.tuple(
      fc.constantFrom(...dyeIds),
      fc.oneof(fc.nat(50), fc.nat(10_000_000), fc.integer({ min: 0, max: 10_000_000_000 })),
    ),
    { selector: ([dye]) => dye },
  )
  .map((entries): Readonly<Record<string, number>> => Object.fromEntries(entries));

/** A liquor of 0 to 10 L; with no liquid it has no dye. */
export const liquors = fc
  .tuple(fc.oneof(fc.nat(30), fc.nat(1_000_000), fc.nat(10_000_000)), masses)
  .map(([volumeUl, dyes]) => ({ volumeUl, dyes: volumeUl === 0 ? {} : dyes }));

/** A decimal above 0 with so many places, as it would be typed. */
export function decimals(max: number, places: number): fc.Arbitrary<number> {
  const steps = 10 ** places;
  return fc.integer({ min: 1, max: max * steps }).map((n) => n / steps);
}
