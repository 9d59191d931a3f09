import type { DyeMasses } from "../../shared/dye/vessel.ts";
import { foresee } from "../../shared/plan/foresight.ts";
import type { Plan } from "../../shared/plan/plan.ts";
import { walk } from "../../shared/plan/walk.ts";
import type { Id } from "../../shared/session/setup.ts";
import type { Shelf } from "../../shared/shelf/shelf.ts";

/** A bottle with what is left in it. */
export type Left = {
  readonly id: Id;
  readonly name: string;
  readonly volumeUl: number;
  readonly dyes: DyeMasses;
};

/** Bottles in use that hold dye, as they stand. */
export function leftNow(shelf: Shelf): readonly Left[] {
  return shelf.stocks.filter(
    ({ retired, toMake, volumeUl, dyes }) =>
      !retired && !toMake && volumeUl > 0 && Object.values(dyes).some((ug) => ug > 0),
  );
}

/** The same once a plan has run, with the bottles that it has made up. */
export function leftAfter(plan: Plan, shelf: Shelf): readonly Left[] {
  const { uses } = foresee(walk(plan, shelf).setup);
  return shelf.stocks.flatMap(({ id, name, retired, toMake, volumeUl, dyes }) => {
    const use = uses.find(({ stock }) => stock === id);
    const leftUl = use ? use.leftUl : volumeUl;
    if (retired || leftUl <= 0 || volumeUl <= 0 || (toMake && !use?.drawnUl)) return [];
    const share = Math.min(1, leftUl / volumeUl);
    const held = Object.entries(dyes).filter(([, ug]) => ug > 0);
    if (held.length === 0) return [];
    const rest = Object.fromEntries(held.map(([dye, ug]) => [dye, ug * share] as const));
    return [{ id, name, volumeUl: leftUl, dyes: rest }];
  });
}
