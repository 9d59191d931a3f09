import { volumeUlForDepth } from "../../shared/dye/depth.ts";
import type { Plan, PlanPour, PlanSkein } from "../../shared/plan/plan.ts";
import type { Change } from "../../shared/prepare/change.ts";
import type { Id } from "../../shared/session/setup.ts";
import type { Depths, Known } from "./shelf.ts";

/** A bottle that has to be made holds at least this much, in steps of it, uL. */
const MAKE_STEP_UL = 50_000;

/**
 * What pours recipes over skeins of a plan, as one step back: a pour by depth for each dye, and a
 * bottle of 1 % to make up for each dye that has none.
 *
 * @param recipes a skein that lies in a pan, with its depths
 */
export function pourRecipes(
  plan: Id,
  known: readonly Known[],
  recipes: readonly { skein: PlanSkein & { pan: Id }; depths: Depths }[],
  newId: () => Id,
): Change {
  const bottles = new Map<Id, Id>();
  const neededUl = new Map<Id, number>();
  const steps: Change[] = [];
  for (const { skein, depths } of recipes) {
    for (const one of known) {
      const pct = depths[one.id] ?? 0;
      if (pct <= 0) continue;
      const stock = one.bottle?.id ?? bottles.get(one.id) ?? newId();
      bottles.set(one.id, stock);
      if (!one.bottle) {
        const ul = volumeUlForDepth(pct, skein.massUg, 1);
        neededUl.set(one.id, (neededUl.get(one.id) ?? 0) + ul);
      }
      steps.push(pourOver(plan, newId(), skein, stock, { by: "depth", pct }));
    }
  }
  const made: Change[] = known.flatMap((one) => {
    const ul = neededUl.get(one.id);
    const id = bottles.get(one.id);
    if (ul === undefined || id === undefined) return [];
    const volumeUl = Math.ceil(ul / MAKE_STEP_UL) * MAKE_STEP_UL;
    return [
      {
        change: "shelve",
        part: "stocks",
        item: {
          id,
          name: `${one.name.slice(0, 70)} 1\u202f%`,
          volumeUl,
          // 1 % is 10 ug in a uL.
          dyes: { [one.id]: volumeUl * 10 },
          toMake: true,
          retired: false,
        },
      },
    ];
  });
  const names = recipes.map(({ skein }) => skein.name).join(", ");
  return {
    change: "several",
    changes: [...made, ...steps],
    because: `poured a recipe over ${names}`.slice(0, 190),
  };
}

/** Skeins that lie in a pan, so that something can be poured over them. */
export function pourable(plan: Plan): (PlanSkein & { pan: Id })[] {
  return plan.skeins.flatMap((skein) => {
    const { pan } = skein;
    return pan !== undefined && plan.pans.some(({ id }) => id === pan) ? [{ ...skein, pan }] : [];
  });
}

/** What is left of a bottle after the plan's pours. */
export type Rest = { readonly stock: Id; readonly volumeUl: number };

/** Lays one more skein in a pan of a plan and pours all that is left over it, as one step back. */
export function pourRests(
  plan: Id,
  skein: PlanSkein & { pan: Id },
  rests: readonly Rest[],
  newId: () => Id,
): Change {
  const lay: Change = { change: "plan", plan, edit: { edit: "put", part: "skeins", item: skein } };
  const pours = rests.map(({ stock, volumeUl }) =>
    pourOver(plan, newId(), skein, stock, {
      by: "volume",
      volumeUl,
      how: "measured",
      plusMinusUl: 0,
    }),
  );
  return {
    change: "several",
    changes: [lay, ...pours],
    because: `poured what is left over ${skein.name}`,
  };
}

/** Puts a pour at the end of a plan, on all of one skein where it lies. */
function pourOver(
  plan: Id,
  id: Id,
  skein: { id: Id; pan: Id },
  stock: Id,
  amount: PlanPour["amount"],
): Change {
  return {
    change: "plan",
    plan,
    edit: {
      edit: "put",
      part: "steps",
      item: {
        id,
        kind: "pour",
        onAir: true,
        seconds: null,
        pour: {
          source: { from: "stock", stock },
          pan: skein.pan,
          over: [{ skein: skein.id, parts: null }],
          amount,
          technique: "immersion",
          coverage: 1,
        },
      },
    },
  };
}
