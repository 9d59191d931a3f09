import { type ChildProcess, spawn, spawnSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import type { AddressInfo } from "node:net";
import { createServer } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { WebSocket } from "ws";
import { lineVersion } from "../../server/relay/limits.ts";
import type { Common, Hearing } from "../../server/relay/processes.ts";
import { openTogether } from "../../server/relay/together.ts";
import type { Command } from "../../shared/session/command.ts";
import { type PublicView, publicView } from "../../shared/session/views/publicView.ts";
import type { RelayView } from "../../shared/session/wire.ts";
import { bundle } from "../record/bundle.ts";
import { pourOf } from "../scenario/desk.ts";
import { type BenchClient, type House, liveHouse, pause, until } from "../server/house.ts";
import { Follower } from "./follower.ts";
import { Pipe } from "./pipe.ts";

const key = "a-key-of-two-processes";
const drop: Command = { type: "pour", pour: pourOf("saltmarsh", 1000) };
const hasRedis = spawnSync("redis-server", ["--version"]).status === 0;
if (!hasRedis) {
  console.warn("SKIPPED: two relay processes were not tried, for there is no redis-server here.");
}

describe.skipIf(!hasRedis)("two processes of one relay, on a real Redis", () => {
  let redis: ChildProcess;
  let redisPort: number;
  let folder: string;
  let url: string;
  let script: string;
  let house: House;
  let bench: BenchClient;
  let token: string;
  const started: ChildProcess[] = [];
  const followers: Follower[] = [];

  async function relayProcess(): Promise<{ process: ChildProcess; address: string }> {
    const relay = spawn(process.execPath, [script, url, key], {
      stdio: ["ignore", "pipe", "inherit"],
    });
    started.push(relay);
    let printed = "";
    relay.stdout.on("data", (part) => {
      printed += part;
    });
    await until(() => /port \d+/.test(printed), "a relay process", 40_000);
    return { process: relay, address: `http://127.0.0.1:${/port (\d+)/.exec(printed)?.[1]}` };
  }

  function startRedis(): ChildProcess {
    const words = ["--port", String(redisPort), "--bind", "127.0.0.1", "--dir", folder];
    return spawn("redis-server", [...words, "--save", "", "--appendonly", "no"], {
      stdio: "ignore",
    });
  }

  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), "pourside-redis-"));
    redisPort = await freePort();
    url = `redis://127.0.0.1:${redisPort}`;
    redis = startRedis();
    script = await bundle(fileURLToPath(new URL("relayProcess.ts", import.meta.url)));
    ({ house, bench, token } = await liveHouse());
  }, 60_000);

  afterAll(async () => {
    for (const follower of followers) follower.close();
    for (const relay of started) relay.kill("SIGKILL");
    await house?.close();
    redis?.kill("SIGKILL");
    if (script) rmSync(script);
    rmSync(folder, { recursive: true, force: true });
  });

  const dial = (address: string) =>
    house.ask("POST", "/api/relay", { token, body: { address, key } });
  const follow = (address: string, has?: ConstructorParameters<typeof Follower>[1]) => {
    const follower = new Follower(address, has);
    followers.push(follower);
    return follower;
  };
  const report = () => house.running.relay.report();

  /** One who has the key and came in first, once the line of the bench before is over. */
  async function thiefOn(address: string): Promise<WebSocket> {
    const end = performance.now() + 20_000;
    while (performance.now() < end) {
      const thief = new WebSocket(`${address.replace("http", "ws")}/line`, {
        headers: { Authorization: `Bearer ${key}` },
      });
      thief.on("error", () => {});
      await new Promise((resolve) => thief.once("open", resolve));
      const answer = new Promise((resolve) =>
        thief.once("message", (text) => resolve(String(text))),
      );
      const now = Date.now();
      thief.send(JSON.stringify({ kind: "hello", version: lineVersion, bench: "thief", now }));
      if (String(await answer).includes('"welcome"')) return thief;
      thief.terminate();
      await pause(200);
    }
    throw new Error("the line was never free");
  }

  it("tell the same in the same order, count together, and lose nothing when one is killed", async () => {
    const [one, two] = await Promise.all([relayProcess(), relayProcess()]);
    // As a proxy in front does: what one does not take the other gets.
    const way = await Pipe.open(() =>
      [one, two].map(({ address }) => Number(new URL(address).port)),
    );
    await dial(way.address);
    await until(() => report().state === "on", "the bench to be on", 10_000);
    const here = follow(one.address);
    const there = follow(two.address);
    let seq = await bench.must(drop);
    await Promise.all([here.sees(seq), there.sees(seq)]);
    for (let pour = 0; pour < 10; pour++) seq = await bench.must(drop);
    await Promise.all([here.sees(seq), there.sees(seq)]);
    expect(there.told.slice(-10)).toEqual(here.told.slice(-10));
    await until(() => report().followers === 2, "both to be counted", 8_000);

    // Pours go on while the one that the bench is on is killed.
    const before = there.told.length;
    for (let pour = 0; pour < 5; pour++) seq = await bench.must(drop);
    one.process.kill("SIGKILL");
    for (let pour = 0; pour < 5; pour++) seq = await bench.must(drop);
    const from = performance.now();
    await there.sees(seq, 5_000);
    expect(performance.now() - from).toBeLessThan(5_000);
    const moved = follow(two.address, {
      session: here.session,
      seq: here.seq,
      view: here.view as NonNullable<typeof here.view>,
    });
    for (let pour = 0; pour < 5; pour++) seq = await bench.must(drop);
    await Promise.all([there.sees(seq), moved.sees(seq)]);
    await until(() => bench.known().seq === seq, "the tablet");
    expect(there.view).toEqual(publicView(bench.known()));
    expect(moved.view).toEqual(there.view);
    expect(there.inOrder()).toBe(true);
    // Every change came, each as a patch on the one before, across the break.
    expect(there.told.slice(before).map(({ kind }) => kind)).not.toContain("snapshot");
    expect(there.told.slice(before)).toHaveLength(15);

    const three = await relayProcess();
    const late = follow(three.address);
    await late.sees(seq, 10_000);
    expect(late.view).toEqual(there.view);
    expect(late.told).toHaveLength(1);
    way.close();
  }, 90_000);

  it("go on when their Redis is away, and together again when it is back", async () => {
    const [one, two] = await Promise.all([relayProcess(), relayProcess()]);
    await dial(one.address);
    await until(() => report().state === "on", "the bench to be on", 10_000);
    const [here, there] = [follow(one.address), follow(two.address)];
    let seq = await bench.must(drop);
    await Promise.all([here.sees(seq), there.sees(seq)]);
    redis.kill("SIGKILL");
    await new Promise((resolve) => redis.once("exit", resolve));
    seq = await bench.must(drop);
    await here.sees(seq);
    redis = startRedis();
    // The processes dial Redis again by themselves, and the next change carries all before it.
    const end = performance.now() + 15_000;
    while (there.seq < seq && performance.now() < end) {
      await bench.must(drop);
      await pause(200);
    }
    seq = await bench.must(drop);
    await Promise.all([here.sees(seq), there.sees(seq)]);
    expect(there.view).toEqual(here.view);
    expect([here, there].every((follower) => follower.inOrder() && !follower.over)).toBe(true);
    expect([one, two].map(({ process }) => process.exitCode)).toEqual([null, null]);
  }, 90_000);

  it("know a new key together: a thief on the other one is put out, and followers hear it", async () => {
    const [one, two] = await Promise.all([relayProcess(), relayProcess()]);
    await house.ask("DELETE", "/api/relay", { token });
    const thief = await thiefOn(one.address);
    await dial(two.address);
    await until(() => report().state === "refused", "the bench to be refused", 10_000);
    expect(thief.readyState).toBe(WebSocket.OPEN);
    expect((await house.ask("POST", "/api/relay/renew", { token })).status).toBe(200);
    await until(() => thief.readyState === WebSocket.CLOSED, "the thief to be put out", 10_000);
    await until(() => report().state === "on", "the bench to be on", 10_000);
    const [here, there] = [follow(one.address), follow(two.address)];
    const seq = await bench.must(drop);
    await Promise.all([here.sees(seq), there.sees(seq)]);
    for (const { address } of [one, two]) {
      const old = await fetch(`${address}/line/key`, {
        method: "POST",
        headers: { Authorization: `Bearer ${key}` },
      });
      expect(old.status).toBe(401);
    }
    // Nobody says so when a process is killed, and yet the others must not go on saying it is there.
    await until(() => here.clocks.at(-1)?.bench === true, "the bench to be there", 10_000);
    two.process.kill("SIGKILL");
    await until(() => here.clocks.at(-1)?.bench === false, "the bench to be away", 20_000);
  }, 90_000);

  it("keep the newer view, whoever tells last, and end lines of an older key or bench", async () => {
    const [one, two] = await Promise.all([
      openTogether(url, Date.now, deaf),
      openTogether(url, Date.now, deaf),
    ]);
    try {
      let line = 0;
      // The bench of the process that was killed holds the last line for some seconds more.
      const end = performance.now() + 20_000;
      while (line === 0 && performance.now() < end) {
        line = (await one.claim("thief")) ?? 0;
        await pause(100);
      }
      expect(line).toBeGreaterThan(0);
      const told = (line: number, turn: number): RelayView => ({
        kind: "snapshot",
        session: "a",
        line,
        turn,
        seq: 100 * line + turn,
        at: 1,
        view: { session: { name: "a" }, timers: {} } as unknown as PublicView,
      });
      const tell = (by: Common, view: RelayView) => by.tell(view, view);
      const keeps = async (view: RelayView) => {
        // A later answer of the same connections: what was told before has been taken in.
        await Promise.all([one.key(), two.key()]);
        expect(await two.latest()).toEqual(view);
      };
      tell(one, told(line, 9));
      await keeps(told(line, 9));
      tell(two, told(line, 8));
      await keeps(told(line, 9));
      tell(two, told(line, 10));
      await keeps(told(line, 10));
      tell(one, told(line - 1, 11));
      await keeps(told(line, 10));

      expect(await one.hold("thief", line)).toBe(true);
      await two.setKey({ hash: "another", given: null });
      expect(await one.hold("thief", line)).toBe(false);
      const later = (await two.claim("thief")) ?? 0;
      expect(later).toBeGreaterThan(line);
      expect(await one.hold("thief", line)).toBe(false);
      expect(await two.hold("thief", later)).toBe(true);
      expect(await one.claim("another")).toBeNull();
    } finally {
      await Promise.all([one.close(), two.close()]);
    }
  }, 60_000);

  it("say so when they start without their Redis", async () => {
    const none = `redis://127.0.0.1:${await freePort()}`;
    await expect(openTogether(none, Date.now, deaf)).rejects.toThrow(/^No Redis answers at /);
  });
});

const deaf: Hearing = {
  told: () => {},
  behind: () => false,
  caughtUp: () => {},
  lineTaken: () => {},
  bench: () => {},
  keyChanged: () => {},
};

async function freePort(): Promise<number> {
  const probe = createServer();
  await new Promise<void>((resolve) => probe.listen(0, "127.0.0.1", resolve));
  const { port } = probe.address() as AddressInfo;
  await new Promise((resolve) => probe.close(resolve));
  return port;
}
