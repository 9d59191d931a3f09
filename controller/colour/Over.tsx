import { useState } from "preact/hooks";
import { showMass } from "../../shared/dye/display.ts";
import { Select } from "../form/Select.tsx";
import { newId } from "../link/id.ts";
import type { Desk } from "./desk.ts";
import { pourable, pourRecipes } from "./pour.ts";
import type { Depths } from "./shelf.ts";

/** Which skein of the plan is poured over, or the first of as many as a fade has. */
export function OverWhich({ desk, first = false }: { desk: Desk; first?: boolean }) {
  const { plan, shelf, base, over, onOver } = desk;
  const skeins = plan ? pourable(plan.content) : [];
  if (skeins.length === 0) {
    return (
      <p class="colour-quiet">
        {plan
          ? "Lay a skein in a pan of the plan, and a recipe can be poured over it from here."
          : "Begin a plan, and a recipe can be poured over its skeins from here."}
      </p>
    );
  }
  const chosen = skeins.find(({ id }) => id === over) ?? skeins[0];
  const yarnOf = (id: string) => shelf.bases.find((one) => one.id === id)?.name ?? "another yarn";
  const isOther = chosen !== undefined && chosen.base !== base.id;
  return (
    <Select
      label={first ? "First skein in the plan" : "Skein in the plan"}
      options={skeins.map(({ id, name, massUg, base: yarn }) => ({
        value: id,
        label: `${name}, ${showMass(massUg)} ${yarnOf(yarn)}`,
      }))}
      value={chosen?.id ?? ""}
      onValue={onOver}
      hint={isOther ? `Not on ${base.name}: the colour will differ.` : ""}
    />
  );
}

/** Puts recipes into the plan as pours, one step back: over the chosen skein and those after it. */
export function PourOver({ desk, recipes }: { desk: Desk; recipes: readonly Depths[] }) {
  const [said, setSaid] = useState("");
  const { plan, known, over } = desk;
  const skeins = plan ? pourable(plan.content) : [];
  if (plan === null || skeins.length === 0) return null;
  const first = Math.max(
    0,
    skeins.findIndex(({ id }) => id === over),
  );
  const under = skeins.slice(first, first + recipes.length);
  const isShort = under.length < recipes.length;
  const [from, to] = [under[0]?.name ?? "", under.at(-1)?.name ?? ""];
  const names = under.length > 1 ? `${from} to ${to}` : from;
  const pour = () => {
    const poured = under.flatMap((skein, n) => {
      const depths = recipes[n];
      return depths ? [{ skein, depths }] : [];
    });
    desk.change(pourRecipes(plan.id, known, poured, newId));
    setSaid(`In the plan, over ${names}. Undo takes it back.`);
  };
  return (
    <>
      <button type="button" class="quiet-button" disabled={isShort} onClick={pour}>
        <span>
          Pour it over <bdi>{names}</bdi>
        </span>
      </button>
      <p class="colour-quiet" aria-live="polite">
        {isShort
          ? `The fade has ${recipes.length} skeins; from here on the plan has ${under.length} in pans.`
          : said}
      </p>
    </>
  );
}
