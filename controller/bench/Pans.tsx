import { useState } from "preact/hooks";
import { Hank } from "../../shared/draw/Hank.tsx";
import { Pan } from "../../shared/draw/Pan.tsx";
import { showDepth, showMass, showVolume } from "../../shared/dye/display.ts";
import { sayPan } from "../../shared/session/say.ts";
import type { Id } from "../../shared/session/setup.ts";
import type { State } from "../../shared/session/state.ts";
import { hanksIn } from "../live/hanks.ts";
import { lyingHank, skeinDepthPct, skeinsIn } from "./hank.ts";
import { NewPan } from "./NewPan.tsx";
import { NewSkein } from "./NewSkein.tsx";
import { SaidLine } from "./SaidLine.tsx";
import { sayRatio } from "./sayRatio.ts";
import { useAct } from "./useAct.ts";

/** The pans with their skeins; a tapped skein can be moved. */
export function Pans() {
  const { state, said, busy, act, clear } = useAct();
  const [work, setWork] = useState<"skein" | "pan" | null>(null);
  const [chosen, setChosen] = useState<Id | null>(null);
  if (state === null) return null;
  if (work === "skein") return <NewSkein onBack={() => setWork(null)} />;
  if (work === "pan") return <NewPan onBack={() => setWork(null)} />;

  const { pans, skeins } = state.bench;
  const out = skeinsIn(state, null);
  const there = chosen === null ? undefined : skeins[chosen];
  const choose = (id: Id) => {
    clear();
    setChosen(id === chosen ? null : id);
  };
  const move = async (to: Id | null) => {
    if (!there || busy) return;
    const { name, id } = there.skein;
    const done =
      to === null
        ? `Skein ${name} is out of its pan.`
        : `Skein ${name} is in ${sayPan(state, to)}.`;
    await act({ type: "skeinMove", skein: id, to }, done);
  };

  return (
    <section class="pans">
      <header class="form-head">
        <h2>Skeins and pans</h2>
        <div class="row">
          <button type="button" class="quiet-button" onClick={() => setWork("skein")}>
            New skein
          </button>
          <button type="button" class="quiet-button" onClick={() => setWork("pan")}>
            New pan
          </button>
        </div>
      </header>
      <div class="pans-shelf">
        {Object.keys(pans).map((id) => (
          <OnePan key={id} state={state} id={id} chosen={chosen} onChoose={choose} />
        ))}
        {Object.keys(pans).length === 0 && (
          <p class="lead">No pan is on the bench yet. Put one on with "New pan".</p>
        )}
        <section class="pans-one" aria-labelledby="pans-out">
          <h3 id="pans-out">In no pan</h3>
          {out.length === 0 ? (
            <p class="lead">Every skein lies in a pan.</p>
          ) : (
            <div class="pans-skeins">
              {out.map((id) => (
                <button
                  key={id}
                  type="button"
                  class="choice-option pans-skein pans-lying"
                  aria-pressed={id === chosen}
                  onClick={() => choose(id)}
                >
                  <Hank
                    {...lyingHank(state, id, id === chosen)}
                    width={64}
                    height={104}
                    tone="wool"
                    title={`Skein ${skeins[id]?.skein.name ?? id}`}
                  />
                  <span class="figures">{showDepth(skeinDepthPct(state, id))}</span>
                </button>
              ))}
            </div>
          )}
        </section>
      </div>
      <footer class="pans-move">
        {there ? (
          <>
            <p class="pans-words">
              <strong class="pans-name">
                Skein <bdi>{there.skein.name}</bdi>
              </strong>
              <span class="figures">
                {showMass(there.skein.massUg)} of{" "}
                <bdi>{state.setup.bases[there.skein.base]?.name ?? there.skein.base}</bdi>
                {there.skein.colourway !== undefined && (
                  <>
                    {" for "}
                    <bdi>
                      {state.setup.colourways[there.skein.colourway]?.name ?? there.skein.colourway}
                    </bdi>
                  </>
                )}
                , {showDepth(skeinDepthPct(state, there.skein.id))} so far
              </span>
            </p>
            <div class="row">
              {there.pan !== null && (
                <button type="button" class="green-button" onClick={() => move(null)}>
                  Out of the pan
                </button>
              )}
              {Object.keys(pans)
                .filter((id) => id !== there.pan)
                .map((id) => (
                  <button key={id} type="button" class="green-button" onClick={() => move(id)}>
                    Into <bdi>{sayPan(state, id)}</bdi>
                  </button>
                ))}
            </div>
          </>
        ) : (
          <p class="lead">Tap a skein to move it.</p>
        )}
        <SaidLine said={said} />
      </footer>
    </section>
  );
}

function OnePan(props: { state: State; id: Id; chosen: Id | null; onChoose: (id: Id) => void }) {
  const { state, id, chosen, onChoose } = props;
  const there = state.bench.pans[id];
  if (!there) return null;
  const skeins = skeinsIn(state, id);
  const { pan, bathUl } = there;
  const fibreUg = skeins.reduce(
    (sum, own) => sum + (state.bench.skeins[own]?.skein.massUg ?? 0),
    0,
  );
  const heading = `pan-${id}`;
  return (
    <section class="pans-one" aria-labelledby={heading}>
      <h3 id={heading}>
        Pan <bdi>{pan.name}</bdi>
      </h3>
      <Pan
        name=""
        hanks={hanksIn(state, id, new Set(chosen === null ? [] : [chosen])).slice(0, 12)}
        bath={Math.min(1, bathUl / pan.capacityUl)}
        width={272}
        height={150}
        tone="wool"
        title={`${sayPan(state, id)} with ${skeins.length === 0 ? "no skein" : `skeins ${skeins.map((own) => state.bench.skeins[own]?.skein.name).join(", ")}`}`}
      />
      <p class="pans-bath figures">
        {showVolume(bathUl)} of {showVolume(pan.capacityUl)}
        {fibreUg > 0 && `, ${sayRatio(bathUl, fibreUg)}`}
      </p>
      {skeins.length === 0 ? (
        <p class="lead">No skein in it.</p>
      ) : (
        <div class="pans-skeins">
          {skeins.map((own) => (
            <button
              key={own}
              type="button"
              class="choice-option pans-skein"
              aria-pressed={own === chosen}
              onClick={() => onChoose(own)}
            >
              <bdi class="choice-name">
                <span class="unseen">Skein </span>
                {state.bench.skeins[own]?.skein.name ?? own}
              </bdi>
              <span class="choice-note figures">{showDepth(skeinDepthPct(state, own))}</span>
            </button>
          ))}
        </div>
      )}
    </section>
  );
}
