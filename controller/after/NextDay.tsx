import { useState } from "preact/hooks";
import { Hank } from "../../shared/draw/Hank.tsx";
import { showDepth, showMass } from "../../shared/dye/display.ts";
import { sayPour } from "../../shared/session/say.ts";
import type { State } from "../../shared/session/state.ts";
import { Bath } from "../bench/Bath.tsx";
import { Choice } from "../bench/Choice.tsx";
import { lyingHank, skeinDepthPct } from "../bench/hank.ts";
import { Jug } from "../bench/Jug.tsx";
import { Pans } from "../bench/Pans.tsx";
import { OffAirPour } from "./OffAirPour.tsx";

type Work = "dyed" | "pans" | "jug" | "pour" | "bath";

const works: readonly { value: Work; label: string }[] = [
  { value: "dyed", label: "So far" },
  { value: "pans", label: "Skeins, pans" },
  { value: "jug", label: "Jug" },
  { value: "pour", label: "Pour" },
  { value: "bath", label: "Bath" },
];

/** What is dyed after the stream: an off-air part of the recipe, and no part of the video. */
export function NextDay({ state }: { state: State }) {
  const [work, setWork] = useState<Work>("dyed");
  return (
    <section class="after-day" aria-label="Next day">
      <Choice label="Next day" quiet columns={5} options={works} chosen={work} onChoose={setWork} />
      <div class="after-work">
        {work === "dyed" && <Dyed state={state} />}
        {work === "pans" && <Pans />}
        {work === "jug" && <Jug />}
        {work === "pour" && <OffAirPour state={state} />}
        {work === "bath" && <Bath />}
      </div>
    </section>
  );
}

function Dyed({ state }: { state: State }) {
  const skeins = Object.values(state.bench.skeins).filter(({ offAir }) => offAir === true);
  const pours = state.bench.poured.filter(({ offAir }) => offAir === true);
  return (
    <div class="after-dyed">
      <h2>Off air</h2>
      <p class="lead">
        Skeins that are dyed now belong to this session's recipe. They are marked as dyed off air,
        and the video's chapters leave them out. First put a skein in a pan, then pour.
      </p>
      {skeins.length > 0 && (
        <ul class="after-hanks">
          {skeins.map(({ skein }) => (
            <li key={skein.id}>
              <Hank
                {...lyingHank(state, skein.id, false)}
                width={72}
                height={132}
                tone="wool"
                title={`Skein ${skein.name}`}
              />
              <p class="figures">
                {showMass(skein.massUg)}
                <br />
                {showDepth(skeinDepthPct(state, skein.id))}
              </p>
            </li>
          ))}
        </ul>
      )}
      {pours.length > 0 && (
        <ol class="entries-list">
          {pours.map(({ act, pour, strengthPct }) => (
            <li key={act} class="after-line">
              <bdi>{sayPour(state, pour, strengthPct ?? undefined)}</bdi>
            </li>
          ))}
        </ol>
      )}
      {skeins.length === 0 && pours.length === 0 && <p>Nothing was dyed off air yet.</p>}
    </div>
  );
}
