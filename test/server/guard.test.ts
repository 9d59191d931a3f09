import { randomUUID } from "node:crypto";
import { mkdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createServer } from "node:http";
import type { AddressInfo } from "node:net";
import { hostname } from "node:os";
import { join } from "node:path";
import { io } from "socket.io-client";
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it, vi } from "vitest";
import { makeApp } from "../../server/http/app.ts";
import { codeMs, Pairing } from "../../server/live/pairing.ts";
import { Publisher } from "../../server/live/publisher.ts";
import { Preparations } from "../../server/prepare/preparations.ts";
import { photographsIn } from "../../server/record/photographs.ts";
import { openRecord } from "../../server/record/record.ts";
import { Stage } from "../../server/relay/stage.ts";
import { Sessions } from "../../server/session/sessions.ts";
import { commandSchema } from "../../shared/session/command.ts";
import { harbourSheet, pourOf, setupOf } from "../scenario/desk.ts";
import { oneOfEach } from "./commands.ts";
import { type BenchClient, dataFolder, House, liveHouse, pause, until } from "./house.ts";
import { greeted, joined, openWire, rawBytes, rawRequest } from "./wire.ts";

let house: House;
let token: string;
let bench: BenchClient;
const complaints = vi.spyOn(console, "error");

beforeAll(async () => {
  ({ house, token, bench } = await liveHouse());
});

afterAll(async () => {
  await house.close();
  complaints.mockRestore();
});

/** All that the record holds of its sessions. */
const kept = () => house.running.record.sessions().map(({ id }) => house.running.record.events(id));

let before: ReturnType<typeof kept>;
const undisturbed = () => {
  before = kept();
  complaints.mockClear();
};
/** Nothing was written, nothing was lost, the server answers, and no stack is on the terminal. */
const expectUndisturbed = async () => {
  expect(kept()).toEqual(before);
  const seq = before[0]?.length ?? 0;
  expect(await house.place()).toEqual({ session: bench.known().session, seq });
  expect(bench.socket.connected).toBe(true);
  expect(complaints).not.toHaveBeenCalled();
};

const isSentence = expect.stringMatching(/^[A-Z].*[.]$/);
const envelope = (command: unknown) => ({
  id: randomUUID(),
  session: bench.known().session,
  at: Date.now(),
  command,
});
const everyCommand = Object.values(oneOfEach);
const drop = oneOfEach.pour;

describe("a stranger's socket changes nothing and is not answered", () => {
  beforeEach(undisturbed);
  afterEach(expectUndisturbed);

  it("on the bench without a token, or with a wrong one", async () => {
    const offers = [
      {},
      { token: "" },
      { token: "x".repeat(43) },
      { token: token.slice(0, -1) },
      { token: `${token} ` },
      { token: "x".repeat(50_000) },
      { token: null },
      { token: [token] },
      { token: { toString: token } },
      { token: true, has: { session: bench.known().session, seq: 0 } },
    ];
    for (const auth of offers) {
      const socket = io(`${house.address}/bench`, {
        transports: ["websocket"],
        forceNew: true,
        reconnection: false,
        auth,
      });
      const told = vi.fn();
      socket.onAny(told);
      const refusal = await new Promise<unknown>((resolve, reject) => {
        socket.on("connect_error", resolve);
        socket.on("connect", () => reject(new Error("it was let in")));
      });
      expect(refusal).toMatchObject({ message: isSentence, data: { code: "token" } });
      expect(told).not.toHaveBeenCalled();
      socket.disconnect();
    }
  });

  it("with any command, to the bench without having been let in", async () => {
    // They are commands that a paired tablet could send.
    for (const command of everyCommand) {
      expect(commandSchema.safeParse(command).success).toBe(true);
    }
    for (const command of everyCommand) {
      const wire = await greeted(house.address);
      wire.send(`42/bench,1${JSON.stringify(["command", envelope(command)])}`);
      wire.send('40/bench,{"token":"guessed"}');
      wire.send(`42/bench,2${JSON.stringify(["command", envelope(command)])}`);
      await until(() => wire.closed() || wire.frames.length > 1, "a refusal");
      await pause(5);
      expect(wire.frames.filter((frame) => /^4[23]/.test(frame))).toEqual([]);
      wire.close();
    }
  });

  it("with any command, to the viewers' side or to no page at all", async () => {
    const viewer = await joined(house.address, "/watch", { page: "overlay" });
    for (const command of everyCommand) {
      viewer.send(`42/watch,7${JSON.stringify(["command", envelope(command)])}`);
    }
    const nowhere = await greeted(house.address);
    nowhere.send("40");
    nowhere.send(`421${JSON.stringify(["command", envelope(drop)])}`);
    await until(() => nowhere.closed() || nowhere.frames.length > 1, "a refusal");
    await pause(50);
    expect(nowhere.frames.filter((frame) => /^4[0235]/.test(frame))).toEqual([]);
    expect(viewer.frames.filter((frame) => frame.startsWith("43"))).toEqual([]);
    expect(viewer.closed()).toBe(false);
    viewer.close();
    nowhere.close();
  });

  it("as a viewer that does not say which page it is", async () => {
    for (const auth of [
      {},
      { page: "controller" },
      { page: "follow" },
      { page: ["overlay"] },
      "overlay",
      null,
      [],
    ]) {
      const wire = await greeted(house.address);
      wire.send(`40/watch,${JSON.stringify(auth)}`);
      await until(() => wire.closed(), "the server to hang up");
      expect(wire.frames.filter((frame) => frame.startsWith("42"))).toEqual([]);
    }
  });

  it("from a page of another origin", async () => {
    const { port } = house.running;
    const headers = [
      { Origin: "http://evil.example" },
      { Origin: "null" },
      { Origin: "file://" },
      { Origin: `http://127.0.0.1:${port}.evil.example` },
      { Origin: `http://127.0.0.1:${port + 1}` },
      { Origin: `http://localhost:${port}` },
    ];
    for (const header of headers) {
      const wire = openWire(house.address, header);
      await until(wire.closed, "the server to refuse");
      expect(wire.status()).toBe(400);
      expect(wire.frames).toEqual([]);
      const polling = await rawRequest(house.address, "/socket.io/?EIO=4&transport=polling", {
        headers: header,
      });
      expect(polling.status).toBe(403);
      expect(JSON.parse(polling.text)).toEqual({ code: expect.any(Number), message: isSentence });
      expect(polling.headers).not.toHaveProperty("access-control-allow-origin");
    }
    const own = openWire(house.address, { Origin: house.address });
    await own.hears("0");
    own.close();
  });

  it("under a name that is not the server's", async () => {
    for (const host of ["evil.example", `evil.example:${house.running.port}`, "127.0.0.1.evil"]) {
      const wire = openWire(house.address, { Host: host, Origin: `http://${host}` });
      await until(wire.closed, "the server to refuse");
      expect(wire.status()).toBe(400);
      expect(wire.frames).toEqual([]);
    }
  });
});

/** Frames that no page of ours sends. Those with a space in them come after that space's door. */
const brokenFrames = [
  "",
  "\u0000",
  "4",
  "5",
  "6",
  "7",
  "9",
  "2probe",
  "48",
  "40/__proto__,",
  "40/constructor,{}",
  "40/bench,{",
  '40/bench,{"token":',
  '40/bench,{"__proto__":{"token":"x"}}',
  "40/watch,[",
  '42["command",',
  "42[",
  "420[null]",
  '42/bench,["command",{"id":',
  "42/bench,[]",
  "42/bench,{}",
  "42/bench,[null]",
  '42/bench,[{"command":1}]',
  '42/bench,["__proto__",{}]',
  '42/bench,["disconnect"]',
  '42/bench,["connect_error"]',
  '42/bench,0["command"]',
  '42/bench,99999999999999999999["command",{}]',
  '43/bench,0[{"ok":true}]',
  "43/bench,0",
  "44/bench,{}",
  '451-/bench,["command",{"_placeholder":true,"num":0}]',
  '451-/bench,["command",{"_placeholder":true,"num":-1}]',
  '459999999-/bench,["command",{}]',
  '461-/bench,0[{"_placeholder":true,"num":0}]',
  `42/bench,["command",${"[".repeat(30_000)}`,
  `42/bench,["command",${"[".repeat(20_000)}${"]".repeat(20_000)}]`,
  `42/bench,["command",${'{"a":'.repeat(9_000)}1${"}".repeat(9_000)}]`,
];

describe("a frame that cannot be read changes nothing", () => {
  beforeEach(undisturbed);
  afterEach(expectUndisturbed);

  it("from a stranger", async () => {
    for (const frame of brokenFrames) {
      const wire = await greeted(house.address);
      wire.send(frame);
      await pause(2);
      wire.close();
    }
  });

  it("from a viewer", async () => {
    for (const frame of brokenFrames) {
      const wire = await joined(house.address, "/watch", { page: "overlay" });
      wire.send(frame.replace("/bench", "/watch"));
      await pause(2);
      wire.close();
    }
  });

  it("from a paired tablet", async () => {
    for (const frame of brokenFrames) {
      const wire = await joined(house.address, "/bench", { token });
      wire.send(frame);
      await pause(2);
      wire.close();
    }
  });

  it("as bytes instead of text", async () => {
    for (const space of ["/watch", "/bench"]) {
      const wire = await joined(house.address, space, { page: "overlay", token });
      wire.send(Buffer.from([4, 2, 0, 255, 254, 0]));
      wire.send(`451-${space},3["command",{"_placeholder":true,"num":0}]`);
      wire.send(Buffer.alloc(1000, 0xff));
      wire.send(`452-${space},["showing",{"_placeholder":true,"num":0}]`);
      wire.send(Buffer.alloc(10));
      await pause(20);
      expect(wire.frames.filter((frame) => frame.includes('"ok":true'))).toEqual([]);
      wire.close();
    }
  });

  it("as something that is not even a request", async () => {
    const noise = [
      "\u0000\u0001\u0002\r\n\r\n",
      "GET / HTTP/1.1\r\n\r\n",
      "GET / HTTP/9.9\r\nHost: 127.0.0.1\r\n\r\n",
      "POST /api/pair HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Length: -1\r\n\r\n",
      "POST /api/pair HTTP/1.1\r\nHost: 127.0.0.1\r\nTransfer-Encoding: chunked\r\n\r\nzz\r\n",
      `GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nX: ${"x".repeat(70_000)}\r\n\r\n`,
      "GET /socket.io/?EIO=4&transport=websocket HTTP/1.1\r\nHost: 127.0.0.1\r\nConnection: Upgrade\r\nUpgrade: websocket\r\n\r\n",
      "CONNECT evil.example:443 HTTP/1.1\r\nHost: evil.example\r\n\r\n",
      Buffer.from("16030100c8010000c40303", "hex"),
    ];
    for (const bytes of noise) {
      expect(await rawBytes(house.address, bytes)).not.toContain(" 200 ");
    }
  });
});

describe("what a client may not say changes nothing", () => {
  beforeEach(undisturbed);
  afterEach(expectUndisturbed);

  it("1 MB of text", async () => {
    const large = "x".repeat(2 ** 20);
    for (const space of ["/watch", "/bench"]) {
      const wire = await joined(house.address, space, { page: "overlay", token });
      wire.send(`42${space},["command",${JSON.stringify(envelope({ ...drop, large }))}]`);
      await until(wire.closed, "the server to hang up");
    }
    const stranger = await greeted(house.address);
    stranger.send(large);
    await until(stranger.closed, "the server to hang up");
    const polling = await rawRequest(house.address, "/socket.io/?EIO=4&transport=polling");
    const sid = /"sid":"([^"]+)"/.exec(polling.text)?.[1];
    expect(sid).toBeDefined();
    const posted = await rawRequest(
      house.address,
      `/socket.io/?EIO=4&transport=polling&sid=${sid}`,
      { method: "POST", body: large },
    ).catch(() => ({ status: 413 }));
    expect(posted.status).toBe(413);
  });

  it("an event that nobody knows, with or without a wish for an answer", async () => {
    const viewer = await house.watchClient();
    for (const socket of [viewer.socket, bench.socket]) {
      const emit = socket.emit.bind(socket) as (...message: unknown[]) => void;
      const answered = vi.fn();
      for (const name of ["pour", "advance", "state", "events", "snapshot", "toString", "error"]) {
        emit(name, envelope(drop));
        emit(name, envelope(drop), answered);
      }
      emit("x".repeat(10_000));
      await pause(20);
      expect(answered).not.toHaveBeenCalled();
      expect(socket.connected).toBe(true);
    }
    viewer.close();
  });

  it("a wrong kind of thing where an answer, a place or a moment belongs", async () => {
    const wires = [
      await joined(house.address, "/bench", { token }),
      await joined(house.address, "/watch", { page: "overlay" }),
    ];
    const odd = [null, 1, "x", [], {}, { session: null, seq: "1" }, { session: "a", seq: -1 }];
    const [tablet, viewer] = wires;
    for (const thing of odd) {
      const text = JSON.stringify(thing);
      tablet?.send(`42/bench,["clock",${text}]`);
      tablet?.send(`42/bench,5["clock",${text},${text}]`);
      tablet?.send(`42/bench,["catchUp",${text}]`);
      tablet?.send(`42/bench,["command",${text},${text}]`);
      viewer?.send(`42/watch,["showing",${text}]`);
      viewer?.send(`42/watch,["resync",${text}]`);
    }
    await pause(50);
    for (const wire of wires) {
      expect(wire.closed()).toBe(false);
      wire.close();
    }
    const viewing = await joined(house.address, "/watch", { page: "overlay", has: "yesterday" });
    viewing.close();
  });

  it("a command of another form is refused with a sentence", async () => {
    const { session } = bench.known();
    const good = envelope(drop);
    const wrong: unknown[] = [
      null,
      17,
      "pour",
      [],
      {},
      [good],
      { ...good, id: "short" },
      { ...good, id: "x".repeat(65) },
      { ...good, id: { $ne: "" } },
      { ...good, session: "__proto__" },
      { ...good, session: 1 },
      { ...good, at: "now" },
      { ...good, at: -1 },
      { ...good, at: 1.5 },
      { ...good, at: null },
      { ...good, command: null },
      { ...good, command: { type: "pourEverything" } },
      { ...good, command: { type: "__proto__" } },
      { ...good, command: { type: ["pour"] } },
      { ...good, command: { ...drop, pour: null } },
      { id: randomUUID(), session, at: Date.now() },
    ];
    for (const message of wrong) {
      const answer = await bench.sendRaw(message);
      expect(answer).toEqual({ ok: false, code: "unreadable", say: isSentence });
    }
    const elsewhere = await bench.sendRaw({ ...good, id: randomUUID(), session: "elsewhere" });
    expect(elsewhere).toEqual({ ok: false, code: "unknownSession", say: isSentence });
  });

  it("an amount that cannot be is refused with a sentence that says what to change", async () => {
    const pour = (volumeUl: unknown, more = {}) => ({
      type: "pour",
      pour: {
        ...pourOf("saltmarsh", 1),
        source: {
          from: "vessel",
          vessel: "saltmarsh",
          amount: { how: "measured", volumeUl, plusMinusUl: 0 },
        },
        ...more,
      },
    });
    const skein = { id: "8", name: "8", base: "quay", massUg: 0 };
    const cases: [unknown, string, RegExp][] = [
      [pour(-1000), "unreadable", /more than nothing/],
      [pour(0), "unreadable", /more than nothing/],
      [pour(null), "unreadable", /not a number/],
      [pour("12"), "unreadable", /not a number/],
      [pour(1e300), "unreadable", /not a number|larger than any pan/],
      [pour(250_001), "tooMuch", /Saltmarsh .* holds .* Pour less/],
      [pour(1000, { coverage: 0 }), "unreadable", /coverage/],
      [pour(1000, { coverage: 1.01 }), "unreadable", /coverage/],
      [pour(1000, { pan: "Z" }), "unknownPan", /no such pan/],
      [{ type: "skeinNew", skein }, "unreadable", /more than nothing/],
    ];
    for (const [command, code, say] of cases) {
      const answer = await bench.sendRaw(envelope(command));
      expect(answer).toMatchObject({ ok: false, code, say: isSentence });
      expect(answer.ok ? "" : answer.say).toMatch(say);
    }
  });
});

describe("a flood", () => {
  beforeEach(undisturbed);
  afterEach(expectUndisturbed);

  const times = 2000;
  const floods: [
    string,
    () => Promise<{ wire: Awaited<ReturnType<typeof greeted>>; frame: string }>,
  ][] = [
    [
      "of commands without a token",
      async () => ({
        wire: await greeted(house.address),
        frame: `42/bench,1${JSON.stringify(["command", envelope(drop)])}`,
      }),
    ],
    [
      "of guesses at a token",
      async () => ({ wire: await greeted(house.address), frame: '40/bench,{"token":"guess"}' }),
    ],
    [
      "of viewers over one connection",
      async () => ({
        wire: await greeted(house.address),
        frame: '40/watch,{"page":"overlay"}',
      }),
    ],
    [
      "of wishes for a snapshot",
      async () => ({
        wire: await joined(house.address, "/watch", { page: "overlay" }),
        frame: '42/watch,["resync"]',
      }),
    ],
    [
      "of events that nobody knows",
      async () => ({
        wire: await joined(house.address, "/watch", { page: "overlay" }),
        frame: '42/watch,["hello",{"a":[1,2,3]}]',
      }),
    ],
    [
      "of refused commands from a paired tablet",
      async () => ({
        wire: await joined(house.address, "/bench", { token }),
        frame: '42/bench,1["command",{"id":1}]',
      }),
    ],
  ];

  it.each(floods)("%s is cut off", async (_name, begin) => {
    const { wire, frame } = await begin();
    for (let n = 0; n < times; n += 1) wire.send(frame);
    await until(wire.closed, "the server to hang up");
    // What was said before it was cut off may have been answered, what came after was not.
    expect(wire.frames.length).toBeLessThan(500);
    await until(
      () => bench.presence?.overlays === 0 && bench.presence.controllers === 1,
      "all others to be gone",
    );
  });

  it("of connections is borne", async () => {
    const wires = await Promise.all(
      Array.from({ length: 100 }, () => joined(house.address, "/watch", { page: "overlay" })),
    );
    await until(() => bench.presence?.overlays === 100, "all to be counted");
    const seq = await bench.must({ type: "note", text: "hello to all of you", seen: "public" });
    await Promise.all(wires.map((wire) => wire.hears('42/watch,["patch"')));
    for (const wire of wires) wire.close();
    await until(() => bench.presence?.overlays === 0, "all to be gone");
    await until(() => bench.known().seq === seq, "the tablet to see the note");
    undisturbed();
  });
});

describe("a request that is not from here", () => {
  beforeEach(undisturbed);
  afterEach(expectUndisturbed);

  const asks: [string, string][] = [
    ["GET", "/controller"],
    ["GET", "/api/health"],
    ["GET", "/api/view"],
    ["GET", "/api/sessions"],
    ["POST", "/api/pair"],
    ["POST", "/api/live/advance"],
    ["POST", "/api/pair/forget"],
  ];

  it("but from a page of another origin is refused, also with a token", async () => {
    for (const origin of ["http://evil.example", "null", `https://evil.example:4707`]) {
      for (const [method, path] of asks) {
        const { status, headers, body } = await house.ask(method, path, {
          token,
          headers: { Origin: origin },
        });
        expect([status, body.code]).toEqual([403, "origin"]);
        expect(body.say).toEqual(isSentence);
        expect(headers.get("access-control-allow-origin")).toBeNull();
      }
    }
  });

  it("but for another name is refused, so that no name pointed at this machine opens it", async () => {
    const { port } = house.running;
    const names = [
      "evil.example",
      `evil.example:${port}`,
      `127.0.0.1.evil.example:${port}`,
      `localhost.evil.example`,
      `evil.example@127.0.0.1:${port}`,
      "127.0.0.1/;script-src *",
      "127.0.0.1#evil.example",
      "127.0.0.1?evil.example",
      "[",
    ];
    const unnamed = await rawBytes(house.address, "GET /api/health HTTP/1.1\r\nHost: \r\n\r\n");
    expect(unnamed).toContain(" 403 ");
    for (const name of names) {
      for (const [method, path] of asks) {
        const { status, text } = await rawRequest(house.address, path, {
          method,
          headers: { Host: name, Authorization: `Bearer ${token}` },
        });
        expect([name, status]).toEqual([name, 403]);
        expect(JSON.parse(text)).toEqual({ code: "host", say: isSentence });
      }
    }
  });

  it("is answered under the names that this machine has", async () => {
    const { port } = house.running;
    const own = hostname().toLowerCase();
    for (const name of ["127.0.0.1", "localhost", "[::1]", "192.168.1.20", own, `${own}.local`]) {
      const { status } = await rawRequest(house.address, "/api/health", {
        headers: { Host: `${name}:${port}`, Origin: `http://${name}:${port}` },
      });
      expect([name, status]).toEqual([name, 200]);
    }
  });
});

describe("a request without a good token", () => {
  beforeEach(undisturbed);
  afterEach(expectUndisturbed);

  const guarded: [string, string][] = [
    ["GET", "/api/sessions"],
    ["POST", "/api/sessions"],
    ["POST", "/api/sessions/any/bench"],
    ["POST", "/api/pair/code"],
    ["POST", "/api/pair/forget"],
    ["GET", "/api/addresses"],
    ["GET", "/api/record"],
    ["POST", "/api/live/advance"],
    ["POST", "/api/live/undo"],
  ];

  it("is refused with a sentence wherever a token is asked for", async () => {
    const offers = [
      undefined,
      "",
      "Bearer",
      "Bearer ",
      `Bearer ${"x".repeat(43)}`,
      `Basic ${token}`,
      `Bearer ${token}x`,
      `Bearer ${token} ${token}`,
      token,
    ];
    for (const [method, path] of guarded) {
      for (const offer of offers) {
        const { status, body } = await house.ask(method, path, {
          headers: offer === undefined ? {} : { Authorization: offer },
          ...(method === "POST" ? { body: harbourSheet() } : {}),
        });
        expect([path, offer, status]).toEqual([path, offer, 401]);
        expect(body).toEqual({ code: "token", say: isSentence });
      }
    }
  });

  it("gets no code, address or session in a query or a cookie's place either", async () => {
    const query = await house.ask("GET", `/api/addresses?token=${token}`);
    const cookie = await house.ask("GET", "/api/addresses", {
      headers: { Cookie: `token=${token}` },
    });
    expect([query.status, cookie.status]).toEqual([401, 401]);
  });
});

describe("a request body", () => {
  beforeEach(undisturbed);
  afterEach(expectUndisturbed);

  const sheet = harbourSheet();
  const send = (body: unknown) => house.ask("POST", "/api/sessions", { token, body });

  it("that is too large is refused", async () => {
    const large = await send({ ...sheet, name: "x".repeat(2 ** 20) });
    expect([large.status, large.body]).toEqual([
      413,
      { code: "tooLarge", say: expect.any(String) },
    ]);
    const code = await house.ask("POST", "/api/pair", { body: { code: "1".repeat(2000) } });
    expect(code.status).toBe(413);
  });

  it("that is not JSON, or another thing than a pour sheet, is refused", async () => {
    for (const text of ["{", "[1,", "nul", '{"pourSheet":1', "\u0000", "<sheet/>"]) {
      const { status, body } = await send(text);
      expect([text, status, body.code]).toEqual([text, 400, "unreadable"]);
    }
    for (const thing of [[], {}, { pourSheet: 2 }, { ...sheet, steps: "all" }, [sheet]]) {
      const { status, body } = await send(thing);
      expect(status).toBe(422);
      expect(body.problems[0]).toMatchObject({ say: expect.any(String) });
    }
    const form = await house.ask("POST", "/api/sessions", {
      token,
      body: "name=x",
      headers: { "Content-Type": "application/x-www-form-urlencoded" },
    });
    expect(form.status).toBe(422);
  });

  it("with keys that would reach into every object is refused", async () => {
    const lines = JSON.stringify(sheet);
    const hostile = [
      lines.replace("{", '{"__proto__":{"polluted":true},'),
      lines.replace("{", '{"constructor":{"prototype":{"polluted":true}},'),
      lines.replaceAll('"id":"lantern"', '"id":"__proto__"'),
      lines.replaceAll('"id":"A"', '"id":"constructor"'),
      lines.replace('"skeins":{"5":2,"6":1}', '"skeins":{"__proto__":2,"7":1}'),
    ];
    for (const text of hostile) {
      expect(text).not.toBe(lines);
      const { status } = await send(text);
      expect([text.slice(0, 80), status]).toEqual([text.slice(0, 80), 422]);
      expect({}).not.toHaveProperty("polluted");
    }
    const pairing = await house.ask("POST", "/api/pair", {
      body: '{"__proto__":{"code":"123456"},"constructor":1}',
    });
    expect(pairing.status).toBe(400);
  });

  it("with a wrong figure is refused with a sentence that says where", async () => {
    const skeins = [{ ...sheet.skeins[0], g: 0 }, ...sheet.skeins.slice(1)];
    const stockOf = (strengthPct: number) => [
      { ...sheet.stocks[0], dyes: [{ dye: "lantern", strengthPct }] },
      ...sheet.stocks.slice(1),
    ];
    const wrong: [unknown, RegExp][] = [
      [{ ...sheet, skeins }, /skeins/],
      [{ ...sheet, stocks: stockOf(0) }, /stocks/],
      [{ ...sheet, stocks: stockOf(101) }, /stocks/],
      [{ ...sheet, steps: [{ ...sheet.steps[1], stock: "fog" }] }, /steps/],
    ];
    for (const [body, at] of wrong) {
      const answer = await send(body);
      expect(answer.status).toBe(422);
      expect(answer.body.problems[0]).toEqual({ at: expect.stringMatching(at), say: isSentence });
    }
  });
});

describe("a method that an address does not have", () => {
  beforeEach(undisturbed);
  afterEach(expectUndisturbed);

  it("does nothing", async () => {
    const wrong: [string, string][] = [
      ["POST", "/api/health"],
      ["PUT", "/api/sessions"],
      ["DELETE", "/api/sessions"],
      ["DELETE", `/api/sessions/${bench.known().session}`],
      ["GET", "/api/live/advance"],
      ["GET", "/api/live/undo"],
      ["PUT", "/api/live/advance"],
      ["GET", "/api/pair"],
      ["GET", "/api/pair/forget"],
      ["PATCH", "/api/view"],
      ["POST", "/overlay"],
      ["DELETE", "/controller"],
      ["GET", "/api/nothing"],
      ["GET", "/record.db"],
      ["GET", "/data/record.db"],
    ];
    for (const [method, path] of wrong) {
      const { status, body } = await house.ask(method, path, { token });
      expect([method, path, status]).toEqual([method, path, 404]);
      expect(body).toEqual({ code: "nothing", say: isSentence });
    }
    const trace = await rawRequest(house.address, "/api/health", { method: "TRACE" });
    expect(trace.status).toBe(404);
  });
});

describe("the pages", () => {
  let folder: string;
  let address: string;
  let close: () => void;

  beforeAll(async () => {
    folder = dataFolder();
    const pages = join(folder, "pages");
    for (const page of ["overlay", "follow", "controller"]) {
      mkdirSync(join(pages, page), { recursive: true });
      writeFileSync(join(pages, page, "index.html"), `<title>${page}</title>`);
      writeFileSync(join(pages, page, `${page}-4707.js`), `"${page}";`);
    }
    writeFileSync(join(folder, "secret.txt"), "the secret");
    writeFileSync(join(pages, "secret.txt"), "the secret");
    writeFileSync(join(pages, "overlay", ".secret"), "the secret");
    writeFileSync(join(folder, "waiting.html"), 'go to "POURSIDE_OVERLAY_ADDRESS"');
    const record = openRecord(join(folder, "data"));
    const sessions = new Sessions(record);
    const app = makeApp({
      sessions,
      publisher: new Publisher(Date.now),
      stage: new Stage(),
      pairing: new Pairing(record, Date.now),
      preparations: new Preparations(record, sessions, Date.now),
      photographs: photographsIn(join(folder, "photographs")),
      names: ["bench.example"],
      addresses: () => ({ controller: [], overlay: "http://127.0.0.1/overlay", follow: [] }),
      clock: Date.now,
      pages,
      waitingFile: join(folder, "waiting.html"),
      onForget: () => {},
      videoClock: () => ({ anchors: [], offsetMs: 0 }),
      backup: (toFile) => record.backup(toFile),
    });
    const http = createServer(app).listen(0, "127.0.0.1");
    await new Promise((resolve) => http.once("listening", resolve));
    address = `http://127.0.0.1:${(http.address() as AddressInfo).port}`;
    close = () => {
      http.close();
      http.closeAllConnections();
      record.close();
    };
  });

  afterAll(() => {
    close();
    rmSync(folder, { recursive: true });
  });

  it("and their files are served, and nothing outside their folders", async () => {
    for (const page of ["overlay", "follow", "controller"]) {
      const index = await rawRequest(address, `/${page}`);
      expect([index.status, index.text]).toEqual([200, `<title>${page}</title>`]);
      const script = await rawRequest(address, `/${page}/${page}-4707.js`);
      expect([script.status, script.text]).toEqual([200, `"${page}";`]);
    }
    const ways = [
      "/overlay/../secret.txt",
      "/overlay/../../secret.txt",
      "/overlay/..%2fsecret.txt",
      "/overlay/%2e%2e/secret.txt",
      "/overlay/%2e%2e%2fsecret.txt",
      "/overlay/%252e%252e%252fsecret.txt",
      "/overlay/..\\secret.txt",
      "/overlay/..%5csecret.txt",
      "/overlay/....//secret.txt",
      "/overlay/./../secret.txt",
      "/overlay//../secret.txt",
      `/overlay/${folder}/secret.txt`,
      `/overlay/%2f${folder.slice(1)}/secret.txt`,
      "/overlay/.secret",
      "/overlay/%00/../../secret.txt",
      "/overlay/%",
      "/overlay/%c0%ae%c0%ae/secret.txt",
      "/../secret.txt",
      "/secret.txt",
      "//secret.txt",
      "/overlay/../data/record.db",
      "/overlay/../../data/record.db",
      `http://127.0.0.1/overlay/../secret.txt`,
    ];
    for (const way of ways) {
      const { status, text } = await rawRequest(address, way);
      expect([way, status >= 400 && status < 500]).toEqual([way, true]);
      expect(text).not.toContain("secret");
      expect(text).not.toContain("SQLite");
    }
  });

  it("may load and run nothing but their own, and set no cookie", async () => {
    const paths = ["/overlay", "/follow", "/controller", "/overlay/overlay-4707.js", "/nothing"];
    for (const path of [...paths, "/api/health", "/overlay/waiting-file"]) {
      const { headers } = await rawRequest(address, path, { headers: { Host: "bench.example" } });
      const policy = String(headers["content-security-policy"]).split(";");
      expect(policy).toContain("default-src 'none'");
      expect(policy).toContain("script-src 'self'");
      expect(policy).toContain("style-src 'self'");
      expect(policy).toContain("connect-src 'self' ws://bench.example wss://bench.example");
      expect(policy).toContain("base-uri 'none'");
      expect(policy).toContain("form-action 'none'");
      expect(policy.join()).not.toMatch(/unsafe|\*|data:.*script/);
      expect(headers["x-content-type-options"]).toBe("nosniff");
      expect(headers).not.toHaveProperty("set-cookie");
      expect(headers).not.toHaveProperty("x-powered-by");
      expect(headers).not.toHaveProperty("access-control-allow-origin");
    }
  });

  it("are handed out as a file that waits for the overlay, with its address in it", async () => {
    const { headers, text } = await rawRequest(address, "/overlay/waiting-file");
    expect(text).toBe('go to "http://127.0.0.1/overlay"');
    expect(headers["content-disposition"]).toMatch(/^attachment/);
  });
});

describe("no cookie", () => {
  it("is set by the sockets either", async () => {
    const wire = await greeted(house.address);
    expect(wire.status()).toBe(101);
    expect(wire.headers()).not.toHaveProperty("set-cookie");
    wire.close();
    const polling = await rawRequest(house.address, "/socket.io/?EIO=4&transport=polling");
    expect(polling.status).toBe(200);
    expect(polling.headers).not.toHaveProperty("set-cookie");
  });
});

describe("a pairing code", () => {
  let folder: string;
  let pairing: Pairing;
  let time: number;
  let announced: string[];
  let record: ReturnType<typeof openRecord>;

  beforeEach(() => {
    folder = dataFolder();
    record = openRecord(folder);
    time = Date.UTC(2031, 4, 17, 18);
    announced = [];
    pairing = new Pairing(
      record,
      () => time,
      (code) => announced.push(code),
    );
  });

  afterEach(() => {
    record.close();
    rmSync(folder, { recursive: true });
  });

  /** Six digits that are not the code. */
  const not = (code: string) => String((Number(code) + 1) % 1_000_000).padStart(6, "0");

  it("has six digits, is the same until it ends, and differs from the next", () => {
    const codes = Array.from({ length: 200 }, () => pairing.renew().code);
    for (const code of codes) expect(code).toMatch(/^\d{6}$/);
    expect(new Set(codes).size).toBeGreaterThan(190);
    expect(pairing.code().code).toBe(codes.at(-1));
  });

  it("is good until it expires, and no longer", () => {
    const { code, expiresAt } = pairing.code();
    expect(expiresAt).toBe(time + codeMs);
    time = expiresAt;
    expect(pairing.pair(code)).toMatchObject({ ok: false, code: "expired", say: isSentence });
    expect(announced).toHaveLength(1);
    expect(pairing.pair(announced[0] ?? "")).toMatchObject({ ok: true });
    const { code: another, expiresAt: end } = pairing.renew();
    time = end - 1;
    expect(pairing.pair(another)).toMatchObject({ ok: true });
  });

  it("is good once", () => {
    const { code } = pairing.code();
    const first = pairing.pair(code);
    expect(first).toMatchObject({ ok: true });
    expect(pairing.pair(code)).toMatchObject({ ok: false });
    expect(announced).toHaveLength(1);
    expect(announced[0]).not.toBe(code);
  });

  it("is thrown away after twenty wrong tries, whoever made them, and a new one is said", () => {
    const { code } = pairing.code();
    for (let n = 1; n < 20; n += 1) {
      expect(pairing.pair(not(code))).toMatchObject({ code: "wrongCode", say: isSentence });
    }
    expect(pairing.pair(not(code))).toMatchObject({ code: "tooMany", say: isSentence });
    expect(announced).toHaveLength(1);
    expect(pairing.pair(code)).toMatchObject({ ok: false, code: "wrongCode" });
    expect(pairing.pair(announced[0] ?? "")).toMatchObject({ ok: true });
  });

  it("gives a token that is not in the record as it is", () => {
    const paired = pairing.pair(pairing.code().code);
    if (!paired.ok) throw new Error(paired.say);
    expect(paired.token).toMatch(/^[\w-]{43}$/);
    expect(pairing.knows(paired.token)).toBe(true);
    expect(pairing.knows(`${paired.token}x`)).toBe(false);
    expect(pairing.knows("")).toBe(false);
    record.close();
    expect(readFileSync(join(folder, "record.db"), "latin1")).not.toContain(paired.token);
    record = openRecord(folder);
    expect(new Pairing(record, () => time).knows(paired.token)).toBe(true);
  });
});

describe("pairing over the network", () => {
  let own: House;

  beforeEach(async () => {
    own = await House.start();
  });

  afterEach(async () => {
    vi.useRealTimers();
    await own.close();
  });

  const offer = (code: unknown, headers: Record<string, string> = {}) =>
    own.ask("POST", "/api/pair", { body: { code }, headers });
  const wrongCode = () => (own.running.pairingCode() === "000000" ? "000001" : "000000");

  it("says that a code is wrong, and takes the right one with spaces in it", async () => {
    expect(await offer(wrongCode())).toMatchObject({
      status: 403,
      body: { code: "wrongCode", say: isSentence },
    });
    for (const odd of [null, 123_456, ["1"], { $ne: 1 }, "1".repeat(21)]) {
      expect(await offer(odd)).toMatchObject({ status: 400, body: { say: isSentence } });
    }
    const code = own.running.pairingCode();
    const paired = await offer(` ${code.slice(0, 3)} ${code.slice(3)} `);
    expect(paired.status).toBe(200);
    expect(Object.keys(paired.body)).toEqual(["token"]);
    expect((await offer(code)).status).toBe(403);
  });

  it("lets nobody try more than ten times a minute, whatever the request says of itself", async () => {
    vi.useFakeTimers({ toFake: ["Date"] });
    complaints.mockClear();
    for (let n = 0; n < 10; n += 1) {
      const forwarded = { "X-Forwarded-For": `10.0.0.${n}`, Forwarded: `for=10.0.0.${n}` };
      expect((await offer(wrongCode(), forwarded)).status).toBe(403);
    }
    const code = own.running.pairingCode();
    const refused = await offer(code, { "X-Forwarded-For": "10.0.0.99" });
    expect(refused.status).toBe(429);
    expect(refused.body.code).toBe("tooMany");
    expect(refused.body.say).toMatch(/Wait a minute/);
    expect(Number(refused.headers.get("retry-after"))).toBeGreaterThan(0);
    expect(complaints).not.toHaveBeenCalled();

    vi.setSystemTime(Date.now() + 59_000);
    expect((await offer(code)).status).toBe(429);
    vi.setSystemTime(Date.now() + 2_000);
    expect((await offer(code)).status).toBe(200);
  });

  it("does not count pairings that succeed", async () => {
    for (let n = 0; n < 15; n += 1) await own.pair();
    expect((await offer(wrongCode())).status).toBe(403);
  });

  it("lets a paired tablet ask for a code for another one, which replaces the last", async () => {
    const first = own.running.pairingCode();
    const paired = await own.pair();
    const { body } = await own.ask("POST", "/api/pair/code", { token: paired });
    expect(body).toEqual({ code: own.running.pairingCode(), expiresAt: expect.any(Number) });
    expect(body.expiresAt).toBeGreaterThan(Date.now());
    expect((await offer(first)).status).toBe(403);
    expect((await offer(body.code)).status).toBe(200);
  });

  it("gives a token that is good after a restart", async () => {
    const paired = await own.pair();
    await own.restart();
    const tablet = await own.benchClient(paired);
    await tablet.must({ type: "goLive" });
    expect((await own.ask("GET", "/api/sessions", { token: paired })).status).toBe(200);
  });

  it("is forgotten for all tablets at once, and those that are there are let go", async () => {
    const tokens = [await own.pair(), await own.pair()];
    const tablets = await Promise.all(tokens.map((paired) => own.benchClient(paired)));
    const viewer = await own.watchClient();
    const { status } = await own.ask("POST", "/api/pair/forget", { token: tokens[0] ?? "" });
    expect(status).toBe(200);
    await until(() => tablets.every(({ socket }) => !socket.connected), "the tablets to be let go");
    expect(viewer.socket.connected).toBe(true);
    for (const paired of tokens) {
      expect((await own.ask("GET", "/api/sessions", { token: paired })).status).toBe(401);
      await expect(own.benchClient(paired)).rejects.toMatchObject({ data: { code: "token" } });
    }
    await own.restart();
    await expect(own.benchClient(tokens[1] ?? "")).rejects.toMatchObject({
      data: { code: "token" },
    });
    await own.benchClient(await own.pair());
  });
});

describe("a pour sheet with a key that would reach into every object", () => {
  it("is opened without it", async () => {
    const lines = JSON.stringify(harbourSheet());
    const body = lines.replace('"skeins":{"5":2,"6":1}', '"skeins":{"__proto__":4707,"6":1}');
    expect(body).not.toBe(lines);
    const { status, body: opened } = await house.ask("POST", "/api/sessions", { token, body });
    expect(status).toBe(201);
    expect(Object.keys(Object.prototype)).toEqual([]);
    expect(JSON.stringify(house.running.record.events(opened.session))).not.toContain("4707");
  });
});

describe("a name with markup, emoji or letters that run to the left", () => {
  it("goes through as it is", async () => {
    const name = '<img src=x onerror="alert(1)"> 🧶 \u05d9\u05dd & "ebb"';
    const setup = setupOf({ ...harbourSheet(), name });
    const opened = await house.ask("POST", "/api/sessions", {
      token,
      body: { ...harbourSheet(), name },
    });
    expect(opened.status).toBe(201);
    const viewer = await house.watchClient();
    expect(setup.name).toBe(name);
    expect(viewer.known().view.session.name).toBe(name);
    const { headers, body } = await house.ask("GET", "/api/view");
    expect(headers.get("content-type")).toMatch(/^application\/json/);
    expect(body.view.session.name).toBe(name);
  });
});
