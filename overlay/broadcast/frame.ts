import type { Card } from "../../shared/recap/card.ts";
import {
  type Main,
  overlayScene,
  type Scene,
  type TimerLook,
} from "../../shared/session/views/overlayScene.ts";
import type { PublicView } from "../../shared/session/views/publicView.ts";
import type { Connection } from "../live/watch.ts";
import { cardsOf } from "./cards.ts";
import { dwell, noStrips, type Strips } from "./dwell.ts";
import { type Steady, steady } from "./steady.ts";

/** After how long without a word from the server a view is marked as held, ms. */
export const heldMs = 10_000;

type Timers = { timers: readonly TimerLook[]; moreTimers: number };

/** The recap card: how high it stands, which leaf of it is up, and of how many. */
export type RecapLook = Extract<Main, { kind: "recap" }> & {
  height: number;
  leaf: number;
  leaves: number;
};
export type MainLook = Exclude<Main, { kind: "recap" }> | RecapLook;

/** All that is on screen, and what the next frame has to know of this one. */
export type Frame = {
  main: Steady<MainLook>;
  timers: Steady<Timers>;
  /** The address that viewers are shown as a QR code; not drawn above a card. */
  code: Steady<string | null>;
  strips: Strips;
  held: string | null;
  /** True while main panel or code still rest in an earlier view than the one that was asked for. */
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
const timersBesideCode = 2;
/** Time to read one line of the recap card, and the least that a leaf of it stays, ms. */
const recapLineMs = 1_200;
const recapLeastMs = 9_000;

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
  const beside = overlayScene(view, now, { since: now, tallyRoom: 1 });
  const wished = view.overlay.view === "hidden" ? null : (view.overlay.code ?? null);
  const code = steady(before?.code ?? null, wished ?? "", wished, running);
  const look = code.look === null || isTall(beside.main) ? beside : besideCode(beside);
  const timers = steady(
    before?.timers ?? null,
    timersBox(look),
    { timers: look.timers, moreTimers: look.moreTimers },
    running,
  );
  const since = beside.main.kind === before?.main.look.kind ? before.since : now;
  const room = roomFor(strips, timers.look, held !== null);
  const scene = overlayScene(view, now, { since, tallyRoom: room.tallyRoom });
  const asked = leafed(scene.main, room.height, now - since);
  const main = steady(before?.main ?? null, boxOf(asked), asked, running);
  const behind = main.look !== asked || code.look !== wished;
  return { main, timers, code, strips, held, behind, since };
}

/** Cards take the height that the code would stand in. */
export function isTall({ kind }: { kind: Main["kind"] }): boolean {
  return kind === "tally" || kind === "recap";
}

/** Beside the code there is room for fewer timers: the first to end stay, the others are counted. */
function besideCode(scene: Scene): Pick<Scene, "timers" | "moreTimers"> {
  const all = scene.timers.length + scene.moreTimers;
  const timers = scene.timers.slice(0, all > timersBesideCode ? 1 : timersBesideCode);
  return { timers, moreTimers: all - timers.length };
}

/** The leaf of the recap card whose turn it is, each up as long as its lines take to read. */
function leafed(main: Main, height: number, elapsedMs: number): MainLook {
  if (main.kind !== "recap") return main;
  const times = cardsOf(main.recap, height).map(readingMs);
  const round = times.reduce((sum, ms) => sum + ms, 0);
  let left = Math.max(0, elapsedMs) % round;
  let leaf = 1;
  for (const ms of times) {
    if (left < ms) break;
    left -= ms;
    leaf += 1;
  }
  return { ...main, height, leaf, leaves: times.length };
}

function readingMs({ items }: Card): number {
  const lines = items.filter((item) => item.kind === "strip" || item.kind === "hank").length;
  return Math.max(recapLeastMs, lines * recapLineMs);
}

/** What fits under what else stands over the video: lots of a tally, and px of a recap card. */
function roomFor({ shown }: Strips, { timers }: Timers, held: boolean) {
  const left =
    (shown.length > 0 ? shown.length * cautionRow + cautionEnd + gap : 0) +
    (held ? heldRow + gap : 0);
  const top = timers.length > 0 ? timerRow + gap : 0;
  // One timer stands at the right, where cautions do not reach; more stand above them.
  const taken = timers.length > 1 ? left + top : Math.max(left, top);
  const high = safe - taken - card.head - card.foot;
  return {
    tallyRoom: Math.min(9, Math.max(1, Math.floor(high / tallyRow))),
    height: safe - taken,
  };
}

function boxOf(main: MainLook): string {
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

function timersBox({ timers, moreTimers }: Pick<Scene, "timers" | "moreTimers">): string {
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
