import { io, type Socket } from "socket.io-client";
import { type Json, merge } from "../../shared/session/mergePatch.ts";
import type { PublicView } from "../../shared/session/views/publicView.ts";
import {
  type Patch,
  type ServerToWatch,
  type Snapshot,
  type WatchAuth,
  type WatchToServer,
  watchSpace,
} from "../../shared/session/wire.ts";
import type { Connection, Held } from "./held.ts";

export type { Connection, Held } from "./held.ts";

export type WatchOptions = {
  /** Called with the first view and after every change; what did not change is the same object. */
  onView: (held: Held) => void;
  /** Called when the connection is lost or found again. */
  onState?: (connection: Connection) => void;
};

export type Watch = {
  /** The server's clock, ms since 1970; this device's own until the server was heard. */
  serverNow(): number;
  /** Tells the server which view is painted now. Says nothing before the first view. */
  showing(): void;
  close(): void;
};

/** A phone that slept longer than this may hold a connection that is dead without knowing it. */
const longSilenceMs = 10_000;
const retryMs = 2_000;

/**
 * Follows the session on the bench for as long as the page lives: takes snapshots and patches,
 * asks again when a patch does not fit, and reconnects whatever happens.
 */
export function watch({ onView, onState }: WatchOptions): Watch {
  let held: Held | null = null;
  let clockOffsetMs = 0;
  let heardAt: number | null = null;
  let connected = false;
  let retry: ReturnType<typeof setTimeout> | undefined;

  const auth = (): WatchAuth =>
    held ? { page: "overlay", has: { session: held.session, seq: held.seq } } : { page: "overlay" };
  const socket: Socket<ServerToWatch, WatchToServer> = io(watchSpace, {
    transports: ["websocket", "polling"],
    auth: (give) => give(auth()),
    reconnectionDelay: 300,
    reconnectionDelayMax: retryMs,
  });

  const hear = (now?: number) => {
    heardAt = Date.now();
    if (now !== undefined) clockOffsetMs = now - heardAt;
  };
  const hold = (next: Held) => {
    held = next;
    onView(next);
  };
  const tell = () => onState?.({ connected, heldSince: connected ? null : heardAt });

  socket.on("connect", () => {
    hear();
    connected = true;
    tell();
  });
  socket.on("disconnect", (reason) => {
    connected = false;
    // A line that breaks says so at once; only one that falls silent was lost some time ago.
    if (reason !== "ping timeout") hear();
    tell();
    // The library leaves it at that when it was the server that hung up.
    if (reason === "io server disconnect") again();
  });
  socket.on("connect_error", () => {
    // A refusal, unlike a broken line, is not tried again by the library.
    if (!socket.active) again();
  });
  socket.io.on("ping", () => hear());

  socket.on("snapshot", ({ session, seq, now, view }: Snapshot) => {
    hear(now);
    hold({ session, seq, view });
  });
  socket.on("patch", ({ session, from, seq, now, patch }: Patch) => {
    hear(now);
    if (held?.session !== session || held.seq !== from) {
      // One that was seen already tells nothing new and is no reason to ask.
      if (held?.session !== session || seq > held.seq) socket.emit("resync");
      return;
    }
    hold({
      session,
      seq,
      view: merge(held.view as unknown as Json, patch) as unknown as PublicView,
    });
  });

  function again(): void {
    clearTimeout(retry);
    retry = setTimeout(() => socket.connect(), retryMs);
  }
  const wake = () => {
    if (document.visibilityState === "hidden") return;
    const silent = heardAt !== null && Date.now() - heardAt > longSilenceMs;
    if (socket.connected && silent) socket.disconnect().connect();
    else if (!socket.connected) socket.connect();
  };
  document.addEventListener("visibilitychange", wake);
  window.addEventListener("online", wake);
  window.addEventListener("pageshow", wake);

  return {
    serverNow: () => Date.now() + clockOffsetMs,
    showing() {
      if (held && socket.connected) {
        socket.emit("showing", { session: held.session, seq: held.seq });
      }
    },
    close() {
      clearTimeout(retry);
      document.removeEventListener("visibilitychange", wake);
      window.removeEventListener("online", wake);
      window.removeEventListener("pageshow", wake);
      socket.disconnect();
    },
  };
}
