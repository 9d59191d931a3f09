import type { EventEmitter } from "node:events";
import type { Server as HttpServer } from "node:http";
import { type Namespace, Server, type Socket } from "socket.io";
import * as z from "zod";
import type { BroadcastWord } from "../../shared/broadcast/report.ts";
import { complaint, envelopeSchema, idSchema } from "../../shared/session/command.ts";
import type {
  Answer,
  BenchToServer,
  Presence,
  RelayReport,
  ServerToBench,
  ServerToWatch,
  WatchToServer,
} from "../../shared/session/wire.ts";
import { benchSpace, watchSpace } from "../../shared/session/wire.ts";
import type { Sessions } from "../session/sessions.ts";
import { foreign } from "./origin.ts";
import type { Pairing } from "./pairing.ts";
import type { Publisher } from "./publisher.ts";

/** The largest message a client may send, bytes. A command is a few hundred. */
export const maxMessageBytes = 64 * 1024;
/** Messages a client may send within a second before it is cut off. */
const maxPerSecond = 200;
/** A client that has missed more events than this gets the whole state. */
const maxCatchUp = 2000;
/** How the browser inside the broadcasting software names itself. */
const embeddedName = /\bOBS\//;
/** Presence goes out at most this often, ms. */
const presenceMs = 200;

const placeSchema = z.object({ session: idSchema, seq: z.int().nonnegative() });
const watchAuthSchema = z.object({
  page: z.literal("overlay"),
  has: placeSchema.optional(),
});
const benchAuthSchema = z.object({ token: z.string().max(200), has: placeSchema.optional() });

/** What a client's messages come in over, whichever spaces it speaks to. */
type Connection = EventEmitter & { close(discard: boolean): void };
type Place = z.infer<typeof placeSchema>;
type WatchSocket = Socket<WatchToServer, ServerToWatch>;
type BenchSocket = Socket<BenchToServer, ServerToBench>;

export type Live = {
  presence(): Presence;
  /** How many follow, over the follow pages' own line. */
  tellFollowers(followers: number): void;
  /** How the link to the broadcasting software is, for all controllers. */
  tellBroadcast(word: BroadcastWord): void;
  /** How the way to the relay is, for all controllers. */
  tellRelay(report: RelayReport): void;
  /** Shelf or plans were changed: tablets that have an older number fetch them anew. */
  tellPrepared(seq: number): void;
  /**
   * Whether an overlay is connected that the broadcaster opened; where none of those has ever been
   * seen, whether there is any.
   */
  overlayCalledIn(): boolean;
  /** Tablets whose token is no longer good are let go. */
  dropBench(): void;
  close(): Promise<void>;
};

/** The live connections: overlays look on, paired controllers speak. */
export function openSockets(
  http: HttpServer,
  sessions: Sessions,
  publisher: Publisher,
  pairing: Pairing,
  names: readonly string[],
  clock: () => number,
): Live {
  const io = new Server(http, {
    serveClient: false,
    maxHttpBufferSize: maxMessageBytes,
    perMessageDeflate: false,
    // A page has to know within its ten seconds that the line is dead, also when nobody said so.
    pingInterval: 3000,
    pingTimeout: 4000,
    allowRequest: (request, decide) => {
      const problem = foreign(request.headers, names);
      decide(problem?.say ?? null, problem === null);
    },
  });
  const watch: Namespace<WatchToServer, ServerToWatch> = io.of(watchSpace);
  const bench: Namespace<BenchToServer, ServerToBench> = io.of(benchSpace);
  io.engine.on("connection", cutOffFloods);
  // Nothing is said in the space that socket.io opens by itself.
  io.use((_socket, next) => next(new Error("Choose a page.")));

  const presence: Presence = {
    overlays: 0,
    overlaySeq: 0,
    overlaySession: null,
    overlayHeardAt: null,
    followers: 0,
    controllers: 0,
    prepared: 0,
  };
  let embeddedOverlays = 0;
  let seenEmbedded = false;
  let telling: NodeJS.Timeout | null = null;
  const tellPresence = () => {
    telling ??= setTimeout(() => {
      telling = null;
      bench.emit("presence", presence);
    }, presenceMs);
  };
  const shown = new Map<string, Place & { heardAt: number; embedded: boolean }>();
  /**
   * The overlay that is furthest behind speaks for all, for it may be the one on air: a second page
   * in a browser must not hide that. Pages of the broadcasting software go before others.
   */
  const tellShown = () => {
    const all = [...shown.values()];
    const onAir = all.some(({ embedded }) => embedded) ? all.filter((one) => one.embedded) : all;
    const [first] = onAir;
    // The last word of an overlay that is gone stays: it says since when nothing was heard.
    if (!first) return;
    const bench = sessions.onBench()?.session;
    const rank = (one: Place) => (one.session === bench ? one.seq : -1);
    const last = onAir.reduce((a, b) => (rank(b) < rank(a) ? b : a), first);
    presence.overlaySession = last.session;
    presence.overlaySeq = last.seq;
    presence.overlayHeardAt = last.heardAt;
    tellPresence();
  };
  const count = (who: "overlays" | "controllers", by: number) => {
    presence[who] += by;
    tellPresence();
  };

  sessions.listen((happening) => {
    const now = clock();
    if (happening.kind === "bench") {
      watch.emit("snapshot", publisher.begin(happening.state));
      bench.emit("state", { state: happening.state, now });
      return;
    }
    const { session, events, state } = happening;
    if (publisher.isOn(session)) watch.emit("patch", publisher.follow(state));
    bench.emit("events", { session, events, now });
  });

  const sendView = (socket: WatchSocket, has: Place | undefined) => {
    const patches = has ? publisher.since(has.session, has.seq) : null;
    if (patches) {
      for (const patch of patches) socket.emit("patch", { ...patch, now: clock() });
      return;
    }
    const snapshot = publisher.snapshot();
    if (snapshot) socket.emit("snapshot", snapshot);
  };

  watch.on("connection", (socket) => {
    const auth = watchAuthSchema.safeParse(socket.handshake.auth);
    if (!auth.success) {
      socket.disconnect(true);
      return;
    }
    const embedded = embeddedName.test(socket.handshake.headers["user-agent"] ?? "");
    if (embedded) seenEmbedded = true;
    count("overlays", 1);
    if (embedded) embeddedOverlays += 1;
    socket.on("disconnect", () => {
      count("overlays", -1);
      if (shown.delete(socket.id)) tellShown();
      if (embedded) embeddedOverlays -= 1;
    });
    socket.on("resync", () => sendView(socket, undefined));
    socket.on("showing", (message) => {
      const place = placeSchema.safeParse(message);
      if (!place.success) return;
      shown.set(socket.id, { ...place.data, heardAt: clock(), embedded });
      tellShown();
    });
    sendView(socket, auth.data.has);
  });

  const sendState = (socket: BenchSocket, has: Place | undefined) => {
    const state = sessions.onBench();
    if (!state) return;
    const now = clock();
    if (has?.session === state.session && has.seq <= state.seq) {
      if (state.seq - has.seq <= maxCatchUp) {
        const events = sessions.eventsAfter(state.session, has.seq);
        socket.emit("events", { session: state.session, events, now });
        return;
      }
    }
    socket.emit("state", { state, now });
  };

  bench.use((socket, next) => {
    const auth = benchAuthSchema.safeParse(socket.handshake.auth);
    if (auth.success && pairing.knows(auth.data.token)) {
      next();
      return;
    }
    const refusal = new Error("This tablet is not paired. Pair it with the code on the terminal.");
    next(Object.assign(refusal, { data: { code: "token" } }));
  });
  bench.on("connection", (socket) => {
    count("controllers", 1);
    socket.on("disconnect", () => count("controllers", -1));
    socket.on("clock", (answer) => {
      if (typeof answer === "function") answer(clock());
    });
    socket.on("catchUp", (has) => {
      const place = placeSchema.safeParse(has);
      sendState(socket, place.success ? place.data : undefined);
    });
    socket.on("command", (message, answer) => {
      const reply = typeof answer === "function" ? answer : () => {};
      const envelope = envelopeSchema.safeParse(message);
      reply(
        envelope.success
          ? sessions.handle(envelope.data)
          : ({ ok: false, code: "unreadable", say: complaint(envelope.error) } satisfies Answer),
      );
    });
    const auth = benchAuthSchema.safeParse(socket.handshake.auth);
    sendState(socket, auth.success ? auth.data.has : undefined);
    socket.emit("presence", presence);
  });

  return {
    presence: () => presence,
    tellFollowers: (followers) => {
      presence.followers = followers;
      tellPresence();
    },
    tellBroadcast: (word) => {
      presence.broadcast = word;
      tellPresence();
    },
    tellRelay: (report) => {
      presence.relay = report;
      tellPresence();
    },
    tellPrepared: (seq) => {
      presence.prepared = seq;
      tellPresence();
    },
    overlayCalledIn: () => (seenEmbedded ? embeddedOverlays : presence.overlays) > 0,
    dropBench: () => bench.disconnectSockets(true),
    close: async () => {
      if (telling) clearTimeout(telling);
      await io.close();
    },
  };
}

/** Cuts off a client that floods; one that speaks as our pages do never comes near. */
function cutOffFloods(connection: Connection): void {
  let second = 0;
  let said = 0;
  connection.on("packet", () => {
    const now = Math.floor(performance.now() / 1000);
    if (now !== second) {
      second = now;
      said = 0;
    }
    said += 1;
    if (said > maxPerSecond) connection.close(true);
  });
}
