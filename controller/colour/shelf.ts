import type { FadeDye } from "../../shared/colour/fade.ts";
import type { Fleck } from "../../shared/colour/fleck.ts";
import type { ShelfDye as MatchDye } from "../../shared/colour/match.ts";
import { MOST_ON_SHELF } from "../../shared/colour/match.ts";
import type { Means } from "../../shared/colour/measure.ts";
import { type Dose, dyeOfSwatch, yarnOfBase, yarnOfHex } from "../../shared/colour/predict.ts";
import type { Yarn } from "../../shared/colour/seen.ts";
import type { Dye } from "../../shared/colour/swatch.ts";
import { strengthPct } from "../../shared/dye/strength.ts";
import { totalUg } from "../../shared/dye/vessel.ts";
import type { Id } from "../../shared/session/setup.ts";
import { baseOnBench, dyeOnBench } from "../../shared/shelf/onBench.ts";
import type { Shelf, ShelfBase, ShelfStock } from "../../shared/shelf/shelf.ts";

/** A mark of the syringe where no tool is on the shelf, uL. */
const USUAL_DIVISION_UL = 100;

/** A dye of the shelf with its curve and the bottle that it is poured from. */
export type Known = {
  readonly id: Id;
  readonly name: string;
  readonly hex: string;
  readonly dye: Dye;
  readonly limitPct: number;
  readonly bottle: ShelfStock | null;
};

/** Doses of a recipe by dye, % owf. */
export type Depths = Readonly<Record<Id, number>>;

/** A recipe that was kept to be tried further. */
export type Kept = { readonly id: Id; readonly name: string; readonly depths: Depths };

/** The dyes in use whose colour can be worked with, each with its swatches where there are any. */
export function knownDyes(shelf: Shelf, limitPct: number): Known[] {
  return shelf.dyes
    .filter(({ retired }) => !retired)
    .flatMap((dye) => {
      const curve = dyeOfSwatch(dyeOnBench(shelf, dye));
      if (!curve) return [];
      return [
        {
          id: dye.id,
          name: dye.name,
          hex: dye.hex,
          dye: curve,
          limitPct: Math.min(limitPct, dye.limitPct ?? limitPct),
          bottle: bottleOf(shelf, dye.id),
        },
      ];
    });
}

/** The bottle with most in it that holds this dye alone. */
function bottleOf(shelf: Shelf, dye: Id): ShelfStock | null {
  const alone = shelf.stocks.filter(({ retired, volumeUl, dyes }) => {
    const there = Object.entries(dyes).filter(([, ug]) => ug > 0);
    return !retired && volumeUl > 0 && there.length === 1 && there[0]?.[0] === dye;
  });
  return alone.reduce<ShelfStock | null>(
    (best, one) => (best === null || one.volumeUl > best.volumeUl ? one : best),
    null,
  );
}

export function yarnOf(base: ShelfBase): Yarn | null {
  return yarnOfBase(baseOnBench(base));
}

/** Flecks of a base that can be worked with. */
export function flecksOf(base: ShelfBase): Fleck[] {
  return base.flecks.flatMap(({ name, hex, takesDye }) => {
    const colour = yarnOfHex(hex);
    return colour ? [{ name, colour, takesDye: takesDye ?? false }] : [];
  });
}

/** How a dye is measured for a skein: from its bottle, or from one of 1 % that would be made. */
export function meansOf(shelf: Shelf, { bottle }: Known, fibreUg: number): Means {
  const divisions = shelf.tools.flatMap(({ tool, retired }) =>
    !retired && tool.kind === "syringe" ? [tool.divisionUl] : [],
  );
  return {
    fibreUg,
    strengthPct: bottle ? strengthPct(totalUg(bottle.dyes), bottle.volumeUl) : 1,
    divisionUl: divisions.length > 0 ? Math.min(...divisions) : USUAL_DIVISION_UL,
    dilute: true,
  };
}

/** The dyes that a match may use, as many as are tried at once. */
export function matchDyes(shelf: Shelf, known: readonly Known[], fibreUg: number): MatchDye[] {
  return known.slice(0, MOST_ON_SHELF).map((one) => ({
    id: one.id,
    dye: one.dye,
    limitPct: one.limitPct,
    means: meansOf(shelf, one, fibreUg),
  }));
}

export function fadeDyes(
  shelf: Shelf,
  known: readonly Known[],
  fibreUg: number,
  used: ReadonlySet<Id>,
): FadeDye[] {
  return known
    .filter(({ id }) => used.has(id))
    .map((one) => ({ id: one.id, dye: one.dye, means: meansOf(shelf, one, fibreUg) }));
}

/** A recipe as doses; dyes that have left the shelf are left out. */
export function dosesFrom(known: readonly Known[], depths: Depths): Dose[] {
  return known.flatMap(({ id, dye }) => {
    const depthPct = depths[id] ?? 0;
    return depthPct > 0 ? [{ dye, depthPct }] : [];
  });
}
