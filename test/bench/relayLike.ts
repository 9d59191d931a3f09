import { mkdtempSync, rmSync } from "node:fs";
import { createServer } from "node:http";
import type { AddressInfo } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { WebSocketServer } from "ws";
import { lineVersion } from "../../server/relay/limits.ts";
import { startRelay } from "../../server/relay/relay.ts";

/** Where it stands. */
export type RelayOpened = { address: string };

/** So often a hostile relay asks for the whole view; a bench cuts it off above 50 a second. */
const againsPerSecond = 40;

const [kind = "", key = ""] = process.argv.slice(2);
process.once("disconnect", () => process.exit(0));
const port = kind === "well" ? await well(key) : await standIn(kind);
process.send?.({ address: `http://127.0.0.1:${port}` } satisfies RelayOpened);

async function well(key: string): Promise<number> {
  const data = mkdtempSync(join(tmpdir(), "pourside-bench-"));
  process.on("exit", () => rmSync(data, { recursive: true, force: true }));
  const settings = { port: 0, host: "127.0.0.1", data, pages: join(data, "none"), key };
  return (await startRelay(settings)).port;
}

/**
 * What stands where a relay should be: a slow one lets the bench in and then reads nothing, a
 * hostile one asks for everything again and again, and of one that is gone only the port is known.
 */
async function standIn(kind: string): Promise<number> {
  const http = createServer();
  const sockets = new WebSocketServer({ server: http });
  sockets.on("connection", (socket) => {
    socket.on("error", () => socket.terminate());
    socket.once("message", () => {
      socket.send(JSON.stringify({ kind: "welcome", version: lineVersion, has: null }));
      if (kind === "slow") socket.pause();
      else {
        const asking = setInterval(() => socket.send('{"kind":"again"}'), 1000 / againsPerSecond);
        socket.on("close", () => clearInterval(asking));
      }
    });
  });
  await new Promise<void>((resolve) => http.listen(0, "127.0.0.1", resolve));
  const { port } = http.address() as AddressInfo;
  if (kind === "gone") {
    sockets.close();
    http.closeAllConnections();
    http.close();
  }
  return port;
}
