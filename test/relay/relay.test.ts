import { mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { createServer, type Server } from "node:http";
import { type AddressInfo, connect, type Socket } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { brotliDecompressSync, gunzipSync } from "node:zlib";
import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import { WebSocket, WebSocketServer } from "ws";
import { lineVersion, mostFollowerMessages, mostPerAddress } from "../../server/relay/limits.ts";
import { type RelaySettings, type RunningRelay, startRelay } from "../../server/relay/relay.ts";
import { home } from "../../server/start.ts";
import type { Command } from "../../shared/session/command.ts";
import { publicView } from "../../shared/session/views/publicView.ts";
import { pourOf } from "../scenario/desk.ts";
import { type BenchClient, type House, liveHouse, pause, until } from "../server/house.ts";
import { rawRequest } from "../server/wire.ts";
import { Follower } from "./follower.ts";

const key = "a-key-chosen-for-the-tests";
const drop: Command = { type: "pour", pour: pourOf("saltmarsh", 1000) };

let house: House;
let token: string;
let bench: BenchClient;
let data: string;
let relay: RunningRelay;
const followers: Follower[] = [];

beforeEach(async () => {
  data = mkdtempSync(join(tmpdir(), "pourside-relay-"));
  relay = await open({ key });
  ({ house, token, bench } = await liveHouse());
});

afterEach(async () => {
  for (const follower of followers.splice(0)) follower.close();
  await house.close();
  await relay.close();
  rmSync(data, { recursive: true });
});

function open(more: Partial<RelaySettings>, clock?: () => number): Promise<RunningRelay> {
  const pages = join(home, "dist", "pages");
  return startRelay({ port: 0, host: "127.0.0.1", data, pages, ...more }, clock);
}

const address = () => `http://127.0.0.1:${relay.port}`;

function follow(has?: ConstructorParameters<typeof Follower>[1]): Follower {
  const follower = new Follower(address(), has);
  followers.push(follower);
  return follower;
}

const settle = (to = address(), with_ = key) =>
  house.ask("POST", "/api/relay", { token, body: { address: to, key: with_ } });
const report = async () => (await house.ask("GET", "/api/relay", { token })).body;

async function becomes(state: string, ms = 5_000) {
  const end = performance.now() + ms;
  for (;;) {
    const now = await report();
    if (now.state === state) return now;
    if (performance.now() > end) throw new Error(`waited for ${state}: ${JSON.stringify(now)}`);
    await pause(20);
  }
}

async function beyond(): Promise<void> {
  expect((await settle()).status).toBe(200);
  await becomes("on");
}

describe("the way to the relay", () => {
  it("is off, then on, names the relay's follow page first, and is off again", async () => {
    expect(await report()).toEqual({ state: "off", say: null, followers: 0, address: null });
    await beyond();
    expect(await report()).toMatchObject({ state: "on", say: null, address: address() });
    const named = await house.ask("GET", "/api/addresses", { token });
    expect(named.body.follow[0]).toBe(`${address()}/follow`);
    expect(named.body.follow.length).toBeGreaterThan(1);
    follow();
    await until(() => bench.presence?.relay?.followers === 1, "the dyer to see one follower");
    await house.ask("DELETE", "/api/relay", { token });
    expect(await report()).toEqual({ state: "off", say: null, followers: 0, address: null });
    expect((await house.ask("GET", "/api/addresses", { token })).body.follow[0]).not.toContain(
      `:${relay.port}/`,
    );
  });

  it("is asked for and changed by paired tablets alone, and never tells the key", async () => {
    for (const [method, path] of [
      ["GET", "/api/relay"],
      ["POST", "/api/relay"],
      ["POST", "/api/relay/renew"],
      ["DELETE", "/api/relay"],
    ] as const) {
      expect((await house.ask(method, path)).status).toBe(401);
    }
    await beyond();
    expect(JSON.stringify(await report())).not.toContain(key);
    const copy = await house.ask("GET", "/api/record", { token });
    expect(copy.text).not.toContain(key);
    expect(statSync(join(house.data, "relay.json")).mode & 0o777).toBe(0o600);
    expect(statSync(join(data, "relay-key.json")).mode & 0o777).toBe(0o600);
    expect(readFileSync(join(data, "relay-key.json"), "utf8")).not.toContain(key);
  });

  it("is refused in a sentence with a wrong key, at a wrong address and by what is no relay", async () => {
    await settle(address(), "another-key-altogether");
    expect((await becomes("refused")).say).toMatch(/does not know this key/);
    await settle(house.address, key);
    expect((await becomes("refused")).say).toMatch(/no relay of Pourside/);
    for (const wrong of ["", "ftp://pours.example", "pours.example/else", "a b"]) {
      const answer = await settle(wrong);
      expect([wrong, answer.status, answer.body.code]).toEqual([wrong, 409, "address"]);
    }
    for (const wrong of [`${key}\u2026`, `${key}\u200b`, `${key} x`, "too-short", `${key}\u00e9`]) {
      const answer = await settle(address(), wrong);
      expect([wrong, answer.status, answer.body.code]).toEqual([wrong, 409, "key"]);
    }
    expect(await bench.must(drop)).toBeGreaterThan(0);
  });

  it("that was kept and cannot be used is said, and keeps no bench from starting", async () => {
    const file = join(house.data, "relay.json");
    const kept = { address: address(), key, bench: "b" };
    for (const text of [
      "{",
      JSON.stringify({ ...kept, key: `${key}\u200b` }),
      JSON.stringify({ ...kept, address: "nowhere at all" }),
    ]) {
      await house.restart(() => writeFileSync(file, text));
      expect(await report()).toMatchObject({
        state: "refused",
        say: expect.stringMatching(/cannot be used. Paste both again/),
        address: null,
      });
    }
    await beyond();
  });

  it("takes a new key with one tap, and the old one is dead, also at the relay's next start", async () => {
    await beyond();
    const before = JSON.parse(readFileSync(join(house.data, "relay.json"), "utf8")).key;
    expect((await house.ask("POST", "/api/relay/renew", { token })).status).toBe(200);
    await becomes("on");
    const after = JSON.parse(readFileSync(join(house.data, "relay.json"), "utf8")).key;
    expect(after).not.toBe(before);
    const thief = new WebSocket(`ws://127.0.0.1:${relay.port}/line`, {
      headers: { Authorization: `Bearer ${before}` },
    });
    const status = await new Promise((resolve) => {
      thief.on("unexpected-response", (_asked, response) => resolve(response.statusCode));
      thief.on("error", () => {});
    });
    expect(status).toBe(401);
    const { port } = relay;
    await relay.close();
    relay = await open({ key, port });
    await becomes("on", 6_000);
    follow();
    await followers[0]?.sees(bench.known().seq);
  });
});

describe("those who follow beyond the room", () => {
  it("see every change in order, and late ones join with one whole view", async () => {
    await beyond();
    const early = follow();
    await early.sees(bench.known().seq);
    let seq = 0;
    for (let pour = 0; pour < 20; pour++) seq = await bench.must(drop);
    const view = await early.sees(seq);
    await until(() => bench.known().seq === seq, "the tablet");
    expect(view).toEqual(publicView(bench.known()));
    expect(early.told.map(({ kind }) => kind)).toEqual(["snapshot", ...Array(20).fill("patch")]);
    expect(early.inOrder()).toBe(true);
    const late = follow();
    expect(await late.sees(seq)).toEqual(view);
    expect(late.told.map(({ kind }) => kind)).toEqual(["snapshot"]);
    const [before, last] = [early.told.at(-2), early.told.at(-1)];
    const missing = follow({ session: early.session, seq: before?.seq ?? 0, view });
    await missing.sees(seq);
    expect(missing.told).toEqual([last]);
  });

  it("are right again within 5 s of the bench's and of the relay's own restart", async () => {
    await beyond();
    const follower = follow();
    await follower.sees(bench.known().seq);
    await house.restart();
    const again = await house.benchClient(token);
    const seq = await again.must(drop);
    await follower.sees(seq, 5_000);
    expect(follower.inOrder()).toBe(true);
    const { port } = relay;
    const told = follower.told.at(-1);
    await relay.close();
    await until(() => follower.over, "the line to break");
    const next = await again.must(drop);
    relay = await open({ key, port });
    const from = performance.now();
    let back = follow();
    await until(() => {
      if (back.over) back = follow();
      return back.seq >= next;
    }, "the view after the relay's restart");
    expect(performance.now() - from).toBeLessThan(5_000);
    expect(back.told[0]?.line).toBeGreaterThan(told?.line ?? Number.POSITIVE_INFINITY);
  });

  it("are not frozen by a relay that starts again with its clock set back", async () => {
    await beyond();
    const before = follow();
    await before.sees(bench.known().seq);
    const { port } = relay;
    await relay.close();
    relay = await open({ key, port }, () => Date.now() - 3_600_000);
    await becomes("on", 6_000);
    const back = follow();
    await back.sees(await bench.must(drop));
    expect(back.told[0]?.line).toBeGreaterThan(before.told[0]?.line ?? Number.POSITIVE_INFINITY);
  });

  it("ask for the same view, compressed once, where they cannot listen", async () => {
    expect((await rawRequest(address(), "/api/view")).status).toBe(404);
    await beyond();
    await follow().sees(bench.known().seq);
    const asked = await fetch(`${address()}/api/view`, {
      headers: { "Accept-Encoding": "identity" },
    });
    const plain = Buffer.from(await asked.arrayBuffer());
    const etag = asked.headers.get("etag") ?? "";
    expect(JSON.parse(String(plain)).view).toEqual(publicView(bench.known()));
    expect(asked.headers.get("cache-control")).toBe("public, max-age=1");
    expect(asked.headers.get("set-cookie")).toBeNull();
    expect(Math.abs(Number(asked.headers.get("pourside-clock")) - Date.now())).toBeLessThan(2_000);
    for (const [name, unpack] of [
      ["br", brotliDecompressSync],
      ["gzip", gunzipSync],
    ] as const) {
      const packed = await bytesOf("/api/view", { "Accept-Encoding": name });
      expect(packed.length).toBeLessThan(plain.length / 2);
      expect(String(unpack(packed))).toBe(String(plain));
    }
    const unchanged = await rawRequest(address(), "/api/view", {
      headers: { "If-None-Match": etag },
    });
    expect([unchanged.status, unchanged.text]).toEqual([304, ""]);
    await until(() => relay.followers() === 1, "the count");
    const seq = await bench.must(drop);
    await followers[0]?.sees(seq);
    const changed = await rawRequest(address(), "/api/view", {
      headers: { "If-None-Match": etag },
    });
    expect(changed.status).toBe(200);
  });

  it("have the bench's clock, also where it is an hour off, and hear when the bench is away", async () => {
    await relay.close();
    relay = await open({ key }, () => Date.now() + 3_600_000);
    await beyond();
    const follower = follow();
    await follower.sees(bench.known().seq);
    await until(() => follower.clocks.at(-1)?.bench === true, "the bench to be there");
    expect(Math.abs((follower.clocks.at(-1)?.now ?? 0) - Date.now())).toBeLessThan(2_000);
    await house.ask("DELETE", "/api/relay", { token });
    await until(() => follower.clocks.at(-1)?.bench === false, "the bench to be away");
    expect(follower.over).toBe(false);
  });
});

function bytesOf(path: string, headers: Record<string, string>): Promise<Buffer> {
  return new Promise((resolve, reject) => {
    const socket = connect(relay.port, "127.0.0.1");
    const parts: Buffer[] = [];
    socket.on("data", (part) => parts.push(part));
    socket.on("error", reject);
    socket.on("end", () => {
      const all = Buffer.concat(parts);
      const head = all.indexOf("\r\n\r\n");
      const length = /content-length: (\d+)/i.exec(String(all.subarray(0, head)))?.[1];
      const body = all.subarray(head + 4);
      resolve(length ? body : unchunked(body));
    });
    const lines = Object.entries(headers).map(([name, value]) => `${name}: ${value}\r\n`);
    socket.write(
      `GET ${path} HTTP/1.1\r\nHost: relay.test\r\nConnection: close\r\n${lines.join("")}\r\n`,
    );
  });
}

function unchunked(body: Buffer): Buffer {
  const parts: Buffer[] = [];
  let at = 0;
  for (;;) {
    const end = body.indexOf("\r\n", at);
    const size = Number.parseInt(String(body.subarray(at, end)), 16);
    if (!(size > 0)) return Buffer.concat(parts);
    parts.push(body.subarray(end + 2, end + 2 + size));
    at = end + 2 + size + 2;
  }
}

/** The least that a relay takes for a view. */
function viewOf(more: object) {
  return { session: { name: "a" }, timers: {}, ...more };
}

/** A bench that says whatever it is told to. */
async function rawBench(
  hello: object | null = { version: lineVersion, bench: "raw" },
  with_ = key,
) {
  const socket = new WebSocket(`ws://127.0.0.1:${relay.port}/line`, {
    headers: { Authorization: `Bearer ${with_}` },
  });
  const heard: { kind: string; code?: string; say?: string }[] = [];
  let over = false;
  socket.on("message", (text) => heard.push(JSON.parse(String(text))));
  socket.on("error", () => {});
  socket.on("close", () => {
    over = true;
  });
  await until(() => socket.readyState === WebSocket.OPEN, "the line to open");
  const say = (word: unknown) =>
    socket.send(
      typeof word === "string" ? word : JSON.stringify({ at: Date.now(), ...Object(word) }),
    );
  if (hello) {
    say({ kind: "hello", now: Date.now(), ...hello });
    await until(() => heard.length > 0, "an answer");
  }
  return { socket, heard, say, over: () => over };
}

describe("what a bench says wrongly", () => {
  it("is answered with a sentence, and the relay goes on", async () => {
    const wrong: [string, unknown][] = [
      ["unreadable", "no JSON"],
      ["unreadable", { kind: "snapshot", session: "a", seq: -1, view: {} }],
      ["unreadable", { kind: "snapshot", session: "a", seq: 1, view: null }],
      ["unreadable", { kind: "snapshot", session: "a", seq: 1, view: {} }],
      ["unreadable", { kind: "poem" }],
    ];
    for (const [code, word] of wrong) {
      const raw = await rawBench();
      raw.say(word);
      await until(raw.over, "the line to end");
      expect(raw.heard.at(-1)).toMatchObject({ kind: "refused", code });
      expect(raw.heard.at(-1)?.say).toMatch(/^[A-Z].*\.$/);
    }
    const early = await rawBench(null);
    early.say({ kind: "clock", now: 1 });
    await until(early.over, "the line to end");
    expect(early.heard.at(-1)).toMatchObject({ code: "hello" });
    const large = await rawBench();
    large.say("x".repeat(5 * 1024 * 1024));
    await until(large.over, "the line to end");
    const deep = await rawBench();
    deep.say({ kind: "snapshot", session: "a", seq: 1, view: viewOf({}) });
    deep.say(
      `{"kind":"patch","session":"a","from":1,"seq":2,"at":1,"patch":${'{"a":'.repeat(100_000)}1${"}".repeat(100_000)}}`,
    );
    await until(deep.over, "the line to end");
    const emptied = await rawBench();
    emptied.say({ kind: "patch", session: "a", from: 1, seq: 2, patch: { session: null } });
    await until(emptied.over, "the line to end");
    expect(emptied.heard.at(-1)).toMatchObject({ code: "unreadable" });
    await beyond();
    await follow().sees(bench.known().seq);
  }, 30_000);

  it("of another version is said, not guessed, on either side", async () => {
    const raw = await rawBench({ version: lineVersion + 1, bench: "raw" });
    expect(raw.heard[0]).toMatchObject({ kind: "refused", code: "version" });
    expect(raw.heard[0]?.say).toContain(
      `version ${lineVersion} and this bench version ${lineVersion + 1}`,
    );
    const other = await impostor((socket) => {
      socket.on("message", () =>
        socket.send(JSON.stringify({ kind: "welcome", version: lineVersion + 1, has: null })),
      );
    });
    await settle(other.address);
    expect((await becomes("refused")).say).toMatch(/another version of Pourside/);
    other.close();
  });

  it("a second time, or older within one line, moves nobody back", async () => {
    const raw = await rawBench();
    const follower = follow();
    const view = (name: string) => ({ session: { name }, timers: {} });
    raw.say({ kind: "snapshot", session: "a", seq: 5, view: view("five") });
    raw.say({ kind: "snapshot", session: "a", seq: 3, view: view("three") });
    raw.say({
      kind: "patch",
      session: "a",
      from: 4,
      seq: 5,
      patch: { session: { name: "again" } },
    });
    raw.say({ kind: "patch", session: "a", from: 8, seq: 9, patch: { session: { name: "far" } } });
    await until(() => raw.heard.some(({ kind }) => kind === "again"), "the relay to ask again");
    raw.say({
      kind: "snapshot",
      session: "a",
      seq: 9,
      view: view("</script><img src=x onerror=alert(1)>"),
    });
    await follower.sees(9);
    expect(follower.told.map(({ seq }) => seq)).toEqual([5, 9]);
    const page = await rawRequest(address(), "/follow");
    expect(page.text).not.toContain("<img src=x");
    expect((await rawRequest(address(), "/api/view")).headers["content-type"]).toMatch(/json/);
    expect((await rawRequest(address(), "/api/view")).headers["x-content-type-options"]).toBe(
      "nosniff",
    );
  });

  it("as a second bench with the same key is refused, and the first one hears of it", async () => {
    await beyond();
    const second = await rawBench({ version: lineVersion, bench: "second" });
    expect(second.heard[0]).toMatchObject({ kind: "refused", code: "second" });
    const end = performance.now() + 3_000;
    while ((await report()).say === null && performance.now() < end) await pause(20);
    expect(await report()).toMatchObject({
      state: "on",
      say: expect.stringMatching(/Another bench tried/),
    });
    const seq = await bench.must(drop);
    await follow().sees(seq);
  });

  it("in a flood is cut off", async () => {
    const raw = await rawBench();
    for (let n = 0; n < 1_000; n++) raw.say({ kind: "clock", now: n });
    await until(raw.over, "the flood to be cut off");
    await beyond();
  });
});

/** Something that answers as a relay, and is none. */
async function impostor(greet: (socket: WebSocket) => void) {
  const http: Server = createServer((_request, response) => response.end("x"));
  const sockets = new WebSocketServer({ server: http });
  sockets.on("connection", greet);
  await new Promise<void>((resolve) => http.listen(0, "127.0.0.1", resolve));
  const { port } = http.address() as AddressInfo;
  return {
    address: `http://127.0.0.1:${port}`,
    close: () => {
      for (const client of sockets.clients) client.terminate();
      http.closeAllConnections();
      http.close();
    },
  };
}

describe("a relay that is hostile", () => {
  it("moves nothing at the bench, whatever it says", async () => {
    const hostile: [RegExp, (socket: WebSocket) => void][] = [
      [/does not speak as a relay/, (socket) => socket.send("<html>")],
      [/does not speak as a relay/, (socket) => socket.send(JSON.stringify({ kind: "followers" }))],
      [
        /does not speak as a relay/,
        (socket) => {
          for (let n = 0; n < 5_000; n++) socket.send('{"kind":"again"}');
        },
      ],
    ];
    for (const [say, greet] of hostile) {
      const other = await impostor(greet);
      await settle(other.address);
      expect((await becomes("refused")).say).toMatch(say);
      await bench.must(drop);
      other.close();
    }
    const huge = await impostor((socket) => socket.send("x".repeat(10_000_000)));
    await settle(huge.address);
    await pause(200);
    expect((await report()).state).not.toBe("on");
    await bench.must(drop);
    huge.close();
  }, 30_000);

  it("and never reads is not waited for: the tap goes on", async () => {
    const stalled = await impostor((socket) => {
      socket.on("message", () => {
        socket.send(JSON.stringify({ kind: "welcome", version: lineVersion, has: null }));
        socket.pause();
      });
    });
    await settle(stalled.address);
    await becomes("on");
    const spent: number[] = [];
    for (let n = 0; n < 150; n++) {
      const from = performance.now();
      await bench.must(drop);
      spent.push(performance.now() - from);
    }
    spent.sort((a, b) => a - b);
    expect(spent[75]).toBeLessThan(100);
    stalled.close();
  }, 30_000);
});

describe("those who would do harm by following", () => {
  it("and speak are let go after a few words, or after a long one", async () => {
    await beyond();
    const [chatty, long, quiet] = [follow(), follow(), follow()];
    await quiet.sees(bench.known().seq);
    await until(() => [chatty, long].every(({ seq }) => seq > 0), "all to see");
    for (let n = 0; n <= mostFollowerMessages; n++) chatty.socket.send("x");
    long.socket.send("x".repeat(2_000));
    await until(() => chatty.over && long.over, "them to be let go");
    await quiet.sees(await bench.must(drop));
  });

  it("and do not read are passed over, and brought right by one whole view", async () => {
    const raw = await rawBench();
    const follower = follow();
    const quick = follow();
    const text = "y".repeat(1_000_000);
    raw.say({ kind: "snapshot", session: "a", seq: 1, view: viewOf({ text }) });
    await follower.sees(1);
    follower.socket.pause();
    for (let seq = 2; seq <= 30; seq++) {
      raw.say({ kind: "patch", session: "a", from: seq - 1, seq, patch: { text, seq } });
      await quick.sees(seq);
    }
    follower.socket.resume();
    await until(() => follower.seq === 30, "the slow one to be right", 8_000);
    expect(follower.told.length).toBeLessThan(30);
    expect(follower.told.at(-1)?.kind).toBe("snapshot");
    expect(quick.told).toHaveLength(30);
  }, 20_000);

  it("and take all places from one address leave places to others", async () => {
    expect(mostPerAddress).toBeGreaterThanOrEqual(1_000);
    await relay.close();
    relay = await open({ key, limits: { followers: 6, perAddress: 3 } });
    const from = (address: string) =>
      new Promise<number>((resolve) => {
        const socket = new WebSocket(`ws://127.0.0.1:${relay.port}/live`, {
          headers: { "X-Forwarded-For": address },
        });
        closing.push(socket);
        socket.on("open", () => resolve(101));
        socket.on("unexpected-response", (_asked, response) => resolve(response.statusCode ?? 0));
        socket.on("error", () => {});
      });
    const closing: WebSocket[] = [];
    const crowd = [];
    for (let n = 0; n < 5; n++) crowd.push(await from("203.0.113.9"));
    expect(crowd).toEqual([101, 101, 101, 429, 429]);
    const rest = [];
    for (let n = 0; n < 4; n++) rest.push(await from(`198.51.100.${n}`));
    expect(rest).toEqual([101, 101, 101, 503]);
    for (const socket of closing) socket.terminate();
    await until(() => relay.followers() === 0, "the places to be free");
    // Behind a proxy on another host as well, once it is named.
    await relay.close();
    const proxies = ["192.0.2.0/24"];
    relay = await open({ key, limits: { followers: 6, perAddress: 3 }, proxies });
    const behind = [];
    for (let n = 0; n < 4; n++) behind.push(await from(`203.0.113.${n}, 192.0.2.10`));
    behind.push(await from("203.0.113.0, 192.0.2.10"), await from("203.0.113.0, 192.0.2.11"));
    expect(behind).toEqual([101, 101, 101, 101, 101, 101]);
    for (const socket of closing) socket.terminate();
    await until(() => relay.followers() === 0, "the places to be free");
    expect(await from("203.0.113.9")).toBe(101);
    closing.at(-1)?.terminate();
  });

  it("and open connections without a word are ended, while the others go on", async () => {
    await beyond();
    const follower = follow();
    await follower.sees(bench.known().seq);
    const halfOpen: Socket[] = [];
    let ended = 0;
    for (let n = 0; n < 400; n++) {
      const socket = connect(relay.port, "127.0.0.1");
      socket.on("error", () => {});
      socket.on("close", () => {
        ended += 1;
      });
      if (n % 2 === 0) socket.write("GET /live HTTP/1.1\r\nHost: a");
      halfOpen.push(socket);
    }
    await follower.sees(await bench.must(drop));
    await until(() => ended === halfOpen.length, "half-open connections to be ended", 9_000);
    await follower.sees(await bench.must(drop));
  }, 20_000);

  it("and a surge of 500 within a moment are all shown the same", async () => {
    await beyond();
    const crowd = Array.from({ length: 500 }, () => follow());
    const seq = await bench.must(drop);
    for (const follower of crowd) await follower.sees(seq, 10_000);
    expect(crowd.every((follower) => follower.inOrder())).toBe(true);
    expect(relay.followers()).toBe(500);
    // The first word came with the view, the second with the beat that everybody hears.
    const beaten = () => crowd.every(({ clocks }) => clocks.length >= 2);
    await until(beaten, "everybody to hear of the clock", 10_000);
  }, 30_000);
});

describe("the pages of a relay", () => {
  it("are drawn whole, as at the bench, and take away the same file", async () => {
    const empty = await rawRequest(address(), "/follow");
    expect([empty.status, (await rawRequest(address(), "/follow/save")).status]).toEqual([
      200, 404,
    ]);
    await beyond();
    const follower = follow();
    await follower.sees(await bench.must(drop));
    const name = bench.known().setup.name;
    const [page, own] = await Promise.all([
      rawRequest(address(), "/follow"),
      rawRequest(house.address, "/follow"),
    ]);
    expect(page.text).toContain(name);
    expect(drawnOf(page.text)).toBe(drawnOf(own.text));
    const file = await rawRequest(address(), "/follow/save");
    expect(file.headers["content-disposition"]).toMatch(/^attachment; filename=.+\.html$/);
    expect(file.text).toContain(name);
  });

  it("show the recap once the session is closed, as pictures", async () => {
    await beyond();
    const follower = follow();
    await follower.sees(await bench.must(drop));
    expect((await rawRequest(address(), "/recap")).status).toBe(404);
    await follower.sees(await bench.must({ type: "close" }));
    for (const at of [address(), house.address]) {
      const page = await rawRequest(at, "/recap");
      expect([page.status, page.headers["content-type"]]).toEqual([
        200,
        "text/html; charset=utf-8",
      ]);
      expect(page.text).toContain(bench.known().setup.name);
      const [picture = ""] = /\/recap\/card-1\.svg/.exec(page.text) ?? [];
      const card = await rawRequest(at, picture);
      expect(card.headers["content-type"]).toMatch(/^image\/svg\+xml/);
      expect(card.text).toMatch(/^<svg[\s\S]*<\/svg>\n$/);
    }
    for (const none of ["card-0.svg", "card-99.svg", "..%2fcard-1.svg", "constructor"]) {
      expect((await rawRequest(address(), `/recap/${none}`)).status).toBe(404);
    }
  });

  it("show no recap before the stream does", async () => {
    await beyond();
    const follower = follow();
    await follower.sees(await bench.must({ type: "holdBack", seconds: 180 }));
    await follower.sees(await bench.must({ type: "close" }));
    for (const at of [address(), house.address]) {
      for (const path of ["/recap", "/recap/card-1.svg"]) {
        expect([at, path, (await rawRequest(at, path)).status]).toEqual([at, path, 404]);
      }
    }
  });

  it("take a session's name with markup, and a view that cannot be drawn, as harmless text", async () => {
    const raw = await rawBench();
    const follower = follow();
    const name = "</script><img src=x onerror=alert(1)>";
    raw.say({ kind: "snapshot", session: "a", seq: 1, view: { ...viewOf({}), session: { name } } });
    await follower.sees(1);
    const page = await rawRequest(address(), "/follow");
    expect(page.status).toBe(200);
    expect(page.text).not.toContain("<img src=x");
    expect((await rawRequest(address(), "/follow/save")).status).toBe(500);
    raw.socket.terminate();
    await becomesFree();
    await beyond();
    const { session, ...rest } = publicView(bench.known());
    await house.ask("DELETE", "/api/relay", { token });
    await becomesFree();
    const again = await rawBench();
    const view = { ...rest, session: { ...session, name } };
    again.say({ kind: "snapshot", session: "b", seq: 1, view });
    await until(() => follower.session === "b", "the other session");
    for (const path of ["/follow", "/follow/save"]) {
      const drawn = await rawRequest(address(), path);
      expect(drawn.status).toBe(200);
      expect(drawn.text).toContain("img src=x");
      expect(drawn.text).not.toContain("<img src=x");
    }
  });
});

/** What a page shows, without the moment at which it was made. */
function drawnOf(page: string): string {
  return /<div id="follow">([\s\S]*)<\/div><script type="application\/json"/.exec(page)?.[1] ?? "";
}

/** Until no bench holds the relay's line. */
async function becomesFree(): Promise<void> {
  const view = async () => await rawRequest(address(), "/api/view");
  await untilAsync(async () => (await view()).headers["pourside-bench"] === "0");
}

describe("a stolen key", () => {
  it("that is taken back puts the thief out, and followers hear that no bench is there", async () => {
    const thief = await rawBench({ version: lineVersion, bench: "thief" });
    const follower = follow();
    await until(() => follower.clocks.at(-1)?.bench === true, "the bench to be there");
    const renewed = await fetch(`${address()}/line/key`, {
      method: "POST",
      headers: { Authorization: `Bearer ${key}` },
    });
    expect(renewed.status).toBe(200);
    await until(() => follower.clocks.at(-1)?.bench === false, "the bench to be away");
    await until(thief.over, "the thief to be put out");
  });

  it("is dead with one tap, and the thief who came in first is put out", async () => {
    const thief = await rawBench({ version: lineVersion, bench: "thief" });
    expect(thief.heard[0]).toMatchObject({ kind: "welcome" });
    await settle();
    expect((await becomes("refused")).say).toMatch(/Another bench is on this relay/);
    expect((await house.ask("POST", "/api/relay/renew", { token })).status).toBe(200);
    await becomes("on");
    await until(thief.over, "the thief to be put out");
    await follow().sees(await bench.must(drop));
  });
});

describe("what a relay keeps of those who follow", () => {
  it("is nothing: no cookie, no line in a log, no file", async () => {
    const written: string[] = [];
    const spies = [process.stdout, process.stderr].map((stream) =>
      vi.spyOn(stream, "write").mockImplementation((text) => {
        written.push(String(text));
        return true;
      }),
    );
    const told = vi.spyOn(console, "error").mockImplementation((...words) => {
      written.push(words.join(" "));
    });
    try {
      await beyond();
      const address_ = "203.0.113.77";
      const headers = { "X-Forwarded-For": address_, Cookie: "seen=before" };
      for (const path of [
        "/",
        "/follow",
        "/follow/save",
        "/api/view",
        "/api/health",
        "/recap",
        "/a",
      ]) {
        const answer = await rawRequest(address(), path, { headers });
        expect([path, answer.headers["set-cookie"]]).toEqual([path, undefined]);
      }
      const socket = new WebSocket(`ws://127.0.0.1:${relay.port}/live`, { headers });
      const upgraded = new Promise<string | string[] | undefined>((resolve, reject) => {
        socket.on("upgrade", ({ headers }) => resolve(headers["set-cookie"]));
        socket.on("error", reject);
      });
      expect(await upgraded).toBeUndefined();
      for (let n = 0; n < 40; n++) socket.send("x");
      await until(() => relay.followers() === 0, "the chatty one to be let go");
      const broken = connect(relay.port, "127.0.0.1");
      broken.on("error", () => {}).resume();
      broken.write("NONSENSE\r\n\r\n");
      await until(() => broken.closed, "the broken request to be ended");
      expect(written.join("")).not.toMatch(/203\.0\.113|127\.0\.0\.1/);
      expect(readdirSync(data)).toEqual(["relay-key.json", "relay-line.json"]);
    } finally {
      for (const spy of [...spies, told]) spy.mockRestore();
    }
  });
});

async function untilAsync(holds: () => Promise<boolean>, ms = 8_000): Promise<void> {
  const end = performance.now() + ms;
  while (!(await holds().catch(() => false))) {
    if (performance.now() > end) throw new Error(`waited ${ms} ms`);
    await pause(30);
  }
}
