import { createServer, type Server } from "node:http";
import type { AddressInfo } from "node:net";
import { afterEach, beforeEach, expect, it } from "vitest";
import { WebSocket } from "ws";
import { Door } from "../../server/relay/door.ts";
import { hashOf, type KeptKey } from "../../server/relay/key.ts";
import { halfOpenMs, lineVersion } from "../../server/relay/limits.ts";
import { Alone, type BenchAt } from "../../server/relay/processes.ts";
import { until } from "../server/house.ts";

const key = "a-key-chosen-for-the-tests";
let http: Server;
let common: Alone;
let door: Door;
let bench: WebSocket;
let told: BenchAt[];
let closedWith: number | null;

beforeEach(async () => {
  let kept: KeptKey = { hash: hashOf(key), given: null };
  let line = 0;
  common = new Alone(
    {
      read: () => kept,
      keep: (next) => {
        kept = next;
      },
    },
    {
      read: () => line,
      keep: (next) => {
        line = next;
      },
    },
    Date.now,
  );
  told = [];
  closedWith = null;
  door = new Door(common, {
    clock: Date.now,
    take: () => true,
    has: () => null,
    catchUp: async () => {},
    benchIs: (word) => told.push(word),
    followers: () => 0,
  });
  http = createServer();
  http.on("upgrade", (request, socket, head) => void door.welcome(request, socket, head));
  await new Promise<void>((resolve) => http.listen(0, "127.0.0.1", resolve));
  bench = new WebSocket(`ws://127.0.0.1:${(http.address() as AddressInfo).port}/line`, {
    headers: { Authorization: `Bearer ${key}` },
  });
  bench.on("close", (code) => {
    closedWith = code;
  });
  await new Promise((resolve) => bench.once("open", resolve));
  const now = Date.now();
  bench.send(JSON.stringify({ kind: "hello", version: lineVersion, bench: "bench", now }));
  await until(() => told.length > 0, "the bench to be there");
  expect(told).toEqual([{ now, there: true }]);
});
afterEach(() => {
  bench.terminate();
  door.close();
  http.close();
});

it("ends every line when it closes, also of one who has said nothing yet or is just coming in", async () => {
  const { port } = http.address() as AddressInfo;
  const headers = { Authorization: `Bearer ${key}` };
  const from = performance.now();
  const silent = new WebSocket(`ws://127.0.0.1:${port}/line`, { headers });
  await new Promise((resolve) => silent.once("open", resolve));
  const coming = new WebSocket(`ws://127.0.0.1:${port}/line`, { headers });
  await new Promise((resolve) => http.once("upgrade", resolve));
  door.close();
  let opened = false;
  coming.on("open", () => {
    opened = true;
  });
  coming.on("error", () => {});
  const over = () => [bench, silent, coming].every(({ readyState }) => readyState === 3);
  await until(over, "all to be ended");
  // Sooner than those are let go who do not say what they want.
  expect(performance.now() - from).toBeLessThan(halfOpenMs);
  expect(opened).toBe(false);
  const closed = new Promise((resolve) => http.close(resolve));
  expect(await closed).toBeUndefined();
});

it("says that the bench is gone when its key is no longer good", async () => {
  door.dismiss();
  expect(told.at(-1)?.there).toBe(false);
  await until(() => closedWith !== null, "the line to end");
  expect(closedWith).toBe(4003);
  expect(told).toHaveLength(2);
});

it("ends a line that another key has ended, also where no word of it was heard", async () => {
  await common.setKey({ hash: hashOf("another-key-for-the-tests"), given: null });
  await until(() => closedWith !== null, "the line to end");
  expect(closedWith).toBe(4003);
  expect(told.at(-1)?.there).toBe(false);
});

it("ends a line after which another began under the same name", async () => {
  const line = await common.claim("bench");
  await until(() => closedWith !== null, "the line to end");
  expect(await common.hold("bench", line ?? 0)).toBe(true);
});
