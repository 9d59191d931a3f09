import { Hank } from "../../shared/draw/Hank.tsx";
import type { DyeShare, Lot, Main } from "../../shared/session/views/overlayScene.ts";
import { Fit } from "./Fit.tsx";
import { Strip } from "./Strip.tsx";
import { lineSteps } from "./sizes.ts";

/** The running tally by skein, or the recap card by colourway. */
export function LotsCard(card: Extract<Main, { kind: "tally" | "recap" }>) {
  const { kind, title, kicker, lots, page, pages } = card;
  return (
    <section class={`panel lots ${kind}`}>
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
      {kind === "recap" ? (
        <div class="recap-cells">
          {lots.map((lot, at) => (
            <RecapCell key={lot.id} lot={lot} first={startsRow(at, lots.length)} />
          ))}
        </div>
      ) : (
        <div class="tally-rows">
          {lots.map((lot) => (
            <TallyRow key={lot.id} lot={lot} />
          ))}
        </div>
      )}
    </section>
  );
}

const perRow = 3;

/** Whether a cell begins a row: rows are as even as they go, so that none is left by itself. */
function startsRow(at: number, count: number): boolean {
  const rows = Math.ceil(count / perRow);
  const [least, longer] = [Math.floor(count / rows), count % rows];
  const inLonger = longer * (least + 1);
  return at < inLonger ? at % (least + 1) === 0 : (at - inLonger) % least === 0;
}

function TallyRow({ lot }: { lot: Lot }) {
  return (
    <div class="tally-row">
      <Strip
        look={{ dyedHex: lot.hex, undyedHex: lot.undyedHex, seed: lot.id, dry: false }}
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

function RecapCell({ lot, first }: { lot: Lot; first: boolean }) {
  return (
    <div class="recap-cell" data-first={first}>
      <Hank
        fill={lot.dyes.length > 0 ? 1 : 0}
        dyedHex={lot.hex}
        undyedHex={lot.undyedHex}
        flecks={lot.flecks}
        label=""
        labelSize={0}
        seed={lot.id}
        width={96}
        height={172}
        tone="ink"
      />
      <div class="recap-words">
        <Fit class="strong" steps={lineSteps} text={lot.name}>
          <bdi>{lot.name}</bdi>
        </Fit>
        {lot.dyes.slice(0, lot.moreDyes > 0 ? 2 : 3).map((dye) => (
          <Share key={dye.strip.seed} dye={dye} />
        ))}
        {lot.moreDyes > 0 && <p class="quiet">{`and ${lot.moreDyes + 1} more`}</p>}
        {lot.dyes.length === 0 && <p class="quiet">undyed</p>}
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
