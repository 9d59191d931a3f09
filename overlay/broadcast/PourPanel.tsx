import { Arrow } from "../../shared/draw/Arrow.tsx";
import { textWidth } from "../../shared/draw/letters.ts";
import { Tape, tapeHeight } from "../../shared/draw/Tape.tsx";
import { THIN_SPACE } from "../../shared/dye/display.ts";
import type { DepthLook, DepthRow, Main } from "../../shared/session/views/overlayScene.ts";
import { AmountColumn } from "./AmountColumn.tsx";
import { Fit, type FitStep } from "./Fit.tsx";
import { Strip } from "./Strip.tsx";
import { lineSteps, titleSteps } from "./sizes.ts";
import { Words } from "./Words.tsx";

/** What goes in now: the dye, how much of it, and what that does to the depth of shade. */
export function PourPanel(pour: Extract<Main, { kind: "pour" }>) {
  const { depth } = pour;
  return (
    <section class={depth ? "panel pour" : "panel pour without-depth"}>
      <Strip look={pour.strip} width={92} height={252} class="hanging" />
      <div class="column words">
        <p class={pour.just ? "kicker strong" : "kicker"}>{pour.kicker}</p>
        <Words class="title words-title" steps={titleSteps} phrase={pour.title} />
        <Words steps={lineSteps} phrase={pour.where} />
        <Fit class="quiet" steps={mannerSteps} text={pour.manner} last>
          <bdi>{pour.manner}</bdi>
        </Fit>
      </div>
      <AmountColumn amount={pour.amount} />
      {depth && <DepthColumn depth={depth} />}
    </section>
  );
}

function DepthColumn({ depth }: { depth: DepthLook }) {
  const { label, rows, local } = depth;
  const widest = Math.max(...rows.map(({ whose }) => textWidth(whose, 36) + 30), 64);
  const tape = rows.length > 1 ? Math.min(112, widest) : 0;
  return (
    <div class="column" data-part="depth">
      <p class="kicker">{label}</p>
      <div class="first">
        {rows.map((row) => (
          <DepthLine key={row.whose} row={row} tape={tape} />
        ))}
      </div>
      <div class="foot">
        {local !== undefined && (
          <Fit class="local" steps={localSteps} text={local}>
            <b class="whole">{local}</b> <span class="quiet whole">where it touches</span>
          </Fit>
        )}
      </div>
    </div>
  );
}

const mannerSteps: readonly FitStep[] = [
  [36, 2],
  [36, 1],
];
const localSteps: readonly FitStep[] = [
  [38, 1],
  [36, 1],
  [36, 2],
];
const aloneSteps: readonly FitStep[] = [76, 68, 60, 54, 50].map((size) => [size, 1]);
const pairSteps: readonly FitStep[] = [54, 50, 48].map((size) => [size, 1]);

/** One skein's depth before and after, with its name on a tape where it is not the only one. */
function DepthLine({ row, tape }: { row: DepthRow; tape: number }) {
  const { whose, before, after } = row;
  return (
    <div class="depth-line">
      {tape > 0 && (
        <svg width={tape} height={tapeHeight(36) + 2} role="img" aria-label={whose}>
          <Tape text={whose} x={tape / 2} y={1} size={36} room={tape} tone="ink" reversed />
        </svg>
      )}
      <Fit
        class="figures depth-figures"
        steps={tape > 0 ? pairSteps : aloneSteps}
        text={`${before} ${after}`}
      >
        <span class="before">
          {before} <Arrow size={40} />{" "}
        </span>
        <b class="whole">{`${after}${THIN_SPACE}%`}</b>
      </Fit>
    </div>
  );
}
