import { notesOf } from "../../shared/cautions/cautions.ts";
import type { Hazard } from "../../shared/cautions/hazards.ts";
import { showMass } from "../../shared/dye/display.ts";
import { mulDivRound } from "../../shared/dye/mulDiv.ts";
import { addMasses, type DyeMasses } from "../../shared/dye/vessel.ts";
import type { Change } from "../../shared/prepare/change.ts";
import { liquorOn } from "../../shared/session/predicted.ts";
import type { Id } from "../../shared/session/setup.ts";
import { dyesOnBench } from "../../shared/shelf/onBench.ts";
import type { Shelf, ShelfStock } from "../../shared/shelf/shelf.ts";

/** The colour that a bottle gives undyed yarn at 1 % of dye in all, predicted. */
export function stockHex(shelf: Shelf, { dyes }: Pick<ShelfStock, "dyes">): string {
  return liquorOn(undefined, dyesOnBench(shelf, Object.keys(dyes)), dyes).hex;
}

/** Days since it was made; null where nobody wrote that down. */
export function daysOld({ madeOn }: ShelfStock, today: string): number | null {
  if (madeOn === undefined) return null;
  return Math.round((Date.parse(today) - Date.parse(madeOn)) / 86_400_000);
}

/** A bottle with so much less in it: the same strength, its dyes by the rule of three. */
export function lessOf(stock: ShelfStock, volumeUl: number): ShelfStock {
  const goneUl = Math.min(volumeUl, stock.volumeUl);
  const dyes: Record<Id, number> = {};
  for (const [dye, ug] of Object.entries(stock.dyes)) {
    dyes[dye] = stock.volumeUl === 0 ? 0 : ug - mulDivRound(ug, goneUl, stock.volumeUl);
  }
  return { ...stock, volumeUl: stock.volumeUl - goneUl, dyes };
}

/** What leaves a bottle with `lessOf`. */
export function drawnFrom(stock: ShelfStock, volumeUl: number): DyeMasses {
  const rest = lessOf(stock, volumeUl);
  const dyes: Record<Id, number> = {};
  for (const [dye, ug] of Object.entries(stock.dyes)) dyes[dye] = ug - (rest.dyes[dye] ?? 0);
  return dyes;
}

/** A bottle after some of another one and water went into it. */
export function filledFrom(
  into: ShelfStock,
  from: ShelfStock,
  fromUl: number,
  waterUl: number,
): { into: ShelfStock; from: ShelfStock } {
  return {
    into: {
      ...into,
      volumeUl: into.volumeUl + fromUl + waterUl,
      dyes: addMasses(into.dyes, drawnFrom(from, fromUl)),
    },
    from: lessOf(from, fromUl),
  };
}

/** The powder that is gone from the jars once it was weighed; jars that nobody weighed stay so. */
export function powderTaken(shelf: Shelf, dyes: DyeMasses): Change[] {
  return shelf.dyes.flatMap((dye): Change[] => {
    const ug = dyes[dye.id] ?? 0;
    if (ug === 0 || dye.onHandUg === undefined) return [];
    const item = { ...dye, onHandUg: Math.max(0, dye.onHandUg - ug) };
    return [{ change: "shelve", part: "dyes", item }];
  });
}

/** A sentence for each dye of which the jar holds less than is to be weighed. */
export function tooLittle(shelf: Shelf, dyes: DyeMasses): string[] {
  return shelf.dyes.flatMap(({ id, name, onHandUg }) => {
    const ug = dyes[id] ?? 0;
    if (onHandUg === undefined || ug <= onHandUg) return [];
    return [`${showMass(ug)} of ${name} is more than the ${showMass(onHandUg)} on hand.`];
  });
}

/** Cautions for weighing the powder of these dyes, with what their data sheets warn of. */
export function weighingNotes(shelf: Shelf, dyes: Iterable<Id>): string[] {
  const hazards = new Set<Hazard>(["dryPowder"]);
  for (const id of dyes) {
    for (const hazard of shelf.dyes.find((dye) => dye.id === id)?.hazards ?? []) {
      hazards.add(hazard);
    }
  }
  return notesOf([...hazards]);
}
