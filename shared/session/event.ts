import type { Act, StepAmount } from "./act.ts";
import type { Id, Setup } from "./setup.ts";

/** What the main panel of the broadcast page shows: `auto` follows the session. */
export type OverlayView = "auto" | "waiting" | "tally" | "recap" | "hidden";

/** Parts of the broadcast page that may be hidden. Cautions are not among them. */
export type OverlayParts = { depth: boolean; rule: boolean; timers: boolean; count: boolean };

/** What the record holds: facts, in order, never changed. */
export type SessionEvent =
  /**
   * `plan`: the plan that it was opened from, where there is one. `zone`: where the bench stands, as
   * the tz database names it, "Europe/Lisbon".
   */
  | { type: "opened"; setup: Setup; plan?: Id; zone?: string }
  /** The plan was changed after the session was opened. */
  | { type: "replanned"; setup: Setup }
  | { type: "wentLive" }
  | { type: "closed" }
  | { type: "reopened" }
  | { type: "chosen"; step: Id }
  | { type: "adjusted"; step: Id; amount: StepAmount }
  | { type: "acted"; act: Act; advances: boolean }
  | { type: "undone"; act: number }
  | { type: "shown"; view: OverlayView; parts: OverlayParts }
  /** Viewers are shown this address as a QR code; `null` for none. */
  | { type: "codeShown"; address: string | null }
  /** Viewers' phones are held so many seconds behind the bench, as the stream is; 0 to 180. */
  | { type: "heldBack"; seconds: number };

/** An event with its place in the session and both clocks (ms since 1970, server's clock). */
export type RecordedEvent = {
  seq: number;
  /** The moment of the tap, corrected for the tablet's clock. */
  at: number;
  /** The moment the server wrote it. */
  serverAt: number;
  event: SessionEvent;
};
