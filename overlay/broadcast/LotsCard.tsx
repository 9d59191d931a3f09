import type { DyeShare, Lot, Main } from "../../shared/session/views/overlayScene.ts";
import { Fit } from "./Fit.tsx";
import { Strip } from "./Strip.tsx";
import { lineSteps } from "./sizes.ts";

/** The running tally by skein. */
export function LotsCard(card: Extract<Main, { kind: "tally" }>) {
  const { title, kicker, lots, page, pages } = card;
  return (
    <section class="panel lots tally">
      <header class="lots-head">
        <Fit
          class="title"
          steps={[
            [56, 1],
            [48, 1],
            [42, 1],
            [36, 1],
          ]}
          text={title}
        >
          <bdi>{title}</bdi>
        </Fit>
        <p class="quiet whole">{pages > 1 ? `${kicker}, ${page} of ${pages}` : kicker}</p>
      </header>
      <div class="tally-rows">
        {lots.map((lot) => (
          <TallyRow key={lot.id} lot={lot} />
        ))}
      </div>
    </section>
  );
}

function TallyRow({ lot }: { lot: Lot }) {
  return (
    <div class="tally-row">
      <Strip
        look={{
          dyedHex: lot.hex,
          undyedHex: lot.undyedHex,
          patches: lot.patches,
          seed: lot.id,
          dry: false,
        }}
        width={56}
        height={60}
      />
      <Fit steps={lineSteps} text={`${lot.name} ${lot.of}`}>
        <bdi>{lot.name}</bdi> <bdi class="quiet">{lot.of}</bdi>
      </Fit>
      <b class="figures">{lot.depth}</b>
      <div class="shares">
        {lot.dyes.map((dye) => (
          <Share key={dye.strip.seed} dye={dye} />
        ))}
        {lot.moreDyes > 0 && <span class="quiet whole">{`+${lot.moreDyes}`}</span>}
        {lot.dyes.length === 0 && <span class="quiet">no dye yet</span>}
      </div>
    </div>
  );
}

function Share({ dye }: { dye: DyeShare }) {
  return (
    <div class="share">
      <Strip look={dye.strip} width={22} height={38} />
      <Fit class="share-words" steps={[[36, 1]]} text={`${dye.name} ${dye.depth}`}>
        <bdi>{dye.name}</bdi> <span class="whole figures">{dye.depth}</span>
      </Fit>
    </div>
  );
}
