import { mkdtempSync, rmSync } from "node:fs";
import type { AddressInfo } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, expect, it, vi } from "vitest";
import { WebSocket, WebSocketServer } from "ws";
import { lineVersion } from "../../server/relay/limits.ts";
import { RelayLine } from "../../server/relay/line.ts";
import type { BenchWord } from "../../shared/session/wire.ts";
import { until } from "../server/house.ts";

const key = "a-key-chosen-for-the-tests";
const megabyte = 1024 * 1024;
let data: string;
let relay: WebSocketServer;

beforeEach(async () => {
  data = mkdtempSync(join(tmpdir(), "pourside-line-"));
  relay = new WebSocketServer({ port: 0, host: "127.0.0.1" });
  await new Promise((resolve) => relay.once("listening", resolve));
});
afterEach(() => {
  vi.restoreAllMocks();
  for (const client of relay.clients) client.terminate();
  relay.close();
  rmSync(data, { recursive: true });
});

it("holds little for a relay that does not read, and brings it right once it does", async () => {
  const words: BenchWord[] = Array.from({ length: 64 }, (_none, at) => ({
    kind: "patch",
    session: "a",
    from: at,
    seq: at + 1,
    at: 0,
    patch: { text: "x".repeat(megabyte / 4) },
  }));
  let heard = 0;
  let resume = () => {};
  let beating: NodeJS.Timeout | undefined;
  relay.on("connection", (socket) => {
    socket.once("message", () => {
      socket.send(JSON.stringify({ kind: "welcome", version: lineVersion, has: null }));
      beating = setInterval(() => socket.send('{"kind":"followers","count":0}'), 1_000);
      socket.on("message", (text) => {
        if (JSON.parse(String(text)).kind === "patch") heard += 1;
      });
      socket.pause();
      resume = () => socket.resume();
    });
  });
  const sent = vi.spyOn(WebSocket.prototype, "send");
  const line = new RelayLine({
    data,
    clock: Date.now,
    publisher: {
      listen: () => {},
      wordsAfter: (has) => words.slice(has?.seq ?? 0),
    },
  });
  expect(line.settle(`http://127.0.0.1:${(relay.address() as AddressInfo).port}`, key)).toBeNull();
  await until(() => line.report().state === "on", "the line to be on");
  const bench = sent.mock.contexts[0] as WebSocket;
  await until(() => bench.bufferedAmount > megabyte / 2, "the line to be full");
  // 16 MiB are there to be sent; what lies between the two ends is the system's own.
  for (const end = performance.now() + 500; performance.now() < end; ) {
    expect(bench.bufferedAmount).toBeLessThan(megabyte);
    await new Promise((resolve) => setTimeout(resolve, 10));
  }
  expect(heard).toBeLessThan(words.length);
  resume();
  await until(() => heard === words.length, "all of it to arrive");
  clearInterval(beating);
  line.close();
}, 30_000);
