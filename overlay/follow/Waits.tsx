import { useEffect, useState } from "preact/hooks";
import { TimeRule } from "../../shared/draw/TimeRule.tsx";
import type { Id } from "../../shared/session/setup.ts";
import type { PublicTimer, PublicView } from "../../shared/session/views/publicView.ts";
import { sayClock, sayHeating, sayMinutes, sayWait } from "./say.ts";

type WaitsProps = {
  view: PublicView;
  serverNow: () => number;
  /** The timer that is shown as what goes on now. */
  besides: Id | undefined;
};

/** Running timers: what is being waited for, and for how long still. */
export function Waits({ view, serverNow, besides }: WaitsProps) {
  const timers = Object.entries(view.timers).filter(([id]) => id !== besides);
  if (timers.length === 0) return null;
  return (
    <section class="waits" aria-labelledby="waits">
      <h2 id="waits">Running in the session</h2>
      <ul>
        {timers.map(([id, timer]) => (
          <li key={id}>
            <h3>{sayHeating(view, timer.how, timer.pan)}</h3>
            <Left timer={timer} serverNow={serverNow} />
            <p class="aside">{sayWait(timer)}</p>
          </li>
        ))}
      </ul>
    </section>
  );
}

/** The time that is left of a wait, counting down. */
export function Left({ timer, serverNow }: { timer: PublicTimer; serverNow: () => number }) {
  const { seconds, startedAt } = timer;
  const [now, setNow] = useState(serverNow);
  useEffect(() => {
    const ticking = setInterval(() => setNow(serverNow()), 1_000);
    return () => clearInterval(ticking);
  }, [serverNow]);
  const leftS = Math.min(seconds, Math.ceil(seconds - (now - startedAt) / 1_000));
  return (
    <>
      <p class="left figures" role="timer" aria-live="off">
        <b>{leftS > 0 ? sayClock(leftS) : "time is up"}</b>
        <span> of {sayMinutes(seconds)}</span>
      </p>
      <div class="rule">
        <TimeRule leftS={leftS} totalS={seconds} width={330} height={40} tone="wool" />
      </div>
    </>
  );
}

/** The timer that a heat step in hand runs on. */
export function timerOf(view: PublicView, how: string, pan: Id): Id | undefined {
  return Object.entries(view.timers).find(
    ([, timer]) => timer.pan === pan && timer.how === how,
  )?.[0];
}
