import { useState } from "preact/hooks";
import { flecksOn } from "../../shared/colour/fleck.ts";
import { predict, sayGamut } from "../../shared/colour/predict.ts";
import { DippedStrip } from "../../shared/draw/DippedStrip.tsx";
import { showDepth } from "../../shared/dye/display.ts";
import { Quantity } from "../form/Quantity.tsx";
import { Select } from "../form/Select.tsx";
import { Words } from "../form/Words.tsx";
import { newId } from "../link/id.ts";
import type { Desk } from "./desk.ts";
import { Flecks } from "./Flecks.tsx";
import { OverWhich, PourOver } from "./Over.tsx";
import { sayPredicted } from "./say.ts";
import { type Depths, dosesFrom, type Kept } from "./shelf.ts";

/** Recipes that were kept or are tried by hand: the colour they give, and which flecks show on it. */
export function Recipes({ desk }: { desk: Desk }) {
  const { kept, known, onKept } = desk;
  const begin = () => {
    const [first] = known;
    if (!first) return;
    const taken = new Set(kept.map(({ name }) => name));
    let n = 1;
    while (taken.has(`Recipe ${n}`)) n += 1;
    onKept([...kept, { id: newId(), name: `Recipe ${n}`, depths: { [first.id]: 1 } }]);
  };
  return (
    <section class="colour-section" aria-label="Recipes and flecks">
      <div class="colour-begin">
        <p class="colour-lead">
          {kept.length === 0
            ? "A recipe is depths of dye on the yarn. Keep one that was matched, or begin one by hand, to see its colour, which flecks of the yarn still show on it, and to fade from it to another."
            : "Recipes are kept on this tablet. Poured in the plan they belong to it."}
        </p>
        {kept.length > 0 && <OverWhich desk={desk} />}
        <button type="button" class="green-button" onClick={begin}>
          Begin a recipe
        </button>
      </div>
      <ul class="colour-kept">
        {kept.map((recipe) => (
          <li key={recipe.id}>
            <OneRecipe
              desk={desk}
              recipe={recipe}
              onRecipe={(next) => onKept(kept.map((one) => (one.id === next.id ? next : one)))}
            />
          </li>
        ))}
      </ul>
    </section>
  );
}

function OneRecipe(props: { desk: Desk; recipe: Kept; onRecipe: (recipe: Kept) => void }) {
  const { desk, recipe, onRecipe } = props;
  const { known, yarn, flecks, base, kept, onKept } = desk;
  const [adding, setAdding] = useState("");
  const doses = dosesFrom(known, recipe.depths);
  const predicted = predict(yarn, doses);
  const rest = known.filter(({ id }) => recipe.depths[id] === undefined);
  const gone = Object.keys(recipe.depths).filter((id) => known.every((one) => one.id !== id));
  const gamut = sayGamut(predicted);
  const depths = (next: Depths) => onRecipe({ ...recipe, depths: next });
  const without = (id: string) =>
    Object.fromEntries(Object.entries(recipe.depths).filter(([dye]) => dye !== id));
  return (
    <>
      <DippedStrip
        dyedHex={predicted.hex}
        undyedHex={base.hex}
        width={52}
        height={120}
        seed={recipe.id}
        title={`Predicted ${predicted.hex}`}
        patches={base.flecks.map(({ hex }) => ({ hex, coverage: 0.06, specks: true }))}
      />
      <div class="colour-dosing">
        <div class="colour-naming">
          <Words
            label="Name of the recipe"
            value={recipe.name}
            most={200}
            onValue={(name) => onRecipe({ ...recipe, name })}
          />
          <button
            type="button"
            class="quiet-button"
            onClick={() => onKept(kept.filter(({ id }) => id !== recipe.id))}
          >
            <span>
              Take away<span class="unseen">{` ${recipe.name}`}</span>
            </span>
          </button>
        </div>
        <div class="colour-fields">
          {known.map(
            ({ id, name }) =>
              recipe.depths[id] !== undefined && (
                <Quantity
                  key={id}
                  label={name}
                  field={{ kind: "percent", zero: true, max: 100 }}
                  value={recipe.depths[id] ?? 0}
                  show={showDepth}
                  hint={recipe.depths[id] === 0 ? "0 leaves it out" : undefined}
                  onValue={(value) => value !== null && depths({ ...recipe.depths, [id]: value })}
                />
              ),
          )}
          {rest.length > 0 && (
            <Select
              label="Add a dye"
              options={[
                { value: "", label: "Which?" },
                ...rest.map(({ id, name }) => ({ value: id, label: name })),
              ]}
              value={adding}
              onValue={(id) => {
                setAdding("");
                if (id !== "") depths({ ...recipe.depths, [id]: 0.5 });
              }}
            />
          )}
        </div>
        {gone.map((id) => (
          <p key={id} class="colour-warning">
            A dye of this recipe is no longer on the shelf, and is left out.{" "}
            <button type="button" class="quiet-button" onClick={() => depths(without(id))}>
              Forget it
            </button>
          </p>
        ))}
        <p class="figures">
          {doses.length === 0 && "No dye: the yarn as it is. "}
          {sayPredicted(predicted)}. {gamut}
        </p>
        {flecks.length === 0 ? (
          <p class="colour-quiet">
            <bdi>{base.name}</bdi> has no flecks.
          </p>
        ) : (
          <Flecks report={flecksOn(yarn, doses, flecks)} />
        )}
        {doses.length > 0 && (
          <div class="prepare-ways">
            <PourOver desk={desk} recipes={[recipe.depths]} />
          </div>
        )}
      </div>
    </>
  );
}
