import { depthParts, showDepth, showMass, THIN_SPACE } from "../../shared/dye/display.ts";
import type { FollowRecipe } from "../../shared/session/views/followRecipe.ts";
import { isMine, ownFibreUg } from "../../shared/session/views/ownTerms.ts";
import type { PublicSkein, PublicView } from "../../shared/session/views/publicView.ts";
import { To } from "./Shapes.tsx";
import { Dyed, undyedOf } from "./Strip.tsx";
import { sayRinse, saySeen } from "./say.ts";

/** Patches drawn beside the ground of a skein; more are counted with them. */
const mostPatches = 3;

function sayShare(patches: readonly { coverage: number }[]): string {
  const share = patches.reduce((sum, { coverage }) => sum + coverage, 0);
  return `${Number((share * 100).toPrecision(2))}${THIN_SPACE}%`;
}

/** How far the least known part of a skein may well be off, CIEDE2000. */
function worstOf({ ground, patches }: PublicSkein["colour"]): number {
  return Math.max(ground.uncertainty, ...patches.map(({ uncertainty }) => uncertainty));
}

type ColoursProps = { view: PublicView; recipe: FollowRecipe; otherYarn: boolean };

/** Each skein with its depth and the colour that is predicted for what it has had so far. */
export function Colours({ view, recipe, otherYarn }: ColoursProps) {
  const skeins = Object.entries(view.skeins).filter(([id]) => isMine(recipe.terms, id));
  if (skeins.length === 0) return null;
  const seen = skeins.some(([, skein]) => skein.seen !== undefined);
  const patched = skeins.some(([, { colour }]) => colour.patches.length > 0);
  return (
    <section class="colours" aria-labelledby="colours">
      <h2 id="colours">Skeins, colours predicted{seen && " and seen"}</h2>
      <ul class={patched ? "patched" : undefined}>
        {skeins.map(([id, skein]) => {
          const finalPct = recipe.finalPct[id] ?? skein.depthPct;
          const more = finalPct > skein.depthPct + 1e-9;
          return (
            <li key={id}>
              <div class="strips">
                <Dyed
                  dyedHex={skein.colour.ground.hex}
                  undyedHex={undyedOf(view, id)}
                  width={24}
                  height={40}
                  seed={id}
                />
                {skein.colour.patches.slice(0, mostPatches).map(({ hex, coverage }, at) => (
                  <Dyed
                    key={`${hex} ${coverage}`}
                    dyedHex={hex}
                    undyedHex={skein.colour.ground.hex}
                    width={14}
                    height={40}
                    seed={`${id} ${at}`}
                  />
                ))}
              </div>
              <p dir="auto">
                <b>
                  <bdi>{skein.name}</bdi>
                </b>
                {skein.colourway !== undefined && (
                  <>
                    {" "}
                    <bdi>{skein.colourway}</bdi>
                  </>
                )}
                <small class="figures">
                  {showMass(ownFibreUg(recipe.terms, view, id))},{" "}
                  {skein.depthPct > 0 ? `predicted ±${worstOf(skein.colour)}` : "no dye yet"}
                  {skein.colour.patches.length > 0 &&
                    `, patches on ${sayShare(skein.colour.patches)}`}
                </small>
                {skein.seen && (
                  <small class="seen figures">
                    <Dyed
                      dyedHex={skein.seen.hex}
                      undyedHex={undyedOf(view, id)}
                      width={20}
                      height={32}
                      seed={id}
                    />
                    <span>{saySeen(skein)}</span>
                  </small>
                )}
                {skein.rinse && <small>{sayRinse(skein)}</small>}
                {skein.offAir && <span class="tag">dyed after the stream</span>}
              </p>
              <p class="depth figures">
                {more ? (
                  <>
                    {depthParts(skein.depthPct).figure} <To /> {showDepth(finalPct)}
                  </>
                ) : (
                  showDepth(skein.depthPct)
                )}
              </p>
            </li>
          );
        })}
      </ul>
      <p class="aside">
        Grams are of your yarn. Depth of shade is as it is so far, and once all that is planned is
        in. Colours are predictions for what went in so far, on the session's yarn
        {otherYarn && ", which is not yours"}: dry, rinsed and exhausted, each with its doubt (±) in
        CIEDE2000.
        {seen && " A colour that was seen is of the skein itself, dry and rinsed."}
      </p>
    </section>
  );
}
