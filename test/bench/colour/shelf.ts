import { ksOf, reflectanceOf } from "../../../shared/colour/kubelkaMunk.ts";
import type { ShelfDye } from "../../../shared/colour/match.ts";
import { type Dose, predict } from "../../../shared/colour/predict.ts";
import { type Yarn, yarnOf } from "../../../shared/colour/seen.ts";
import { calibrate } from "../../../shared/colour/swatch.ts";
import type { Lab } from "../../../shared/colour/tone.ts";
import { refused } from "../../../shared/dye/refusal.ts";
import { unitDyes } from "./spectra.ts";

/** A 50 g skein, 1 % stocks, a syringe with marks of 0.1 mL, dilution allowed. */
const means = { fibreUg: 50_000_000, strengthPct: 1, divisionUl: 100, dilute: true };

/** A shelf of dyes of our own making, each known from one measured swatch at 1 %. */
export function shelfOf(seed: number, count: number): { yarn: Yarn; shelf: readonly ShelfDye[] } {
  const { undyed, units } = unitDyes(seed, count);
  const before = { how: "spectrum", reflectance: undyed } as const;
  const yarn = yarnOf(before);
  if (refused(yarn)) throw new Error(yarn.say);
  const shelf = units.map((unit, n) => {
    const reflectance = unit.map((ks, i) => reflectanceOf(ks + ksOf(undyed[i] as number)));
    const dye = calibrate([{ depthPct: 1, seen: { how: "spectrum", reflectance }, yarn: before }]);
    if (refused(dye)) throw new Error(dye.say);
    return { id: `dye ${n + 1}`, dye, limitPct: 4, means };
  });
  return { yarn, shelf };
}

/** A depth from 0.02 to 2 % owf, evenly in its logarithm. */
export function depthOf(random: () => number): number {
  return 0.02 * 100 ** random();
}

/** The colour of a recipe of one to three dyes. */
export function targetOf(yarn: Yarn, shelf: readonly ShelfDye[], random: () => number): Lab {
  const count = 1 + Math.floor(random() * 3);
  const doses: Dose[] = [];
  while (doses.length < count) {
    const dye = shelf[Math.floor(random() * shelf.length)]?.dye;
    if (dye && doses.every((dose) => dose.dye !== dye)) {
      doses.push({ dye, depthPct: depthOf(random) });
    }
  }
  return predict(yarn, doses).lab;
}
