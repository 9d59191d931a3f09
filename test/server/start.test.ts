import { spawn } from "node:child_process";
import { createHash } from "node:crypto";
import {
  chmodSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  truncateSync,
  writeFileSync,
} from "node:fs";
import { createServer } from "node:http";
import { type AddressInfo, connect } from "node:net";
import { join } from "node:path";
import jsQR from "jsqr";
import Database from "libsql";
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from "vitest";
import { openRecord } from "../../server/record/record.ts";
import { currentVersion } from "../../server/record/schema.ts";
import { harbourSheet, setupOf } from "../scenario/desk.ts";
import { slowness } from "../scenario/slowness.ts";
import { entry, type Process, type Setting, startProcess, untilHealthy } from "./entry.ts";
import { BenchClient, dataFolder, pause, until, WatchClient } from "./house.ts";
import { joined, rawRequest } from "./wire.ts";

let script: string;
let remove: () => void;
let data: string;
const running: Process[] = [];

beforeAll(async () => {
  ({ script, remove } = await entry());
});

afterAll(() => {
  remove();
});

beforeEach(() => {
  data = dataFolder();
});

afterEach(async () => {
  for (const process of running) process.end("SIGKILL");
  await Promise.all(running.splice(0).map(({ ended }) => ended));
  rmSync(data, { recursive: true, force: true });
});

const run = (setting: Setting): Process => {
  const process = startProcess(script, setting);
  running.push(process);
  return process;
};
const runOn = (folder: string, ...more: string[]) =>
  run({ flags: ["--port", "0", "--host", "127.0.0.1", "--data", folder, ...more] });

/** Port of a listener that is closed again: free, most likely. */
const freePort = async (): Promise<number> => {
  const server = createServer().listen(0, "127.0.0.1");
  await new Promise((resolve) => server.once("listening", resolve));
  const { port } = server.address() as AddressInfo;
  await new Promise((resolve) => server.close(resolve));
  return port;
};

const bytesIn = (folder: string): Record<string, string> =>
  Object.fromEntries(
    readdirSync(folder)
      .filter((name) => name !== "record.lock" && statSync(join(folder, name)).isFile())
      .map((name) => [
        name,
        createHash("sha256")
          .update(readFileSync(join(folder, name)))
          .digest("hex"),
      ]),
  );

/** A start that has to fail with one sentence; returns that. Nothing that was there has changed. */
const refusal = async (
  setting: Setting,
  what: () => Record<string, unknown> = () => bytesIn(data),
): Promise<string> => {
  const before = what();
  const process = run(setting);
  expect(await process.ended).toBe(1);
  const said = process.complained();
  expect(said).toMatch(/^[^\n]+[.]\n$/);
  // One sentence: nothing ends within it, and no part of a stack of calls is in it.
  expect(said.match(/[.!?](?=\s)/g)).toHaveLength(1);
  expect(said).not.toMatch(/Error|\bat \S+:\d+|node:/);
  expect(process.printed()).not.toContain("ready");
  expect(what()).toEqual(before);
  return said;
};
const refusalOn = (folder: string, what?: () => Record<string, unknown>) =>
  refusal({ flags: ["--port", "0", "--host", "127.0.0.1", "--data", folder] }, what);

/** The pattern of blocks that a terminal shows, dark modules as true, a row of text as two rows. */
const modulesOf = (lines: readonly string[]): boolean[][] =>
  lines.flatMap((line) => {
    const cells = [...line];
    return [
      cells.map((cell) => cell === "\u2584" || cell === " "),
      cells.map((cell) => cell === "\u2580" || cell === " "),
    ];
  });

/** What an independent decoder reads from the modules, each drawn as a square of four by four. */
const decoded = (modules: readonly boolean[][]): string | undefined => {
  const scale = 4;
  const width = (modules[0]?.length ?? 0) * scale;
  const height = modules.length * scale;
  const pixels = new Uint8ClampedArray(width * height * 4).fill(255);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      if (modules[Math.floor(y / scale)]?.[Math.floor(x / scale)]) {
        pixels.fill(0, (y * width + x) * 4, (y * width + x) * 4 + 3);
      }
    }
  }
  return jsQR(pixels, width, height)?.data;
};

describe("a start", () => {
  it("prints where everything is, and answers there", async () => {
    const server = runOn(data);
    const address = await server.ready();
    await untilHealthy(address);
    const printed = server.printed();
    expect(printed).toContain("Pourside is ready.");
    expect(printed).toContain(`    ${address}/controller\n`);
    expect(printed).toMatch(/ {4}pairing code \d{6}, good for 10 minutes\n/);
    expect(printed).toContain(`    ${address}/overlay\n`);
    expect(printed).toContain(`    ${address}/follow\n`);
    expect(printed).toContain(`    ${join(data, "record.db")}\n`);
    expect(server.complained()).toBe("");
    const health = await fetch(`${address}/api/health`);
    expect(health.status).toBe(200);
    expect(await health.json()).toMatchObject({ ok: true, seq: 1 });
    const view = await fetch(`${address}/api/view`);
    expect(await view.json()).toMatchObject({
      view: { session: { name: "Harbour at dusk", phase: "ready" } },
    });
  });

  it("draws a code that leads to the controller with the pairing code", async () => {
    const server = runOn(data);
    const address = await server.ready();
    const leads = `${address}/controller#pair=${server.pairingCode()}`;
    const blocks = server
      .printed()
      .split("\n")
      .filter((line) => /^ {4}[ \u2580\u2584\u2588]+$/.test(line) && /[\u2580-\u2588]/.test(line))
      .map((line) => line.slice(4));
    expect(decoded(modulesOf(blocks))).toBe(leads);
    // The pairing that it leads to is good.
    const paired = await fetch(`${address}/api/pair`, {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: JSON.stringify({ code: server.pairingCode() }),
    });
    expect(paired.status).toBe(200);
  });

  it("says a new pairing code when an old one is used up", async () => {
    const server = runOn(data);
    const address = await server.ready();
    const offer = () =>
      fetch(`${address}/api/pair`, {
        method: "POST",
        headers: { "Content-Type": "application/json" },
        body: JSON.stringify({ code: server.pairingCode() }),
      });
    expect((await offer()).status).toBe(200);
    expect((await offer()).status).toBe(403);
    await until(
      () => /New pairing code: \d{6}, good for 10 minutes\./.test(server.printed()),
      "a new code",
    );
    expect(server.printed()).not.toContain(`New pairing code: ${server.pairingCode()}`);
  });

  it("takes port, host and folder from the environment, and flags over those", async () => {
    const [port, other] = [await freePort(), await freePort()];
    const env = { PORT: String(port), HOST: "127.0.0.2", POURSIDE_DATA: data };
    const first = run({ env });
    expect(await first.ready()).toBe(`http://127.0.0.2:${port}`);
    expect(first.printed()).toContain(join(data, "record.db"));
    expect((await fetch(`http://127.0.0.2:${port}/api/health`)).status).toBe(200);
    await expect(fetch(`http://127.0.0.1:${port}/api/health`)).rejects.toThrow();

    const elsewhere = join(data, "elsewhere");
    const flags = ["--port", String(other), "--host", "127.0.0.3", "--data", elsewhere];
    const second = run({ env, flags });
    expect(await second.ready()).toBe(`http://127.0.0.3:${other}`);
    expect(second.printed()).toContain(join(elsewhere, "record.db"));
  });

  it("takes names under which its pages may be asked for", async () => {
    const server = runOn(data, "--name", "Bench.Example", "--name", "other.example");
    const address = await server.ready();
    const askAs = async (host: string) =>
      (await rawRequest(address, "/api/health", { headers: { Host: host } })).status;
    expect(await askAs("bench.example:4707")).toBe(200);
    expect(await askAs("other.example")).toBe(200);
    expect(await askAs("third.example")).toBe(403);
  });

  it("again on the same record is healthy within 3 s", async () => {
    const first = runOn(data);
    await first.ready();
    first.end("SIGTERM");
    expect(await first.ended).toBe(0);
    const port = await freePort();
    const flags = ["--port", String(port), "--host", "127.0.0.1", "--data", data];
    // Other tests run at the same time, so the quickest of three counts.
    let quickestMs = Number.POSITIVE_INFINITY;
    for (let tries = 3; tries > 0 && quickestMs >= 3000; tries -= 1) {
      const from = performance.now();
      const again = run({ flags });
      await untilHealthy(`http://127.0.0.1:${port}`);
      quickestMs = Math.min(quickestMs, performance.now() - from);
      again.end("SIGTERM");
      await again.ended;
    }
    console.log(`a second start was healthy after ${Math.round(quickestMs)} ms`);
    expect(quickestMs).toBeLessThan(3000 * slowness());
  });
});

/** All rows of all tables of a record. */
const rowsIn = (file: string): Record<string, unknown> => {
  const db = new Database(file);
  try {
    const tables = ["events", "answers", "settings"];
    return Object.fromEntries(
      tables.map((table) => [table, db.prepare(`SELECT * FROM ${table}`).all()]),
    );
  } finally {
    db.close();
  }
};

describe("a start that cannot be says so in one sentence and overwrites nothing", () => {
  const keepSomething = () => {
    const record = openRecord(data);
    const setup = setupOf(harbourSheet());
    const answer = { ok: true, session: "dusk", seq: 1 } as const;
    record.append("dusk", 0, "c1", 1, 1, [{ type: "opened", setup }], answer);
    const notes = Array.from({ length: 60 }, (_, n) => ({
      type: "acted",
      act: { kind: "note", text: `note ${n} ${"n".repeat(500)}`, seen: "public" },
      advances: false,
    }));
    record.append("dusk", 1, "c2", 1, 1, notes, { ok: true, session: "dusk", seq: 61 });
    record.close();
    return join(data, "record.db");
  };
  const overwrite = (file: string, at: number, bytes: Buffer) => {
    const content = readFileSync(file);
    bytes.copy(content, at);
    writeFileSync(file, content);
  };

  it("when the port is taken", async () => {
    const other = createServer().listen(0, "127.0.0.1");
    await new Promise((resolve) => other.once("listening", resolve));
    const { port } = other.address() as AddressInfo;
    try {
      keepSomething();
      const flags = ["--port", String(port), "--host", "127.0.0.1", "--data", data];
      const said = await refusal({ flags });
      expect(said).toMatch(`Port ${port} is taken`);
      expect(said).toMatch("--port");
    } finally {
      other.close();
    }
  });

  it("when the host is none of this machine's", async () => {
    for (const host of ["192.0.2.1", "no-such-host.invalid"]) {
      const said = await refusal({ flags: ["--port", "0", "--host", host, "--data", data] });
      expect(said).toMatch(host);
      expect(said).toMatch("--host");
    }
  });

  it("when the data folder cannot be written", async () => {
    const file = join(data, "a-file");
    writeFileSync(file, "not a folder");
    expect(await refusalOn(file)).toMatch("cannot write");
    expect(await refusalOn(join(file, "below"))).toMatch("cannot write");
    expect(readFileSync(file, "utf8")).toBe("not a folder");
  });

  it.runIf(process.getuid?.() === 0)("when the data folder is another's", async () => {
    keepSomething();
    chmodSync(data, 0o755);
    const nobody = 65_534;
    const flags = ["--port", "0", "--host", "127.0.0.1", "--data", data];
    expect(await refusal({ flags, user: nobody })).toMatch("cannot write");
    const locked = join(data, "locked");
    mkdirSync(locked, { mode: 0o555 });
    flags[5] = join(locked, "new");
    expect(await refusal({ flags, user: nobody })).toMatch("cannot write");
  });

  it("when the record is damaged", async () => {
    const file = keepSomething();
    const whole = readFileSync(file);
    overwrite(file, 4096 * 2, Buffer.alloc(4096 * 3, 0xa5));
    expect(await refusalOn(data)).toMatch("is damaged and was left as it is");
    writeFileSync(file, whole);
    truncateSync(file, 4096 * 3 + 100);
    expect(await refusalOn(data)).toMatch("is damaged");
    writeFileSync(file, "this is not a database, but a letter to somebody".repeat(100));
    expect(await refusalOn(data)).toMatch("is damaged");
  });

  it("when what the record says cannot have happened", async () => {
    const file = keepSomething();
    const db = new Database(file);
    const triggers = db.prepare("SELECT name FROM sqlite_master WHERE type = 'trigger'").all() as {
      name: string;
    }[];
    for (const { name } of triggers) db.exec(`DROP TRIGGER ${name}`);
    db.close();
    const whole = readFileSync(file);
    const spoilt = [
      "UPDATE events SET body = json_set(body, '$.act.kind', 'pour') WHERE seq = 7",
      "UPDATE events SET body = '7' WHERE seq = 7",
      `UPDATE events SET body = '{"type":"undone","act":3}' WHERE seq = 7`,
      "DELETE FROM events WHERE seq = 7",
    ];
    for (const change of spoilt) {
      const changed = new Database(file);
      changed.exec(change);
      changed.close();
      expect(await refusalOn(data, () => rowsIn(file))).toMatch("is damaged and was left as it is");
      writeFileSync(file, whole);
    }
  });

  it("when the record is newer than this Pourside", async () => {
    const file = keepSomething();
    const version = Buffer.alloc(4);
    version.writeUInt32BE(currentVersion + 1);
    // Offset of the user version, by the SQLite file format, 1.3.
    overwrite(file, 60, version);
    expect(await refusalOn(data)).toMatch("was kept by a newer Pourside");
  });

  it("when the record is of another program", async () => {
    const file = join(data, "record.db");
    const db = new Database(file);
    db.exec("CREATE TABLE recipes (name TEXT); INSERT INTO recipes VALUES ('soup')");
    db.close();
    expect(await refusalOn(data)).toMatch("is not a Pourside record");
  });

  it("when another Pourside holds the record", async () => {
    const first = runOn(data);
    const address = await first.ready();
    expect(await refusalOn(data)).toMatch("Another Pourside is using the record");
    expect((await fetch(`${address}/api/health`)).status).toBe(200);
  });

  it("when a flag is unknown or lacks its value", async () => {
    for (const flags of [["--prot", "4707"], ["--port"]]) {
      const said = await refusal({ flags, env: { POURSIDE_DATA: data } });
      expect(said).toMatch("--port, --host, --data, --name");
    }
  });

  it("when the port is not one", async () => {
    const flags = ["--port=70000", "--host", "127.0.0.1", "--data", data];
    expect(await refusal({ flags })).toMatch('from 0 to 65535, not "70000"');
    const env = { PORT: "many", POURSIDE_DATA: data };
    expect(await refusal({ env, flags: ["--host", "127.0.0.1"] })).toMatch(`not "many"`);
  });
});

describe("an end that was asked for", () => {
  it.skipIf(process.platform === "win32")(
    "of npm, whose shell keeps the signal to itself, ends the server too",
    async () => {
      const port = await freePort();
      const command = `"${process.execPath}" "${script}" --port ${port} --host 127.0.0.1 --data "${data}"; true`;
      const shell = spawn("sh", ["-c", command], {
        stdio: "ignore",
        env: { ...process.env, npm_lifecycle_event: "start" },
      });
      await untilHealthy(`http://127.0.0.1:${port}`);
      shell.kill("SIGTERM");
      const answers = () =>
        fetch(`http://127.0.0.1:${port}/api/health`).then(
          () => true,
          () => false,
        );
      let still = true;
      for (let tries = 100; tries > 0 && still; tries -= 1) {
        await pause(100);
        still = await answers();
      }
      expect(still).toBe(false);
      // It lets go of the record once it lets nobody in any more.
      const isFree = () => {
        try {
          openRecord(data).close();
          return true;
        } catch {
          return false;
        }
      };
      await until(isFree, "the record to be let go");
    },
  );

  it("lets everybody go, closes the record and ends at once", async () => {
    for (const signal of ["SIGTERM", "SIGINT"] as const) {
      const server = runOn(data);
      const address = await server.ready();
      const viewer = new WatchClient(address);
      await viewer.arrived();
      const from = performance.now();
      server.end(signal);
      expect(await server.ended).toBe(0);
      expect(performance.now() - from).toBeLessThan(5000 * slowness());
      expect(server.complained()).toBe("");
      await until(() => !viewer.socket.connected, "the viewer to be let go");
      viewer.close();
      // The log has been worked into the record.
      expect(readdirSync(data).sort()).toEqual(["record.db", "record.lock"]);
    }
  });

  it("waits for nobody: not for half a request, nor for a viewer that fell silent", async () => {
    const server = runOn(data);
    const address = await server.ready();
    const { port, hostname } = new URL(address);
    const half = connect(Number(port), hostname);
    half.on("error", () => {});
    half.write("POST /api/pair HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Length: 100\r\n\r\n{");
    const silent = connect(Number(port), hostname);
    silent.on("error", () => {});
    silent.write(
      [
        "GET /socket.io/?EIO=4&transport=websocket HTTP/1.1",
        "Host: 127.0.0.1",
        "Connection: Upgrade",
        "Upgrade: websocket",
        "Sec-WebSocket-Version: 13",
        "Sec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==",
        "\r\n",
      ].join("\r\n"),
    );
    const wire = await joined(address, "/watch", { page: "overlay" });
    await new Promise((resolve) => silent.once("data", resolve));
    const from = performance.now();
    server.end("SIGTERM");
    expect(await server.ended).toBe(0);
    expect(performance.now() - from).toBeLessThan(5000 * slowness());
    half.destroy();
    silent.destroy();
    wire.close();
  });

  it("loses no command that was acknowledged", async () => {
    const server = runOn(data);
    const address = await server.ready();
    const paired = await fetch(`${address}/api/pair`, {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: JSON.stringify({ code: server.pairingCode() }),
    });
    const { token } = (await paired.json()) as { token: string };
    const tablet = new BenchClient(address, token);
    await tablet.arrived();
    const cutOff = new Promise((resolve) => tablet.socket.once("disconnect", resolve));
    let last = 0;
    const notes = async () => {
      for (let n = 0; n < 1000; n += 1) {
        last = await tablet.must({ type: "note", text: `note ${n}`, seen: "public" });
        await pause(6);
      }
    };
    notes().catch(() => {});
    await until(() => last > 20, "some notes");
    server.end("SIGTERM");
    expect(await server.ended).toBe(0);
    await cutOff;
    const record = openRecord(data);
    try {
      const events = record.events(tablet.known().session);
      expect(events.length).toBeGreaterThanOrEqual(last);
      expect(events.slice(0, last).map(({ seq }) => seq)).toEqual(
        Array.from({ length: last }, (_, n) => n + 1),
      );
    } finally {
      record.close();
    }
  });
});
