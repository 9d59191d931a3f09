import { TimeRule } from "../../shared/draw/TimeRule.tsx";
import type { Main } from "../../shared/session/views/overlayScene.ts";
import { Fit } from "./Fit.tsx";
import { figureSteps, lineSteps, titleSteps } from "./sizes.ts";
import { Words } from "./Words.tsx";

/** Heat or rest: how long it still takes and what is waited for. */
export function HeatPanel({ kicker, title, lines, time }: Extract<Main, { kind: "heat" }>) {
  const { figure, unit, label, leftS, totalS } = time;
  return (
    <section class="panel heat">
      <div />
      <div class="column words">
        <p class="kicker">{kicker}</p>
        <Words class="title words-title" steps={titleSteps} phrase={title} />
        {lines.map((line) => (
          <Fit key={line} steps={lineSteps} text={line}>
            <bdi>{line}</bdi>
          </Fit>
        ))}
      </div>
      <div class="column time">
        <div class="time-figure">
          <Fit class="figures-first" steps={figureSteps} text={`${figure.length} ${unit}`}>
            <span class="whole">
              {figure}
              {unit !== "" && <span class="unit">{unit}</span>}
            </span>
          </Fit>
          {label !== "" && <p class="kicker">{label}</p>}
        </div>
        <TimeRule
          leftS={leftS}
          totalS={totalS}
          width={928}
          height={96}
          tone="ink"
          labels
          labelSize={36}
        />
      </div>
    </section>
  );
}
