import { TimeRule } from "../../shared/draw/TimeRule.tsx";
import type { BenchTimer } from "../../shared/session/bench.ts";
import type { State } from "../../shared/session/state.ts";
import { useLink } from "../link/context.tsx";
import { Fit } from "./Fit.tsx";
import { Panel } from "./Panel.tsx";
import { leftOf, timerName } from "./Topline.tsx";
import { leftText } from "./time.ts";
import { useNow } from "./useNow.ts";

/** What a {@link TimerPanel} is told. */
export interface TimerPanelProps {
  state: State;
  timers: readonly BenchTimer[];
  onClose: () => void;
}

/** Timers that run, each to be ended or given more time. */
export function TimerPanel({ state, timers, onClose }: TimerPanelProps) {
  const link = useLink();
  const now = useNow(link);
  return (
    <Panel
      title={timers.length === 1 ? "Timer" : "Timers"}
      close="Back to the pour"
      onClose={onClose}
    >
      <div class="live-panel-body live-timers-open">
        {timers.length === 0 && <p class="live-lead">This timer has ended.</p>}
        {timers.map((timer) => (
          <section key={timer.id} aria-label={timerName(state, timer)}>
            <h3>
              <bdi>{timerName(state, timer)}</bdi>
              {timer.waitingFor !== "" && <small>waiting for {timer.waitingFor}</small>}
              <b class="figures">{leftText(leftOf(timer, now))}</b>
            </h3>
            <Fit class="live-timer-rule">
              {(width, height) => (
                <TimeRule
                  leftS={leftOf(timer, now)}
                  totalS={timer.seconds}
                  width={width}
                  height={height}
                  tone="wool"
                  labels
                />
              )}
            </Fit>
            <div class="live-timer-acts">
              {[1, 5, 10].map((minutes) => (
                <button
                  key={minutes}
                  type="button"
                  class="live-nudge figures"
                  onClick={() =>
                    void link.send({ type: "timerExtend", timer: timer.id, seconds: minutes * 60 })
                  }
                >
                  +{minutes} <small>min</small>
                  <span class="unseen"> more</span>
                </button>
              ))}
              <button
                type="button"
                class="live-quiet live-timer-end"
                onClick={() => {
                  void link.send({ type: "timerStop", timer: timer.id });
                  if (timers.length === 1) onClose();
                }}
              >
                End it now
              </button>
            </div>
          </section>
        ))}
      </div>
    </Panel>
  );
}
