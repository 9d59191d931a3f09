import type { BroadcastWord } from "../broadcast/report.ts";
import type { Envelope } from "./command.ts";
import type { RecordedEvent } from "./event.ts";
import type { Json } from "./mergePatch.ts";
import type { Id } from "./setup.ts";
import type { State } from "./state.ts";
import type { PublicView } from "./views/publicView.ts";

/** Namespaces of the live connection: one for overlays, one for the bench. */
export const watchSpace = "/watch";
export const benchSpace = "/bench";

/** A whole view. `now` is the server's clock in ms, for timers on a device whose clock is off. */
export type Snapshot = { session: Id; seq: number; now: number; view: PublicView };
/** What turns the view after event `from` into the view after event `seq`. */
export type Patch = { session: Id; from: number; seq: number; now: number; patch: Json };

/** What an overlay says when it connects; `has` is the view it holds already. */
export type WatchAuth = { page: "overlay"; has?: { session: Id; seq: number } };

export type ServerToWatch = {
  snapshot: (snapshot: Snapshot) => void;
  patch: (patch: Patch) => void;
};
export type WatchToServer = {
  /** Asks for a snapshot, after a patch that does not fit. */
  resync: () => void;
  /** The broadcast page has painted the view after this event. */
  showing: (shown: { session: Id; seq: number }) => void;
};

/**
 * Where something stands in the order of all that a relay ever told, whichever of its processes
 * told it: a line is one connection of the bench, a turn one change that came over it.
 */
export type RelayPlace = { line: number; turn: number };
/**
 * A view, or what turns the view after `from` into another, as the bench tells its relay; `at` is
 * when it came about, ms on the bench's clock.
 */
export type BenchWord =
  | { kind: "snapshot"; session: Id; seq: number; at: number; view: PublicView }
  | { kind: "patch"; session: Id; from: number; seq: number; at: number; patch: Json };
export type RelayView = RelayPlace & Extract<BenchWord, { kind: "snapshot" }>;
/** What a relay tells those who follow; `now` is the bench's clock, ms. */
export type RelayWord = (RelayPlace & BenchWord) | { kind: "clock"; now: number; bench: boolean };
/** Where a follow page listens, at a bench or its relay, and how it asks where that is blocked. */
export const relayLivePath = "/live";
export const relayViewPath = "/api/view";
/** Headers of the asked view: the bench's clock, ms, and whether the bench is connected (1 or 0). */
export const relayClockHeader = "Pourside-Clock";
export const relayBenchHeader = "Pourside-Bench";

/** How the way to the relay is, as a paired controller sees it. */
export type RelayReport = {
  state: "off" | "dialling" | "on" | "refused";
  /** What to know or to change; `null` where there is nothing to say. */
  say: string | null;
  /** Those who follow beyond the room. */
  followers: number;
  /** The relay's own address; `null` where there is none. */
  address: string | null;
};

/** What a command comes to. The answer to a repeated id is the first one. */
export type Answer =
  | { ok: true; session: Id; seq: number }
  | { ok: false; code: string; say: string };

/** How the house is: what the controller's health line says. */
export type Presence = {
  /** Broadcast pages that are connected. */
  overlays: number;
  /** The last event that a broadcast page has painted, and when it last said so (server's ms). */
  overlaySeq: number;
  overlaySession: Id | null;
  overlayHeardAt: number | null;
  /** Follow pages on the bench's own line. */
  followers: number;
  controllers: number;
  /** The last change of shelf and plans, by its number. */
  prepared: number;
  /** The link to the broadcasting software; absent until it has been heard of. */
  broadcast?: BroadcastWord;
  /** The way to the relay, with those who follow over it; absent where none was ever set. */
  relay?: RelayReport;
};

export type SessionLine = {
  id: Id;
  name: string;
  phase: State["phase"];
  openedAt: number;
  lastAt: number;
  onBench: boolean;
};

export type BenchAuth = { token: string; has?: { session: Id; seq: number } };

export type ServerToBench = {
  /** A whole session: the first time, after a long absence, or when another came onto the bench. */
  state: (message: { state: State; now: number }) => void;
  /** Events that follow the last one sent. */
  events: (message: { session: Id; events: readonly RecordedEvent[]; now: number }) => void;
  presence: (presence: Presence) => void;
};
export type BenchToServer = {
  command: (envelope: Envelope, answer: (answer: Answer) => void) => void;
  /** The server's clock, ms, to correct the tablet's by. */
  clock: (answer: (now: number) => void) => void;
  catchUp: (has: { session: Id; seq: number }) => void;
};
