import { keptWith } from "../colour/kept.ts";
import type { Base, Dye, DyeSwatch, Id } from "../session/setup.ts";
import type { Shelf, ShelfBase, ShelfDye, ShelfSwatch } from "./shelf.ts";

/*
 * A screen asks at every change of the shelf, and calibrating is kept with the dye that it was done
 * for: the same dye with the same swatches is handed out as the same object.
 */
const onBench = keptWith<Dye>();

/** A dye of the shelf as a session has it: with all its swatches that are not retired. */
export function dyeOnBench(shelf: Pick<Shelf, "bases" | "swatches">, dye: ShelfDye): Dye {
  const swatches: ShelfSwatch[] = [];
  const yarns: ShelfBase[] = [];
  for (const swatch of shelf.swatches) {
    if (swatch.dye !== dye.id || swatch.retired) continue;
    const yarn = shelf.bases.find(({ id }) => id === swatch.base);
    if (!yarn) continue;
    swatches.push(swatch);
    yarns.push(yarn);
  }
  return onBench(dye, [...swatches, ...yarns], () => {
    const { id, name, hex, swatchDepthPct, swatchBaseHex, hazards } = dye;
    return {
      id,
      name,
      hex,
      swatchDepthPct,
      swatchBaseHex,
      ...(swatches.length > 0
        ? { swatches: swatches.map((swatch, at) => swatchOf(swatch, yarns[at] as ShelfBase)) }
        : {}),
      hazards,
    };
  });
}

/** Dyes of the shelf as a session has them, by short name; what is not on the shelf is left out. */
export function dyesOnBench(
  shelf: Pick<Shelf, "dyes" | "bases" | "swatches">,
  ids: Iterable<Id>,
): Record<Id, Dye> {
  const dyes: Record<Id, Dye> = {};
  for (const id of ids) {
    const dye = shelf.dyes.find((one) => one.id === id);
    if (dye) dyes[id] = dyeOnBench(shelf, dye);
  }
  return dyes;
}

/** A yarn of the shelf as a session has it. */
export function baseOnBench(base: ShelfBase): Base {
  const { id, name, fibres, superwash, hex, seen, flecks } = base;
  return { id, name, fibres, superwash, hex, ...(seen === undefined ? {} : { seen }), flecks };
}

function swatchOf({ depthPct, seen }: ShelfSwatch, base: ShelfBase): DyeSwatch {
  return { depthPct, seen, yarn: base.seen ?? { how: "typed", hex: base.hex }, yarnId: base.id };
}
