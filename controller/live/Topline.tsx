import "./topline.css";
import { useEffect, useRef } from "preact/hooks";
import { TimeRule } from "../../shared/draw/TimeRule.tsx";
import type { BenchTimer } from "../../shared/session/bench.ts";
import type { Id } from "../../shared/session/setup.ts";
import type { State } from "../../shared/session/state.ts";
import { useLink } from "../link/context.tsx";
import type { Awake } from "./awake.ts";
import { Fit } from "./Fit.tsx";
import {
  broadcastHealth,
  type Line,
  otherTablets,
  overlayHealth,
  recordHealth,
  viewers,
} from "./health.ts";
import { clockText, leftText } from "./time.ts";
import { useNow } from "./useNow.ts";

const timerWidth = 148;
const gap = 12;

/** What a {@link Topline} is told. */
export interface ToplineProps {
  state: State;
  awake: Awake;
  onTimer: (timer: Id | "all") => void;
  onBench: () => void;
  onSessions: () => void;
}

/** The ink line at the top: the session, what is heating, and how the house is. */
export function Topline({ state, awake, onTimer, onBench, onSessions }: ToplineProps) {
  const timers = runningTimers(state);
  return (
    <header class="live-top" data-timers={timers.length > 0}>
      <h1 class="live-name">
        <button type="button" onClick={onSessions}>
          <bdi>{state.setup.name}</bdi>
          <OnAir state={state} />
        </button>
      </h1>
      <Fit class="live-timers">
        {(width) => <Timers state={state} timers={timers} width={width} onTimer={onTimer} />}
      </Fit>
      <Health state={state} awake={awake} />
      <button type="button" class="live-bench" onClick={onBench}>
        Bench
      </button>
    </header>
  );
}

/** Timers that run, the one that ends first at the head. */
export function runningTimers(state: State): BenchTimer[] {
  const ends = (timer: BenchTimer) => timer.startedAt + timer.seconds * 1000;
  return Object.values(state.bench.timers)
    .filter((timer) => timer.stoppedAt === null)
    .sort((a, b) => ends(a) - ends(b));
}

function OnAir({ state }: { state: State }) {
  const now = useNow(useLink());
  const { phase, liveAt, closedAt } = state;
  if (phase === "ready") return <span>not live yet</span>;
  const until = phase === "closed" ? (closedAt ?? now) : now;
  return (
    <span class="figures">
      {phase === "closed" ? "closed after " : "on air "}
      {clockText((until - (liveAt ?? until)) / 1000)}
    </span>
  );
}

function Timers(props: {
  state: State;
  timers: readonly BenchTimer[];
  width: number;
  onTimer: (timer: Id | "all") => void;
}) {
  const { state, timers, width, onTimer } = props;
  const now = useNow(useLink());
  const room = Math.max(1, Math.floor((width + gap) / (timerWidth + gap)));
  const shown = timers.length > room ? timers.slice(0, room - 1) : timers;
  const rest = timers.length - shown.length;
  return (
    <>
      {shown.map((timer) => {
        const leftS = leftOf(timer, now);
        return (
          <button
            key={timer.id}
            type="button"
            class="live-timer figures"
            data-up={leftS <= 0}
            onClick={() => onTimer(timer.id)}
          >
            <span class="live-timer-pan">{timerName(state, timer)}</span>
            <span class="live-timer-left">{leftText(leftS)}</span>
            <TimeRule
              leftS={leftS}
              totalS={timer.seconds}
              width={timerWidth - 20}
              height={20}
              tone="ink"
            />
          </button>
        );
      })}
      {rest > 0 && (
        <button type="button" class="live-timer figures" onClick={() => onTimer("all")}>
          <span class="live-timer-pan">{shown.length === 0 ? "Timers" : "and"}</span>
          <span class="live-timer-left">
            {rest} {shown.length === 0 ? "running" : "more"}
          </span>
        </button>
      )}
    </>
  );
}

export function leftOf(timer: BenchTimer, now: number): number {
  return timer.seconds - (now - timer.startedAt) / 1000;
}

const doings = { stove: "heating", oven: "in the oven", steam: "steaming", rest: "resting" };

/** "pan A steaming" */
export function timerName(state: State, timer: BenchTimer): string {
  return `pan ${state.bench.pans[timer.pan]?.pan.name ?? timer.pan} ${doings[timer.how]}`;
}

const awakeLines: Readonly<Record<Awake, Line>> = {
  lock: { say: "screen stays on", ill: false },
  film: { say: "screen stays on", ill: false },
  touch: { say: "screen may sleep: touch it", ill: true },
  asleep: { say: "screen may sleep", ill: true },
};

function Health({ state, awake }: { state: State; awake: Awake }) {
  const link = useLink();
  const now = useNow(link);
  const { confirmed } = link;
  // What was known before the server went out of reach may be wrong by now.
  const presence = link.connection === "on" ? link.presence : null;
  const seq = confirmed?.seq ?? state.seq;
  const changed = useRef({ seq, at: now });
  if (changed.current.seq !== seq) changed.current = { seq, at: now };
  const lines = [
    overlayHealth(presence, state.session, seq, changed.current.at, now),
    recordHealth(link),
    viewers(presence),
    awakeLines[awake],
  ];
  const broadcast = broadcastHealth(presence);
  if (broadcast) lines.push(broadcast);
  const others = otherTablets(presence);
  if (others) lines[2] = { say: `${lines[2]?.say}, ${others.say}`, ill: false };
  return (
    <ul class="live-health" aria-label="How the house is">
      {lines.map(({ say, ill }, index) => (
        <li key={index} data-ill={ill}>
          <span>{say}</span>
        </li>
      ))}
    </ul>
  );
}

/** Keeps the screen's title at what is happening, for whoever has several pages open. */
export function useTitle(title: string): void {
  useEffect(() => {
    document.title = title;
  }, [title]);
}
