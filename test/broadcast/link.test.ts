import { readFileSync, statSync } from "node:fs";
import { createServer as createHttp } from "node:http";
import { type AddressInfo, createServer, type Server, type Socket } from "node:net";
import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import { WebSocketServer } from "ws";
import { slowness } from "../scenario/slowness.ts";
import { Bench, password, pause, until } from "./bench.ts";
import { Peer } from "./peer.ts";

let bench: Bench;
let peer: Peer | null = null;
const strangers: { close(): void }[] = [];

beforeEach(async () => {
  bench = await Bench.open();
});

afterEach(async () => {
  await bench.end();
  await peer?.close();
  peer = null;
  for (const stranger of strangers.splice(0)) stranger.close();
});

describe("the link to the broadcasting software", () => {
  test("is not there at first, and nothing asks for it", async () => {
    const { word, address, passwordKept } = await bench.report();
    expect(word).toMatchObject({ state: "none", ill: false });
    expect({ address, passwordKept }).toEqual({ address: null, passwordKept: false });
  });

  test("keeps address and password for the owner only, and gives the password to no page and no log", async () => {
    const logged: string[] = [];
    for (const way of ["log", "warn", "error", "info"] as const) {
      vi.spyOn(console, way).mockImplementation((...said) => void logged.push(said.join(" ")));
    }
    peer = await Peer.open(password);
    await bench.link(peer.address);
    await until(() => bench.word?.state === "on");
    expect(await bench.report()).toMatchObject({ address: peer.address, passwordKept: true });
    const file = `${bench.folder}/broadcast.json`;
    expect(readFileSync(file, "utf8")).toContain("weld");
    if (process.platform !== "win32") expect(statSync(file).mode & 0o777).toBe(0o600);
    await bench.ask("POST", "/api/broadcast/overlay");
    expect(bench.heard).not.toContain("weld");
    expect(logged.join("\n")).not.toContain("weld");
    vi.restoreAllMocks();
    await bench.ask("DELETE", "/api/broadcast/access");
    await until(() => bench.word?.state === "none");
    expect(() => statSync(file)).toThrow();
  });

  test("is made when the broadcaster starts late, and again after it quits and comes back", async () => {
    const first = await Peer.open(password);
    const { port, address } = first;
    await first.close();
    await bench.link(address);
    await until(() => bench.word?.state === "away");
    expect(bench.word).toMatchObject({ ill: true });
    await pause(1500);
    for (let round = 0; round < 2; round++) {
      peer = await Peer.open(password, port);
      const opened = performance.now();
      await until(() => bench.word?.state === "on");
      expect(performance.now() - opened).toBeLessThan(5_000 * slowness());
      await peer.close();
      await until(() => bench.word?.state === "away");
    }
    peer = null;
  });

  test("says that a password is wrong, does not try it again in a loop, and takes the right one", async () => {
    peer = await Peer.open(password);
    await bench.link(peer.address, "wrong");
    await until(() => bench.word?.state === "wrongPassword");
    await pause(2_500);
    expect(peer.refusedPasswords).toBe(1);
    await bench.link(peer.address);
    await until(() => bench.word?.state === "on");
  });

  test("keeps the password that is there when only the address is sent again", async () => {
    peer = await Peer.open(password);
    await bench.link(peer.address);
    await until(() => bench.word?.state === "on");
    await bench.ask("PUT", "/api/broadcast/access", { address: peer.address });
    await until(() => peer?.greeted === 2);
    await until(() => bench.word?.state === "on");
    expect(peer.refusedPasswords).toBe(0);
  });

  test("takes no address that is none, and asks for a token", async () => {
    for (const address of ["", "http://127.0.0.1:1", "ws://name:word@127.0.0.1:1", "ws://a:1/x"]) {
      const { status, text } = await bench.ask("PUT", "/api/broadcast/access", { address });
      expect([status, JSON.parse(text).code]).toEqual([409, "address"]);
    }
    expect((await fetch(`${bench.address}/api/broadcast`)).status).toBe(401);
  });

  test("lets the bench go on while the broadcaster answers nothing", async () => {
    peer = await Peer.open(password);
    peer.answer("CreateRecordChapter", () => ({}));
    peer.answer("GetRecordStatus", () => ({ outputActive: true, outputDuration: 1_000 }));
    await bench.link(peer.address);
    await until(async () => (await bench.report()).runs.length === 1);
    await bench.ask("PUT", "/api/broadcast/scenes", { pour: "Elsewhere" });
    peer.mute = true;
    await bench.goLive();
    const began = performance.now();
    await bench.advance();
    await pause(420);
    await bench.advance();
    expect(performance.now() - began - 420).toBeLessThan(1_000 * slowness());
    await until(() => peer?.of("CreateRecordChapter").length === 1);
  });
});

test("a broadcaster that falls silent without hanging up is called again until it answers", async () => {
  peer = await Peer.open(password);
  await bench.link(peer.address);
  await until(() => bench.word?.state === "on");
  peer.mute = true;
  await until(() => bench.word?.state === "away", 14_000);
  peer.mute = false;
  await until(() => bench.word?.state === "on", 6_000);
});

describe("a stranger on the port", () => {
  const listen = async (server: Server) => {
    const sockets = new Set<Socket>();
    server.on("connection", (socket) => {
      sockets.add(socket);
      socket.on("error", () => {});
    });
    await new Promise<void>((ready) => server.listen(0, "127.0.0.1", ready));
    strangers.push({
      close: () => {
        for (const socket of sockets) socket.destroy();
        server.close();
      },
    });
    return `ws://127.0.0.1:${(server.address() as AddressInfo).port}`;
  };
  const said = async (address: string, state: string) => {
    await bench.link(address);
    await until(() => bench.word?.state === state, 8_000);
    expect(bench.word?.say).toMatch(/^What answers at /);
    await bench.goLive();
    await bench.advance();
  };

  test("that speaks HTTP is said", async () => {
    await said(await listen(createHttp((_request, response) => response.end("hello"))), "stranger");
  });

  test("that sends garbage is said", async () => {
    const garbage = createServer((socket) => socket.write("\u0000\u0001 not a protocol\r\n\r\n"));
    await said(await listen(garbage), "stranger");
  });

  test("that says nothing is taken for one who is away", async () => {
    await bench.link(await listen(createServer(() => {})));
    await until(() => bench.word?.state === "away", 8_000);
    expect(bench.word?.say).toMatch(/does not answer/);
  });

  test("that sends bytes without end is cut off, and memory stays bounded", async () => {
    const before = process.memoryUsage().rss;
    let sent = 0;
    const flood = createServer((socket) => {
      const chunk = Buffer.alloc(64 * 1024, "x");
      const more = () => {
        while (!socket.destroyed && sent < 2 ** 30) {
          sent += chunk.length;
          if (!socket.write(chunk)) break;
        }
      };
      socket.on("drain", more);
      more();
    });
    await said(await listen(flood), "stranger");
    expect(process.memoryUsage().rss - before).toBeLessThan(200 * 2 ** 20);
    expect(sent).toBeLessThan(2 ** 30);
  });

  test("that greets in another tongue of the same transport is said", async () => {
    const server = new WebSocketServer({ port: 0, host: "127.0.0.1" });
    await new Promise<void>((ready) => server.once("listening", ready));
    strangers.push(server);
    await said(`ws://127.0.0.1:${(server.address() as AddressInfo).port}`, "stranger");
  });

  test("that speaks the protocol and then floods is cut off", async () => {
    peer = await Peer.open(password);
    await bench.link(peer.address);
    await until(() => bench.word?.state === "on");
    for (let i = 0; i < 3_000; i++) peer.tell("Flooded", { i, text: "x".repeat(1_000) });
    await until(() => bench.word?.state === "flood");
    expect(bench.word?.say).toMatch(/cut off/);
    await bench.goLive();
    await bench.advance();
  });
});
