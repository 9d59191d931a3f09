import {
  type Main,
  overlayScene,
  type Scene,
  type TimerLook,
} from "../../shared/session/views/overlayScene.ts";
import type { PublicView } from "../../shared/session/views/publicView.ts";
import type { Connection } from "../live/watch.ts";
import { dwell, noStrips, type Strips } from "./dwell.ts";
import { type Steady, steady } from "./steady.ts";

/** After how long without a word from the server a view is marked as held, ms. */
export const heldMs = 10_000;

type Timers = { timers: readonly TimerLook[]; moreTimers: number };

/** All that is on screen, and what the next frame has to know of this one. */
export type Frame = {
  main: Steady<Main>;
  timers: Steady<Timers>;
  strips: Strips;
  held: string | null;
  /** True while the main panel still rests in an earlier view than the one that was asked for. */
  behind: boolean;
  /** When the main panel took its present kind, server's ms. */
  since: number;
};

/**
 * Three clocks, ms: the server's, by which timers run; this device's, by which a lost connection
 * is timed; and one that only runs on, whatever either of them is set to.
 */
export type Clocks = { server: number; device: number; running: number };

/** Heights in px of the 1,080 that the page has, as style.css lays them out. */
const safe = 972;
const gap = 12;
const cautionRow = 62;
const cautionEnd = 88;
const heldRow = 66;
const timerRow = 188;
const card = { head: 104, foot: 32 };
const tallyRow = 72;
const recapRow = 182;
const recapColumns = 3;

/**
 * The next frame.
 *
 * @param before what was on screen, or `null`
 */
export function nextFrame(
  before: Frame | null,
  view: PublicView,
  connection: Connection,
  clocks: Clocks,
): Frame {
  const { server: now, device, running } = clocks;
  const strips = dwell(before?.strips ?? noStrips, view.hazards, now);
  const held = view.overlay.view === "hidden" ? null : heldText(connection, device);
  // What stands beside the main panel is known first: it decides how much a card has room for.
  const beside = overlayScene(view, now, { since: now, tallyRoom: 1, recapRoom: 1 });
  const timers = steady(
    before?.timers ?? null,
    timersBox(beside),
    { timers: beside.timers, moreTimers: beside.moreTimers },
    running,
  );
  const since = beside.main.kind === before?.main.look.kind ? before.since : now;
  const room = roomFor(strips, timers.look, held !== null);
  const { main: asked } = overlayScene(view, now, { since, ...room });
  const main = steady(before?.main ?? null, boxOf(asked), asked, running);
  return { main, timers, strips, held, behind: main.look !== asked, since };
}

/** Lots that fit under what else stands over the video. */
function roomFor({ shown }: Strips, { timers }: Timers, held: boolean) {
  const left =
    (shown.length > 0 ? shown.length * cautionRow + cautionEnd + gap : 0) +
    (held ? heldRow + gap : 0);
  const top = timers.length > 0 ? timerRow + gap : 0;
  // One timer stands at the right, where cautions do not reach; more stand above them.
  const taken = timers.length > 1 ? left + top : Math.max(left, top);
  const high = safe - taken - card.head - card.foot;
  const rows = (height: number) => Math.max(1, Math.floor(high / height));
  return {
    tallyRoom: Math.min(9, rows(tallyRow)),
    recapRoom: Math.min(4, rows(recapRow)) * recapColumns,
  };
}

function boxOf(main: Main): string {
  switch (main.kind) {
    case "none":
      return "none";
    case "tally":
    case "recap":
      return main.kind;
    case "waiting":
    case "closed":
      return "third";
    case "pour":
    case "add":
    case "heat":
      return main.pan ? "third and pan" : "third";
  }
}

function timersBox({ timers, moreTimers }: Scene): string {
  return [...timers.map(({ id }) => id), moreTimers].join(" ");
}

/** "Held for 12 s: waiting for the bench", once a lost connection has lasted. */
function heldText({ connected, heldSince }: Connection, deviceNow: number): string | null {
  if (connected || heldSince === null) return null;
  const ms = deviceNow - heldSince;
  if (ms < heldMs) return null;
  const seconds = Math.floor(ms / 1000);
  const time = seconds < 120 ? `${seconds}\u202fs` : `${Math.floor(seconds / 60)}\u202fmin`;
  return `Held for ${time}: waiting for the bench`;
}
