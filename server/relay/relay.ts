import { createServer, type IncomingMessage, type Server } from "node:http";
import type { Duplex } from "node:stream";
import { type RelayWord, relayLivePath } from "../../shared/session/wire.ts";
import { makeRelayApp } from "./app.ts";
import { Door, type Inside } from "./door.ts";
import { Followers } from "./followers.ts";
import { hashOf, KeyFile, LineFile, newKey } from "./key.ts";
import { benchSilenceMs, halfOpenMs, linePath, mostFollowers, mostViewBytes } from "./limits.ts";
import { RelayProblem } from "./problem.ts";
import { Alone, type BenchAt, type Common, type Hearing } from "./processes.ts";
import { after, Stage, type Told } from "./stage.ts";
import { openTogether } from "./together.ts";
import { trustedProxies } from "./viewerAddress.ts";

export { RelayProblem } from "./problem.ts";

export type RelaySettings = {
  port: number;
  host: string;
  /** Folder where the key's hash is kept. */
  data: string;
  /** A key chosen by whoever starts the relay. */
  key?: string;
  /** Makes a new key, and the old one is no longer good. */
  freshKey?: boolean;
  /** Address of the Redis that the processes of one relay share. */
  redis?: string;
  /** Proxies on other hosts that say for whom they ask, each an address or a range. */
  proxies?: readonly string[];
  /** Folder of the built pages. */
  pages: string;
  limits?: { followers: number; perAddress: number };
};

export type RunningRelay = {
  port: number;
  /** A key that was made just now, to be said once. */
  newKey: string | null;
  /** Those who follow over this process. */
  followers(): number;
  close(): Promise<void>;
};

/** Those who ask instead of listening are counted for so long after they asked, ms. */
const askedMs = 4_000;

/**
 * Starts the program as a relay: one bench dials in, many follow.
 *
 * @throws RelayProblem with one sentence where it cannot listen, or its Redis does not answer
 */
export async function startRelay(
  settings: RelaySettings,
  clock: () => number = Date.now,
): Promise<RunningRelay> {
  const trusted = trustedProxies(settings.proxies ?? []);
  if (!trusted) throw new RelayProblem("A proxy is named by its address or by a range of them.");
  const stage = new Stage(mostViewBytes);
  let benchAheadMs = 0;
  let benchThere = false;
  let benchHeardAt = 0;
  const clockWord = () =>
    JSON.stringify({
      kind: "clock",
      now: clock() + benchAheadMs,
      bench: benchThere,
    } satisfies RelayWord);
  const followers = new Followers(stage, clock, clockWord, settings.limits, trusted);
  const asked = new Asked(clock);
  let followersElsewhere = 0;

  const send = (told: Told): "old" | "gap" | "sent" => {
    const frame = stage.take(told);
    if (typeof frame === "string") return frame;
    followers.send(frame);
    return "sent";
  };
  const heardBench = ({ now, there }: BenchAt) => {
    if (Number.isFinite(now)) benchAheadMs = now - clock();
    if (there) benchHeardAt = performance.now();
    if (benchThere === there) return;
    benchThere = there;
    followers.tellClock();
  };
  const catchUp = async () => {
    const latest = await common.latest();
    if (latest) send(latest);
  };
  const hearing: Hearing = {
    told: (told) => {
      if (send(told) === "gap") catchUp().catch(() => {});
    },
    behind: (place) => after(place, stage.place()),
    caughtUp: (view) => void send(view),
    lineTaken: (line) => door.taken(line),
    bench: heardBench,
    keyChanged: () => door.dismiss(),
  };
  const common: Common = settings.redis
    ? await openTogether(settings.redis, clock, hearing)
    : new Alone(new KeyFile(settings.data), new LineFile(settings.data), clock);

  const inside: Inside = {
    clock,
    take: (word) => {
      const shown = stage.shown();
      // Within one line nothing older follows, and what was told already is not told again.
      const again = shown?.session === word.session && word.seq <= shown.seq;
      if (again && shown.line === word.line) return true;
      const outcome = send(word);
      const view = stage.shown();
      if (outcome === "sent" && view) common.tell(word, view);
      return outcome !== "gap";
    },
    has: () => {
      const shown = stage.shown();
      return shown && { session: shown.session, seq: shown.seq };
    },
    catchUp,
    benchIs: (word) => {
      heardBench(word);
      common.tellBench({ now: clock() + benchAheadMs, there: word.there });
    },
    followers: () => followersHere() + followersElsewhere,
  };
  const followersHere = () => followers.count + asked.count();
  const door = new Door(common, inside);
  const counting = setInterval(() => {
    followersElsewhere = common.count(followersHere());
    // The process that had the bench may have ended without a word.
    if (benchThere && performance.now() - benchHeardAt > benchSilenceMs) {
      heardBench({ now: Number.NaN, there: false });
    }
  }, 1_000);
  counting.unref();

  try {
    const made = await settleKey(common, settings);
    const app = makeRelayApp({
      stage,
      common,
      pages: settings.pages,
      clock: () => clock() + benchAheadMs,
      benchThere: () => benchThere,
      onAsked: () => asked.add(),
      onNewKey: () => door.dismiss(),
    });
    const http = createServer({ connectionsCheckingInterval: 1_000 }, app);
    http.headersTimeout = halfOpenMs;
    // Also of one that never says a word; who listens has no such limit any more.
    http.timeout = halfOpenMs;
    http.requestTimeout = 60_000;
    http.keepAliveTimeout = halfOpenMs;
    http.maxConnections = 2 * (settings.limits?.followers ?? mostFollowers);
    http.on("upgrade", (request: IncomingMessage, socket: Duplex, head: Buffer) => {
      const path = (request.url ?? "").split("?")[0];
      if (path === relayLivePath) followers.welcome(request, socket, head);
      else if (path === linePath) void door.welcome(request, socket, head);
      else socket.end("HTTP/1.1 404 Not Found\r\nConnection: close\r\n\r\n");
    });
    const port = await listen(http, settings);
    return {
      port,
      newKey: made,
      followers: () => followers.count,
      close: async () => {
        clearInterval(counting);
        door.close();
        followers.close();
        http.closeAllConnections();
        await new Promise((resolve) => http.close(resolve));
        await common.close();
      },
    };
  } catch (error) {
    clearInterval(counting);
    followers.close();
    await common.close();
    throw error;
  }
}

/**
 * Sees to it that there is a key: the one given now, the one in force, or a new one, which is
 * returned to be said once. A given key that was revoked since stays revoked.
 */
async function settleKey(common: Common, { key, freshKey }: RelaySettings): Promise<string | null> {
  const kept = await common.key();
  const given = key === undefined ? null : hashOf(key);
  if (given !== null && !freshKey) {
    if (kept?.given !== given) await common.setKey({ hash: given, given });
    return null;
  }
  if (kept && !freshKey) return null;
  const made = newKey();
  await common.setKey({ hash: hashOf(made), given });
  return made;
}

/** How many asked lately, without knowing who. */
class Asked {
  private window = 0;
  private now = 0;
  private before = 0;

  constructor(private readonly clock: () => number) {}

  add(): void {
    this.turn();
    this.now += 1;
  }

  count(): number {
    this.turn();
    return Math.max(this.now, this.before);
  }

  private turn(): void {
    const window = Math.floor(this.clock() / askedMs);
    if (window === this.window) return;
    this.before = window === this.window + 1 ? this.now : 0;
    this.now = 0;
    this.window = window;
  }
}

function listen(http: Server, { port, host }: RelaySettings): Promise<number> {
  return new Promise((resolve, reject) => {
    http.once("error", (error: NodeJS.ErrnoException) => {
      reject(
        new RelayProblem(
          `The relay cannot listen on ${host} port ${port} (${error.code}). Choose another with --host or --port.`,
        ),
      );
    });
    http.listen({ port, host, backlog: 4096 }, () => {
      const address = http.address();
      resolve(typeof address === "object" && address ? address.port : port);
    });
  });
}
