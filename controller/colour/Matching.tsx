import { useEffect, useState } from "preact/hooks";
import { flecksOn } from "../../shared/colour/fleck.ts";
import type { Match, Recipe } from "../../shared/colour/match.ts";
import { MOST_ON_SHELF } from "../../shared/colour/match.ts";
import { sayGamut } from "../../shared/colour/predict.ts";
import { labOfHex } from "../../shared/colour/tone.ts";
import { DippedStrip } from "../../shared/draw/DippedStrip.tsx";
import { showDepth } from "../../shared/dye/display.ts";
import { newId } from "../link/id.ts";
import { ColourField } from "../shelf/ColourField.tsx";
import { ask } from "./ask.ts";
import type { Desk } from "./desk.ts";
import { lasting } from "./lasting.ts";
import { OverWhich, PourOver } from "./Over.tsx";
import { PictureTable } from "./PictureTable.tsx";
import { sayDepths, sayMeasured, sayPredicted, showDifference } from "./say.ts";
import { type Depths, dosesFrom, matchDyes } from "./shelf.ts";

/** A colour that is dragged asks again and again: only where it rests this long is it matched, ms. */
const RESTS_MS = 120;

const useTarget = lasting("#5b7f86");

/** From a colour, taken out of a picture or typed, to the recipes that come nearest. */
export function Matching({ desk }: { desk: Desk }) {
  const { shelf, known, yarn, massUg } = desk;
  const [target, setTarget] = useTarget();
  const [found, setFound] = useState<{ match: Match; target: string } | null>(null);
  const [wrong, setWrong] = useState<string | null>(null);
  useEffect(() => {
    const lab = labOfHex(target);
    if (!lab) return;
    let left = false;
    const timer = setTimeout(() => {
      ask({ job: "match", yarn, target: lab, shelf: matchDyes(shelf, known, massUg) }).then(
        (match) => {
          if (left) return;
          setFound({ match, target });
          setWrong(null);
        },
        () => !left && setWrong("The recipes could not be worked out. Choose the colour again."),
      );
    }, RESTS_MS);
    return () => {
      left = true;
      clearTimeout(timer);
    };
  }, [target, yarn, shelf, known, massUg]);
  const isStale = found !== null && found.target !== target;
  return (
    <div class="colour-matching">
      <PictureTable target={target} undyedHex={desk.base.hex} onTarget={setTarget} />
      <section class="colour-found" aria-label="Recipes">
        <div class="colour-target">
          <DippedStrip
            dyedHex={target}
            undyedHex={desk.base.hex}
            width={40}
            height={80}
            seed="target"
            undyedShare={0.1}
          />
          <ColourField label="Colour to match" hex={target} onHex={setTarget} />
          <OverWhich desk={desk} />
        </div>
        <p class="colour-says" aria-live="polite">
          {wrong ?? found?.match.say ?? "Working it out …"}
        </p>
        {known.length > MOST_ON_SHELF && (
          <p class="colour-quiet">
            Only the first {MOST_ON_SHELF} of your {known.length} dyes are tried. Take those that
            you do not reach for out of use.
          </p>
        )}
        <ol class="colour-recipes" data-stale={isStale}>
          {found?.match.recipes.map((recipe) => (
            <li key={recipe.doses.map(({ id }) => id).join(" ")}>
              <Found desk={desk} recipe={recipe} target={found.target} />
            </li>
          ))}
        </ol>
      </section>
    </div>
  );
}

function Found(props: { desk: Desk; recipe: Recipe; target: string }) {
  const { desk, recipe, target } = props;
  const { known, yarn, flecks, base, kept } = desk;
  const depths: Depths = Object.fromEntries(
    recipe.doses.map(({ id, depthPct }) => [id, depthPct] as const),
  );
  const { predicted } = recipe;
  const name = sayDepths(known, depths).slice(0, 200);
  const isKept = kept.some((one) => sayDepths(known, one.depths) === sayDepths(known, depths));
  const report = flecks.length > 0 && flecksOn(yarn, dosesFrom(known, depths), flecks);
  const gamut = sayGamut(predicted);
  return (
    <>
      <div class="colour-pair">
        <DippedStrip
          dyedHex={predicted.hex}
          undyedHex={base.hex}
          width={36}
          height={84}
          seed={name}
          title={`Predicted ${predicted.hex}`}
        />
        <DippedStrip
          dyedHex={target}
          undyedHex={base.hex}
          width={16}
          height={84}
          seed="target"
          undyedShare={0.1}
        />
      </div>
      <div class="colour-dosing">
        <p class="colour-apart figures">
          <b>{showDifference(recipe.difference)}</b> CIEDE2000 away.{" "}
          <span class="colour-quiet">{sayPredicted(predicted)}</span>
        </p>
        <dl class="colour-doses">
          {recipe.doses.map(({ id, depthPct, measured }) => {
            const one = known.find((dye) => dye.id === id);
            return (
              one && (
                <div key={id}>
                  <dt>
                    <bdi>{one.name}</bdi>
                  </dt>
                  <dd class="figures">{showDepth(depthPct)}</dd>
                  <dd class="colour-quiet figures">{sayMeasured(one, measured)}</dd>
                </div>
              )
            );
          })}
        </dl>
        {gamut !== undefined && <p class="colour-quiet">{gamut}</p>}
        {report && (
          <p class="colour-quiet">
            {report.say} {report.change?.say}
          </p>
        )}
        <div class="prepare-ways">
          <button
            type="button"
            class="quiet-button"
            disabled={isKept}
            onClick={() => desk.onKept([...kept, { id: newId(), name, depths }])}
          >
            {isKept ? "Kept" : "Keep this recipe"}
          </button>
          <PourOver desk={desk} recipes={[depths]} />
        </div>
      </div>
    </>
  );
}
