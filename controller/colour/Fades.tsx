import { useEffect, useState } from "preact/hooks";
import type { Fade } from "../../shared/colour/fade.ts";
import { EVEN } from "../../shared/colour/fade.ts";
import { VISIONS, type Vision } from "../../shared/colour/vision.ts";
import { DippedStrip } from "../../shared/draw/DippedStrip.tsx";
import { showDepth } from "../../shared/dye/display.ts";
import { type Refusal, refused } from "../../shared/dye/refusal.ts";
import type { Id } from "../../shared/session/setup.ts";
import { Quantity } from "../form/Quantity.tsx";
import { Select } from "../form/Select.tsx";
import { ask } from "./ask.ts";
import type { Desk } from "./desk.ts";
import { lasting } from "./lasting.ts";
import { OverWhich, PourOver } from "./Over.tsx";
import { sayMeasured, sayPredicted, showDifference } from "./say.ts";
import { type Depths, fadeDyes } from "./shelf.ts";

const EYES: Readonly<Record<Vision, string>> = {
  protan: "Without the cone for long waves (protan)",
  deutan: "Without the cone for middle waves (deutan)",
  tritan: "Without the cone for short waves (tritan)",
};

const MOST_SKEINS = 24;
const MOST_STOPS = 5;

const useStops = lasting<readonly Id[]>([]);
const useSkeins = lasting(6);
const useBreak = lasting({ after: 0, times: 2 });

/** Skeins from one recipe to another, each as far from the next as every other, on the yarn. */
export function Fades({ desk }: { desk: Desk }) {
  const { kept, known, yarn, shelf, massUg } = desk;
  const [chosen, setStops] = useStops();
  const [skeins, setSkeins] = useSkeins();
  const [parted, setParted] = useBreak();
  const [answer, setAnswer] = useState<Fade | Refusal | null>(null);
  // Recipes that were taken away are no longer on the way; a fade has two at least.
  const there = chosen.filter((id) => kept.some((one) => one.id === id));
  const others = kept.filter(({ id }) => !there.includes(id)).map(({ id }) => id);
  const stops = there.length >= 2 ? there : [...there, ...others].slice(0, 2);
  const wanted = stops.flatMap((stop) => {
    const recipe = kept.find(({ id }) => id === stop);
    return recipe ? [recipe.depths] : [];
  });
  const isBroken = parted.after > 0 && parted.after < skeins;
  const key = JSON.stringify([wanted, skeins, parted]);
  useEffect(() => {
    let left = false;
    if (wanted.length < 2) {
      setAnswer(null);
      return;
    }
    const used = new Set(wanted.flatMap((depths) => Object.keys(depths)));
    const order = {
      yarn,
      dyes: fadeDyes(shelf, known, massUg, used),
      stops: wanted,
      skeins,
      ...(isBroken ? { breaks: [parted] } : {}),
    };
    const failed = { code: "fade.failed", say: "This fade could not be worked out: change it." };
    ask({ job: "fade", order }).then(
      (done) => !left && setAnswer(done),
      () => !left && setAnswer(failed),
    );
    return () => {
      left = true;
    };
  }, [key, yarn, shelf, known, massUg]);
  if (kept.length < 2) {
    return (
      <p class="colour-lead">
        A fade runs between two recipes or more, in steps that look equal on the yarn. Keep two
        first, from a match or by hand under Recipes and flecks.
      </p>
    );
  }
  const options = kept.map(({ id, name }) => ({ value: id, label: name }));
  return (
    <section class="colour-section" aria-label="Fade">
      <div class="colour-stops">
        {stops.map((stop, n) => (
          <Select
            key={n}
            label={n === 0 ? "From" : n === stops.length - 1 ? "To" : "By way of"}
            options={options}
            value={stop}
            onValue={(id) => setStops(stops.map((one, at) => (at === n ? id : one)))}
          />
        ))}
      </div>
      <div class="prepare-ways">
        <button
          type="button"
          class="quiet-button"
          disabled={stops.length >= MOST_STOPS}
          onClick={() => setStops([...stops, others[0] ?? kept.at(-1)?.id ?? ""])}
        >
          One recipe more
        </button>
        <button
          type="button"
          class="quiet-button"
          disabled={stops.length <= 2}
          onClick={() => setStops(stops.slice(0, -1))}
        >
          One recipe less
        </button>
      </div>
      <div class="colour-fields">
        <Quantity
          label="Skeins"
          field={{ kind: "count", max: MOST_SKEINS }}
          value={skeins}
          show={String}
          hint={`2 to ${MOST_SKEINS}`}
          onValue={(value) => value !== null && setSkeins(value)}
        />
        <Quantity
          label="A break after skein"
          field={{ kind: "count", zero: true, max: MOST_SKEINS }}
          value={parted.after}
          show={String}
          hint={
            isBroken
              ? undefined
              : parted.after === 0
                ? "0 is no break"
                : "A break lies between two skeins"
          }
          onValue={(after) => after !== null && setParted({ ...parted, after })}
        />
        {parted.after > 0 && (
          <Quantity
            label="Steps in the break"
            field={{ kind: "number", max: 10 }}
            value={parted.times}
            show={String}
            onValue={(times) => times !== null && setParted({ ...parted, times })}
          />
        )}
      </div>
      {answer !== null && refused(answer) && <p class="colour-warning">{answer.say}</p>}
      {answer !== null && !refused(answer) && (
        <Faded desk={desk} fade={answer} after={isBroken ? parted.after : 0} />
      )}
    </section>
  );
}

/** The skeins of a fade on one line, with the step between each two of them. */
function Faded({ desk, fade, after }: { desk: Desk; fade: Fade; after: number }) {
  const { base, known } = desk;
  const depths: Depths[] = fade.skeins.map(({ doses }) =>
    Object.fromEntries(doses.map(({ id, depthPct }) => [id, depthPct] as const)),
  );
  return (
    <>
      <p class="colour-says" aria-live="polite">
        {fade.ratio <= EVEN ? "The steps look even" : "The steps are not quite even"}: the largest
        is <span class="figures">{fade.ratio.toFixed(2)}</span> times the smallest with doses that
        can be measured, <span class="figures">{fade.exactRatio.toFixed(2)}</span> with exact ones
        {after > 0 ? ", the break set aside" : ""}.
      </p>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls has to be reached by keyboard. */}
      <section class="colour-scroll" tabIndex={0} aria-label="Skeins of the fade">
        <ol class="colour-fade">
          {fade.skeins.map(({ predicted, doses }, n) => (
            <li key={n}>
              {n > 0 && (
                <span class="colour-step figures" data-break={n === after}>
                  {showDifference(fade.steps[n - 1] ?? 0)}
                  <span class="unseen">
                    {n === after ? " CIEDE2000, the break" : " CIEDE2000 from the one before"}
                  </span>
                </span>
              )}
              <DippedStrip
                dyedHex={predicted.hex}
                undyedHex={base.hex}
                width={56}
                height={120}
                seed={`fade ${n}`}
                title={`Skein ${n + 1}, predicted ${predicted.hex}`}
              />
              <b class="figures">{n + 1}</b>
              <span class="colour-quiet figures">{sayPredicted(predicted)}</span>
              <ul>
                {doses.map(({ id, depthPct, measured }) => {
                  const one = known.find((dye) => dye.id === id);
                  return (
                    one &&
                    depthPct > 0 && (
                      <li key={id}>
                        <bdi>{one.name}</bdi> <b class="figures">{showDepth(depthPct)}</b>
                        <br />
                        <span class="colour-quiet figures">{sayMeasured(one, measured)}</span>
                      </li>
                    )
                  );
                })}
              </ul>
            </li>
          ))}
        </ol>
      </section>
      {fade.notes.map(({ code, say }) => (
        <p key={`${code} ${say}`} class="colour-warning">
          {say}
        </p>
      ))}
      <div class="colour-eyes">
        <p class="colour-says">The smallest step, CIEDE2000</p>
        <dl>
          <div>
            <dt>Eyes with all three cones</dt>
            <dd class="figures">{showDifference(Math.min(...fade.steps))}</dd>
          </div>
          {VISIONS.map((vision) => (
            <div key={vision}>
              <dt>{EYES[vision]}</dt>
              <dd class="figures">{showDifference(Math.min(...fade.seenBy[vision]))}</dd>
            </div>
          ))}
        </dl>
      </div>
      <div class="colour-into">
        <OverWhich desk={desk} first />
        <PourOver desk={desk} recipes={depths} />
      </div>
    </>
  );
}
