import { TimeRule } from "../../shared/draw/TimeRule.tsx";
import type { TimerLook } from "../../shared/session/views/overlayScene.ts";
import type { FitStep } from "./Fit.tsx";
import { Words } from "./Words.tsx";

const timerSteps: readonly FitStep[] = [
  [38, 1],
  [36, 1],
  [36, 2],
];

type TimersProps = { timers: readonly TimerLook[]; moreTimers: number };

/** Pans that heat or rest while something else goes on. */
export function Timers({ timers, moreTimers }: TimersProps) {
  if (timers.length === 0) return null;
  return (
    <div class="timers" data-part="timers">
      {timers.map(({ id, title, figure, leftS, totalS }) => (
        <div class="timer" key={id}>
          <div class="timer-words">
            <Words steps={timerSteps} phrase={title} />
            {leftS > 0 && <b class="figures whole timer-left">{figure}</b>}
          </div>
          {leftS > 0 ? (
            <TimeRule leftS={leftS} totalS={totalS} width={432} height={44} tone="ink" />
          ) : (
            <b class="timer-up">{figure}</b>
          )}
        </div>
      ))}
      {moreTimers > 0 && <p class="timer timer-more">{`and ${moreTimers} more`}</p>}
    </div>
  );
}
