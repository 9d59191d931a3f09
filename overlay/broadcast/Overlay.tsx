import { AddPanel } from "./AddPanel.tsx";
import { Cautions } from "./Cautions.tsx";
import { CodeCard } from "./CodeCard.tsx";
import { type Frame, isTall, type MainLook } from "./frame.ts";
import { HeatPanel } from "./HeatPanel.tsx";
import { LotsCard } from "./LotsCard.tsx";
import { OpeningPanel } from "./OpeningPanel.tsx";
import { PanCard } from "./PanCard.tsx";
import { PourPanel } from "./PourPanel.tsx";
import { RecapPanel } from "./RecapPanel.tsx";
import { Timers } from "./Timers.tsx";

/** All that viewers see over the video. */
export function Overlay({ frame }: { frame: Frame }) {
  const { main, timers, code, strips, held } = frame;
  const pan = "pan" in main.look ? main.look.pan : undefined;
  return (
    <div class="stage" data-main={main.look.kind}>
      <div class="head">
        <Timers {...timers.look} />
        {code.look !== null && !isTall(main.look) && <CodeCard address={code.look} />}
      </div>
      <div class="floor">
        <div class="shelf">
          <div>
            {held !== null && <p class="held">{held}</p>}
            <Cautions strips={strips.shown} />
          </div>
          {pan && <PanCard pan={pan} />}
        </div>
        <Panel main={main.look} />
      </div>
    </div>
  );
}

function Panel({ main }: { main: MainLook }) {
  switch (main.kind) {
    case "none":
      return null;
    case "waiting":
    case "closed":
      return <OpeningPanel {...main} />;
    case "pour":
      return <PourPanel {...main} />;
    case "add":
      return <AddPanel {...main} />;
    case "heat":
      return <HeatPanel {...main} />;
    case "tally":
      return <LotsCard {...main} />;
    case "recap":
      return <RecapPanel {...main} />;
  }
}
