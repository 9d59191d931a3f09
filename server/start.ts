import { existsSync } from "node:fs";
import { createServer, type IncomingMessage, type Server } from "node:http";
import type { Socket } from "node:net";
import { dirname, join } from "node:path";
import type { Duplex } from "node:stream";
import { fileURLToPath } from "node:url";
import { openSheet } from "../shared/session/sheet.ts";
import { BrokenRecord, type State } from "../shared/session/state.ts";
import { relayLivePath } from "../shared/session/wire.ts";
import { Broadcast } from "./broadcast/broadcast.ts";
import { clockKept } from "./broadcast/clock.ts";
import { type Addresses, addressesOf, base, beyond } from "./http/addresses.ts";
import { makeApp } from "./http/app.ts";
import { followLine } from "./live/followLine.ts";
import { Pairing } from "./live/pairing.ts";
import { Publisher } from "./live/publisher.ts";
import { openSockets } from "./live/sockets.ts";
import { demonstrationOf, demonstrationPlan } from "./prepare/demonstration.ts";
import { Preparations } from "./prepare/preparations.ts";
import { photographsIn } from "./record/photographs.ts";
import { openRecord, RecordProblem, type SessionRecord } from "./record/record.ts";
import { RelayLine } from "./relay/line.ts";
import demonstration from "./session/harbour-at-dusk.json" with { type: "json" };
import { Sessions } from "./session/sessions.ts";
import type { Settings } from "./settings.ts";

export type { Settings } from "./settings.ts";

/** How long those who are connected have for taking leave, ms. */
const farewellMs = 300;

/** Why Pourside did not start, in one sentence. */
export class StartProblem extends Error {}

export type Running = {
  port: number;
  /** `http://127.0.0.1:PORT`, or the host that was set. */
  address: string;
  addresses(): Addresses;
  /** The pairing code in force. */
  pairingCode(): string;
  newPairingCode(): string;
  record: SessionRecord;
  /** The way to the relay. */
  relay: RelayLine;
  close(): Promise<void>;
};

/** The project's folder: the nearest one above this file with a package.json. */
export const home = homeOf(dirname(fileURLToPath(import.meta.url)));

function homeOf(folder: string): string {
  if (existsSync(join(folder, "package.json"))) return folder;
  const above = dirname(folder);
  if (above === folder) throw new StartProblem("Pourside's own folder cannot be found.");
  return homeOf(above);
}

/**
 * Opens the record, serves the pages and listens. On a new record the demonstration session is
 * opened, ready to go live.
 *
 * @throws RecordProblem or StartProblem, each with one sentence; nothing was overwritten
 */
export async function start(
  settings: Settings,
  onNewCode?: (code: string) => void,
): Promise<Running> {
  const http = createServer();
  // Before the record is opened, so that a start that cannot listen writes nothing.
  const port = await listen(http, settings);
  try {
    // Waits for nothing, so that no request comes before there is someone to answer it.
    return serve(http, port, settings, onNewCode);
  } catch (error) {
    http.close();
    throw error;
  }
}

function serve(
  http: Server,
  port: number,
  settings: Settings,
  onNewCode?: (code: string) => void,
): Running {
  const clock = Date.now;
  const record = openRecord(settings.data);
  try {
    const sessions = new Sessions(record, clock);
    const publisher = new Publisher(clock);
    const preparations = new Preparations(record, sessions, clock);
    const pairing = new Pairing(record, clock, onNewCode);
    putSomethingOnBench(sessions, preparations);
    const state = sessions.onBench();
    if (state) beginWith(publisher, state);
    const names = settings.names ?? [];
    const broadcast = new Broadcast({
      data: settings.data,
      record,
      sessions,
      overlayAddress: (local) => {
        const { overlay, follow } = addressesOf(settings.host, port);
        return local ? overlay : (follow[0]?.replace(/follow$/, "overlay") ?? overlay);
      },
      overlayCalledIn: () => live.overlayCalledIn(),
      clock,
    });
    const relay = new RelayLine({
      data: settings.data,
      publisher,
      clock,
      ...(settings.relay ? { given: settings.relay } : {}),
    });
    const line = followLine(publisher, record, clock);
    const addresses = () => beyond(addressesOf(settings.host, port), relay.followAddress());
    const app = makeApp({
      sessions,
      publisher,
      pairing,
      preparations,
      photographs: photographsIn(join(settings.data, "photographs")),
      broadcast,
      stage: line.stage,
      relay,
      names,
      addresses,
      clock,
      pages: join(home, "dist", "pages"),
      waitingFile: join(home, "overlay", "broadcast", "waiting.html"),
      onForget: () => live.dropBench(),
      videoClock: (session) => clockKept(record, session),
      backup: (toFile) => record.backup(toFile),
    });
    http.on("request", app);
    http.on("upgrade", refuseUpgrade);
    const live = openSockets(http, sessions, publisher, pairing, names, clock);
    line.open(http, names, (followers) => live.tellFollowers(followers));
    live.tellPrepared(preparations.seq);
    preparations.listen((seq) => live.tellPrepared(seq));
    broadcast.listen(() => live.tellBroadcast(broadcast.word()));
    broadcast.begin();
    relay.listen(() => live.tellRelay(relay.report()));
    relay.begin();
    const hangUp = hangUpOn(http);
    return {
      port,
      address: base(settings.host === "0.0.0.0" ? "127.0.0.1" : settings.host, port),
      addresses,
      relay,
      pairingCode: () => pairing.code().code,
      newPairingCode: () => pairing.renew().code,
      record,
      close: async () => {
        broadcast.close();
        relay.close();
        line.close();
        const silent = setTimeout(hangUp, farewellMs);
        await live.close();
        clearTimeout(silent);
        record.close();
      },
    };
  } catch (error) {
    record.close();
    if (error instanceof BrokenRecord) throw new RecordProblem("damaged", record.file, error);
    throw error;
  }
}

/** Answers at once who looks for another line here, such as a bench that takes this one for a relay. */
function refuseUpgrade(request: IncomingMessage, socket: Duplex): void {
  const path = (request.url ?? "").split("?")[0] ?? "";
  if (path === relayLivePath || path.startsWith("/socket.io")) return;
  socket.on("error", () => socket.destroy());
  socket.end("HTTP/1.1 404 Not Found\r\nConnection: close\r\n\r\n");
}

/** Keeps account of a server's connections, and returns what ends those that are there by then. */
function hangUpOn(http: Server): () => void {
  const connections = new Set<Socket>();
  http.on("connection", (connection) => {
    connections.add(connection);
    connection.on("close", () => connections.delete(connection));
  });
  return () => {
    for (const connection of connections) connection.destroy();
  };
}

/** A session that can be folded and yet not shown is as damaged as one that cannot be folded. */
function beginWith(publisher: Publisher, state: State): void {
  try {
    publisher.begin(state);
  } catch (error) {
    throw new BrokenRecord(`Session ${state.session} cannot be shown.`, { cause: error });
  }
}

/** A new record begins with the demonstration: on the shelf, as a plan, and on the bench. */
function putSomethingOnBench(sessions: Sessions, preparations: Preparations): void {
  if (sessions.onBench()) return;
  const latest = sessions.latest();
  if (latest !== null) {
    sessions.putOnBench(latest);
    return;
  }
  const opened = openSheet(demonstration);
  if (!opened.ok) throw new StartProblem("The demonstration session cannot be read.");
  const begun = preparations.make(demonstrationOf(opened.setup));
  if (!begun.ok) throw new StartProblem(begun.say);
  sessions.open(opened.setup, demonstrationPlan);
}

function listen(http: Server, { port, host }: Settings): Promise<number> {
  return new Promise((resolve, reject) => {
    http.once("error", (error: NodeJS.ErrnoException) => {
      reject(new StartProblem(whyNotListening(error.code ?? "", port, host)));
    });
    http.listen(port, host, () => {
      const address = http.address();
      resolve(typeof address === "object" && address ? address.port : port);
    });
  });
}

function whyNotListening(code: string, port: number, host: string): string {
  switch (code) {
    case "EADDRINUSE":
      return `Port ${port} is taken by another program, perhaps another Pourside: close that one, or choose another port with --port.`;
    case "EACCES":
      return `Port ${port} may not be used here: choose one above 1023 with --port.`;
    case "EADDRNOTAVAIL":
    case "ENOTFOUND":
      return `This machine has no address ${host}: choose another with --host.`;
    default:
      return `Pourside cannot listen on ${host} port ${port} (${code}).`;
  }
}
