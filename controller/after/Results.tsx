import { useState } from "preact/hooks";
import { DippedStrip } from "../../shared/draw/DippedStrip.tsx";
import { showDepth } from "../../shared/dye/display.ts";
import { refused } from "../../shared/dye/refusal.ts";
import { totalUg } from "../../shared/dye/vessel.ts";
import { sameValue } from "../../shared/prepare/merge.ts";
import { comparison } from "../../shared/session/outcome.ts";
import { skeinColour } from "../../shared/session/predicted.ts";
import type { Id } from "../../shared/session/setup.ts";
import type { State } from "../../shared/session/state.ts";
import { swatchOfResult } from "../../shared/shelf/fromResult.ts";
import { skeinDepthPct } from "../bench/hank.ts";
import { usePreparation } from "../prepare/context.tsx";
import { hexOfSeen, sayHow } from "../swatch/known.ts";
import { usePhotograph } from "./photograph.ts";
import { Result } from "./Result.tsx";

/** How every skein came out beside what was predicted, and what its dyes learn from it. */
export function Results({ state, token }: { state: State; token: string }) {
  const [open, setOpen] = useState<Id | null>(null);
  const dyed = Object.values(state.bench.skeins).filter(({ dyes }) => totalUg(dyes) > 0);
  if (open !== null) {
    return <Result key={open} state={state} id={open} token={token} onBack={() => setOpen(null)} />;
  }
  return (
    <section class="after-plain" aria-labelledby="results-title">
      <h2 id="results-title">Results</h2>
      <p class="lead">
        {dyed.length === 0
          ? "No skein of this session was dyed."
          : "Each skein once it is dry: measured or photographed, beside its prediction. A skein of one dye alone can become a swatch of it."}
      </p>
      <ul class="after-results">
        {dyed.map(({ skein }) => (
          <Line
            key={skein.id}
            state={state}
            id={skein.id}
            token={token}
            onOpen={() => setOpen(skein.id)}
          />
        ))}
      </ul>
    </section>
  );
}

function Line(props: { state: State; id: Id; token: string; onOpen: () => void }) {
  const { state, id, token, onOpen } = props;
  const there = state.bench.skeins[id];
  if (!there) return null;
  const { skein, outcome } = there;
  const undyedHex = state.setup.bases[skein.base]?.hex ?? "#f3ecdf";
  const colourway = skein.colourway && state.setup.colourways[skein.colourway]?.name;
  const told = comparison(state, id);
  return (
    <li class="after-result">
      <div class="after-pair">
        <figure>
          <DippedStrip
            dyedHex={skeinColour(state, id).ground.hex}
            undyedHex={undyedHex}
            width={36}
            height={84}
            seed={id}
          />
          <figcaption>predicted</figcaption>
        </figure>
        <figure>
          {outcome?.seen ? (
            <DippedStrip
              dyedHex={hexOfSeen(outcome.seen)}
              undyedHex={undyedHex}
              width={36}
              height={84}
              seed={`${id} seen`}
            />
          ) : (
            <span class="after-blank" />
          )}
          <figcaption>seen</figcaption>
        </figure>
      </div>
      <div class="after-words">
        <h3>
          Skein <bdi>{skein.name}</bdi>
          <small class="figures">
            {colourway !== undefined && (
              <>
                <bdi>{colourway}</bdi>,{" "}
              </>
            )}
            {showDepth(skeinDepthPct(state, id))}
          </small>
        </h3>
        {told && (
          <p class="after-fit" data-fit={told.fit}>
            {told.say}
          </p>
        )}
        {outcome?.seen && <p class="after-note">{`Seen ${sayHow(outcome.seen)}.`}</p>}
        {outcome && outcome.words !== "" && (
          <p class="after-note">
            <bdi>{outcome.words}</bdi>
          </p>
        )}
        {outcome?.seen && <Refining state={state} id={id} />}
      </div>
      {outcome?.photograph !== undefined && (
        <Photograph token={token} digest={outcome.photograph} name={skein.name} />
      )}
      <button
        type="button"
        class="quiet-button"
        aria-label={`${outcome ? "Change" : "Write it down"}: result of skein ${skein.name}`}
        onClick={onOpen}
      >
        {outcome ? "Change" : "Write it down"}
      </button>
    </li>
  );
}

function Photograph(props: { token: string; digest: string; name: string }) {
  const address = usePhotograph(props.token, props.digest);
  if (address === null) return <span class="after-photograph" />;
  if (address === "missing") {
    return <p class="after-note">Its photograph is not on this computer.</p>;
  }
  return <img class="after-photograph" src={address} alt={`Skein ${props.name}, photographed`} />;
}

/** The swatch that a result offers, taken with one tap; or why it is none. */
function Refining({ state, id }: { state: State; id: Id }) {
  const { prepared, change } = usePreparation();
  if (prepared === null) return null;
  const { shelf } = prepared;
  const offer = swatchOfResult(state, id, shelf, dayOf);
  if (refused(offer)) return <p class="after-note">{`No swatch of it: ${offer.say}`}</p>;
  const { swatch, remarks } = offer;
  const dye = state.setup.dyes[swatch.dye]?.name ?? swatch.dye;
  const there = shelf.swatches.find((one) => one.id === swatch.id);
  if (there && !there.retired && sameValue({ ...there, madeOn: swatch.madeOn }, swatch)) {
    return (
      <p class="after-note">
        On the shelf as a swatch of <bdi>{dye}</bdi>, at {showDepth(swatch.depthPct)}.
      </p>
    );
  }
  const because = `${there ? "changed" : "added"} the swatch of ${dye} at ${showDepth(swatch.depthPct)}`;
  return (
    <div class="after-offer">
      <button
        type="button"
        class="green-button"
        onClick={() => void change({ change: "shelve", part: "swatches", item: swatch, because })}
      >
        {there ? "Change the" : "Add as a"} swatch of <bdi>{dye}</bdi> at{" "}
        {showDepth(swatch.depthPct)}
      </button>
      {remarks.map((say) => (
        <p key={say} class="after-note">
          {say}
        </p>
      ))}
    </div>
  );
}

/** The day of a moment where the dyer is, such as 2031-05-31. */
function dayOf(at: number): string {
  const day = new Date(at);
  const two = (n: number) => String(n).padStart(2, "0");
  return `${day.getFullYear()}-${two(day.getMonth() + 1)}-${two(day.getDate())}`;
}
