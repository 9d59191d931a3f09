import { mkdtempSync, rmSync } from "node:fs";
import { createServer } from "node:http";
import type { AddressInfo } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { type WebSocket, WebSocketServer } from "ws";
import { startRelay } from "../../../server/relay/relay.ts";

/** What a host tells: that it listens, or how much memory it takes, bytes. */
export type HostWord = { port: number } | { memory: number };
/** What a host is asked: to say a text to all (bare ws alone), or how much memory it takes. */
export type HostAsked = { say: string } | { measure: true };

const [kind = "", key = ""] = process.argv.slice(2);

// A relay, or bare ws that passes on to everybody what it is told to; each as the only thing in its
// process.
let bareSay: (text: string) => void = () => {};
let port: number;
if (kind === "relay") {
  const data = mkdtempSync(join(tmpdir(), "pourside-followers-"));
  const pages = join(data, "pages");
  const limits = { followers: 20_000, perAddress: 20_000 };
  ({ port } = await startRelay({ port: 0, host: "127.0.0.1", data, pages, key, limits }));
  process.on("exit", () => rmSync(data, { recursive: true, force: true }));
} else {
  const http = createServer();
  const sockets = new WebSocketServer({ server: http, perMessageDeflate: false });
  let last = "";
  sockets.on("connection", (socket: WebSocket) => {
    if (last) socket.send(last);
  });
  bareSay = (text) => {
    last = text;
    for (const socket of sockets.clients) socket.send(text);
  };
  await new Promise<void>((resolve) => {
    http.listen({ port: 0, host: "127.0.0.1", backlog: 4096 }, resolve);
  });
  ({ port } = http.address() as AddressInfo);
}
process.send?.({ port } satisfies HostWord);
process.on("message", (asked: HostAsked) => {
  if ("say" in asked) bareSay(asked.say);
  else {
    for (let n = 0; n < 3; n++) globalThis.gc?.();
    process.send?.({ memory: process.memoryUsage().rss } satisfies HostWord);
  }
});
process.once("disconnect", () => process.exit(0));
