import { type Json, merge } from "../../shared/session/mergePatch.ts";
import type { PublicView } from "../../shared/session/views/publicView.ts";
import {
  type RelayPlace,
  type RelayView,
  type RelayWord,
  relayBenchHeader,
  relayClockHeader,
  relayLivePath,
  relayViewPath,
} from "../../shared/session/wire.ts";
import type { Connection, Held } from "./held.ts";

export type ListenOptions = {
  /** What the page was served with: only what came after it is asked for. */
  held?: Held;
  /**
   * Called after every change; what did not change is the same object.
   * @param ageMs how long ago it came about at the bench; never too long, for a word was on its way
   */
  onView: (held: Held, ageMs: number) => void;
  /** Called when the connection is lost or found again. */
  onState?: (connection: Connection) => void;
};

export type Listening = {
  /** The bench's clock, ms since 1970; this device's own until the bench was heard. */
  serverNow(): number;
  close(): void;
};

/** Bench and relay say something every 3 s; a line that is silent for so long is dead, ms. */
const silentMs = 7_000;
const retryMs = 1_000;
const mostRetryMs = 20_000;
/** A line that is not open by then is asked around, ms. */
const openMs = 3_000;
const askMs = 2_500;

/**
 * Follows the session for as long as the page lives, at the bench or over a relay, which speak the
 * same. It listens; where listening is blocked it asks, and goes on trying to listen. Whichever way
 * a view comes, and from whichever process of a relay, an older one is never shown after a newer one.
 */
export function listen({ held: served, onView, onState }: ListenOptions): Listening {
  let held: Held | null = served ?? null;
  let place: RelayPlace = { line: 0, turn: 0 };
  let clockOffsetMs = 0;
  let heardAt: number | null = null;
  let benchHeardAt: number | null = null;
  let state: Connection = { connected: false, heldSince: null };
  let socket: WebSocket | null = null;
  let failures = 0;
  let afresh = false;
  let closed = false;
  let asking: ReturnType<typeof setTimeout> | undefined;
  let retrying: ReturnType<typeof setTimeout> | undefined;

  const become = (connected: boolean) => {
    const heldSince = connected ? null : benchHeardAt;
    if (state.connected === connected && state.heldSince === heldSince) return;
    state = { connected, heldSince };
    onState?.(state);
  };
  const hear = (now: number, bench: boolean) => {
    heardAt = Date.now();
    clockOffsetMs = now - heardAt;
    if (bench) benchHeardAt = heardAt;
    become(bench);
  };
  const newer = (next: RelayPlace & { session: string; seq: number }) => {
    // The place of the view that the page was served with is not known: there its number tells.
    if (place.line === 0 && held?.session === next.session) return next.seq >= held.seq;
    return next.line > place.line || (next.line === place.line && next.turn > place.turn);
  };
  const hold = (next: RelayPlace & Held & { at: number }) => {
    place = { line: next.line, turn: next.turn };
    const { session, seq, view } = next;
    // What the page was served with is the same view, at a place that it did not know.
    if (held?.session === session && held.seq === seq) return;
    held = { session, seq, view };
    onView(held, Math.max(0, Date.now() + clockOffsetMs - next.at));
  };
  const take = (word: Exclude<RelayWord, { kind: "clock" }>) => {
    if (!newer(word)) return;
    if (word.kind === "snapshot") {
      hold(word);
    } else if (held?.session === word.session && held.seq === word.from) {
      const view = merge(held.view as unknown as Json, word.patch) as unknown as PublicView;
      hold({ ...word, view });
    } else if (held?.session !== word.session || word.seq > held.seq) {
      // Something is missing before this one: the whole view instead.
      afresh = true;
      dial();
    }
  };

  function dial(): void {
    if (closed) return;
    clearTimeout(retrying);
    drop();
    const scheme = location.protocol === "https:" ? "wss" : "ws";
    const has =
      held && !afresh ? `?session=${encodeURIComponent(held.session)}&seq=${held.seq}` : "";
    let line: WebSocket;
    try {
      line = new WebSocket(`${scheme}://${location.host}${relayLivePath}${has}`);
    } catch {
      lost();
      return;
    }
    socket = line;
    afresh = false;
    const late = setTimeout(() => {
      if (socket === line && heardAt === null) ask();
      if (line.readyState === WebSocket.CONNECTING) {
        drop();
        lost();
      }
    }, openMs);
    line.onmessage = ({ data }) => {
      if (socket !== line) return;
      clearTimeout(late);
      failures = 0;
      stopAsking();
      const word = wordOf(data);
      if (word?.kind === "clock") hear(word.now, word.bench);
      else if (word) take(word);
    };
    line.onclose = () => {
      clearTimeout(late);
      if (socket !== line) return;
      socket = null;
      lost();
    };
  }

  function drop(): void {
    const line = socket;
    socket = null;
    if (!line) return;
    line.onmessage = null;
    line.onclose = null;
    line.close();
  }

  function lost(): void {
    if (closed) return;
    failures += 1;
    if (asking === undefined) {
      become(false);
      ask();
    }
    clearTimeout(retrying);
    // Spread, so that thousands do not come back in one moment.
    const wait = Math.min(mostRetryMs, retryMs * 2 ** Math.max(0, failures - 3));
    retrying = setTimeout(dial, wait * (0.5 + Math.random()));
  }

  /** Asks for the view again and again, until the line is open. */
  function ask(): void {
    clearTimeout(asking);
    asking = setTimeout(ask, askMs);
    fetch(relayViewPath)
      .then(async (answer) => {
        if (closed || asking === undefined) return;
        const now = Number(answer.headers.get(relayClockHeader));
        if (now > 0) hear(now, answer.headers.get(relayBenchHeader) === "1");
        if (!answer.ok) return;
        const view: unknown = await answer.json();
        if (isRelayView(view) && newer(view)) hold(view);
      })
      .catch(() => {
        if (!closed && asking !== undefined) become(false);
      });
  }

  function stopAsking(): void {
    clearTimeout(asking);
    asking = undefined;
  }

  const watching = setInterval(() => {
    if (socket?.readyState !== WebSocket.OPEN || heardAt === null) return;
    if (Date.now() - heardAt < silentMs) return;
    become(false);
    dial();
  }, 1_000);
  const wake = () => {
    if (document.visibilityState === "hidden") return;
    const silent = heardAt !== null && Date.now() - heardAt > silentMs;
    if (socket === null || silent) dial();
  };
  document.addEventListener("visibilitychange", wake);
  const parted = () => {
    drop();
    lost();
  };
  window.addEventListener("offline", parted);
  window.addEventListener("online", wake);
  window.addEventListener("pageshow", wake);
  dial();

  return {
    serverNow: () => Date.now() + clockOffsetMs,
    close() {
      closed = true;
      clearInterval(watching);
      clearTimeout(retrying);
      stopAsking();
      document.removeEventListener("visibilitychange", wake);
      window.removeEventListener("offline", parted);
      window.removeEventListener("online", wake);
      window.removeEventListener("pageshow", wake);
      drop();
    },
  };
}

/**
 * Whether an answer is a whole view at its place. After one that has none, nothing would ever count
 * as newer.
 */
function isRelayView(answer: unknown): answer is RelayView {
  const { kind, session, line, turn, seq, at, view } = (answer ?? {}) as Partial<RelayView>;
  return (
    kind === "snapshot" &&
    typeof session === "string" &&
    [line, turn, seq, at].every(Number.isFinite) &&
    typeof view === "object" &&
    view !== null
  );
}

function wordOf(data: unknown): RelayWord | null {
  try {
    return JSON.parse(String(data)) as RelayWord;
  } catch {
    return null;
  }
}
