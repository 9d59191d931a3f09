/**
 * Proves from a system-call trace that the sync of the record's write-ahead log comes before each
 * acknowledgement: starts a server under strace, sends it commands one after another over a socket,
 * and reads the trace for the write of each event, the sync after it and the write of the answer.
 *
 * With `--if-installed` a machine without strace is no failure.
 */
import { execFileSync, spawn } from "node:child_process";
import { randomUUID } from "node:crypto";
import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { createServer } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { build } from "esbuild";
import { io } from "socket.io-client";
import { buildIfStale, serverFile } from "../../tools/build.mjs";

const root = fileURLToPath(new URL("../..", import.meta.url));
const commandCount = 20;
const logName = "record.db-wal";

let passed = 0;
let failed = 0;
/** @type {(holds: boolean, sentence: string) => void} */
const check = (holds, sentence) => {
  if (holds) passed += 1;
  else failed += 1;
  console.log(`${holds ? "ok    " : "FAILED"} ${sentence}`);
};
const finish = () => {
  console.log(`${passed} passed, ${failed} failed`);
  process.exit(failed > 0 || passed === 0 ? 1 : 0);
};

/**
 * One system call: to which file or socket, with what text, and at which lines of the trace it began
 * and had ended.
 * @typedef {{
 *   name: string, path: string, time: string, text: string,
 *   began: number, ended: number, result: number
 * }} Call
 */

/**
 * A command that was sent: its id, its answer, and the packet in which that came.
 * @typedef {{ id: string, answer: { ok: boolean }, packet: string }} Sent
 */

/** @type {(text: string) => number} */
const resultOf = (text) => Number(/= (-?\d+)[^=]*$/.exec(text)?.[1]);

/**
 * The calls of a trace, in the order in which they began. A call during which another thread makes
 * one is on two lines.
 * @type {(text: string) => Call[]}
 */
const readTrace = (text) => {
  /** @type {Call[]} */
  const calls = [];
  /** @type {Map<string, Call>} */
  const open = new Map();
  text.split("\n").forEach((line, index) => {
    const [, thread = "", time = "", rest = ""] = /^(\d+) +([\d:.]+) (.*)$/.exec(line) ?? [];
    const resumed = /^<\.\.\. \w+ resumed>(.*)$/.exec(rest)?.[1];
    if (resumed !== undefined) {
      const call = open.get(thread);
      open.delete(thread);
      if (call) {
        call.text += resumed;
        call.ended = index;
        call.result = resultOf(resumed);
      }
      return;
    }
    const begun = /^(\w+)\(\d+<(.*?)>(.*)$/.exec(rest);
    if (!begun) return;
    const [, name = "", path = "", after = ""] = begun;
    const whole = !rest.endsWith("<unfinished ...>");
    const call = {
      name,
      path,
      time,
      text: after,
      began: index,
      ended: whole ? index : Number.POSITIVE_INFINITY,
      result: whole ? resultOf(rest) : Number.NaN,
    };
    calls.push(call);
    if (!whole) open.set(thread, call);
  });
  return calls;
};

/** @type {(call: Call) => boolean} */
const isSync = (call) => call.name === "fsync" || call.name === "fdatasync";
/** @type {(call: Call) => boolean} */
const isLog = (call) => call.path.endsWith(`/${logName}`);
/**
 * As strace writes it within its quotation marks.
 * @type {(text: string) => string}
 */
const quoted = (text) => text.replaceAll("\\", "\\\\").replaceAll('"', '\\"');

/**
 * What is wrong with one acknowledgement, or the times of its write, sync and answer. All of the log
 * that was written before the answer began has to be on disk by then.
 * @param {readonly Call[]} calls
 * @param {Sent} sent
 */
const judge = (calls, { id, packet }) => {
  const answer = calls.find(
    (call) => !isSync(call) && !isLog(call) && call.text.includes(quoted(packet)),
  );
  if (!answer) return { wrong: "its answer is not in the trace" };
  const writes = calls.filter((call) => isLog(call) && !isSync(call) && call.began < answer.began);
  const event = writes.find((call) => call.text.includes(id));
  if (!event) return { wrong: "its answer was written before its event" };
  const last = Math.max(...writes.map((call) => call.ended));
  const sync = calls.find(
    (call) =>
      isSync(call) &&
      isLog(call) &&
      call.result === 0 &&
      call.began > last &&
      call.ended < answer.began,
  );
  if (!sync) return { wrong: "no sync of the log lies between its event and its answer" };
  return { write: event, sync, answer };
};

/** @returns {Promise<number>} */
const freePort = () =>
  new Promise((resolve, reject) => {
    const server = createServer();
    server.on("error", reject);
    server.listen(0, "127.0.0.1", () => {
      const address = server.address();
      const port = address && typeof address === "object" ? address.port : 0;
      server.close(() => resolve(port));
    });
  });

/** @type {(done: () => boolean | Promise<boolean>, what: string, seconds?: number) => Promise<void>} */
const until = async (done, what, seconds = 30) => {
  const end = Date.now() + seconds * 1000;
  while (!(await done())) {
    if (Date.now() > end) throw new Error(`waited ${seconds} s for ${what}`);
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
};

/**
 * Runs a server under strace while `use` works with it, given what says all that the server has
 * printed by then; returns what `use` returned, and the calls.
 * @param {readonly string[]} args
 * @param {string} base where it answers
 * @param {(printed: () => string) => Promise<Sent[]>} use
 * @returns {Promise<{ sent: Sent[], calls: Call[] }>}
 */
const traced = async (args, base, use) => {
  const folder = mkdtempSync(join(tmpdir(), "pourside-strace-"));
  const output = join(folder, "trace.txt");
  const names = "fsync,fdatasync,write,writev,pwrite64,pwritev,pwritev2,sendto,sendmsg";
  const strace = spawn(
    "strace",
    // A page of the log is 4,096 bytes, and the event may lie at its end: no string is cut short.
    [
      "-f",
      "-y",
      "-tt",
      "-s",
      "70000",
      "-e",
      `trace=${names}`,
      "-e",
      "signal=none",
      "-o",
      output,
    ].concat(process.execPath, args),
    { stdio: ["ignore", "pipe", "inherit"] },
  );
  const ended = new Promise((resolve, reject) => {
    strace.on("error", reject);
    strace.on("close", resolve);
  });
  ended.catch(() => {});
  let said = "";
  strace.stdout.on("data", (part) => {
    said += part;
  });
  try {
    await until(async () => {
      if (strace.exitCode !== null) throw new Error(`the server ended early: ${said}`);
      return fetch(`${base}/api/health`).then(
        (answer) => answer.ok,
        () => false,
      );
    }, "the server");
    const sent = await use(() => said);
    const children = `/proc/${strace.pid}/task/${strace.pid}/children`;
    for (const pid of readFileSync(children, "utf8").trim().split(/\s+/)) {
      process.kill(Number(pid), "SIGKILL");
    }
    await ended;
    return { sent, calls: readTrace(readFileSync(output, "utf8")) };
  } finally {
    strace.kill("SIGKILL");
    rmSync(folder, { recursive: true, force: true });
  }
};

/**
 * Sends the commands one after another, each when the last has been answered.
 * @param {import("socket.io-client").Socket} socket
 * @param {(index: number) => { id: string }} commandAt
 */
const sendCommands = async (socket, commandAt) => {
  await until(() => socket.connected, "the socket");
  let packet = "";
  socket.io.engine.on("packet", ({ type, data }) => {
    // An acknowledgement (3), perhaps of a namespace, with its number; sent as a message (4).
    if (type === "message" && /^3(\/[^,]*,)?\d+\[/.test(data)) packet = `4${data}`;
  });
  /** @type {Sent[]} */
  const sent = [];
  for (let index = 0; index < commandCount; index += 1) {
    const envelope = commandAt(index);
    const answer = await socket.timeout(10_000).emitWithAck("command", envelope);
    sent.push({ id: envelope.id, answer, packet });
  }
  socket.close();
  return sent;
};

/** @type {string[]} */
const bundled = [];
const acknowledger = async () => {
  const outfile = join(root, `node_modules/.cache/pourside/acknowledger-${process.pid}.mjs`);
  mkdirSync(join(root, "node_modules/.cache/pourside"), { recursive: true });
  await build({
    entryPoints: [fileURLToPath(new URL("acknowledger.ts", import.meta.url))],
    outfile,
    bundle: true,
    platform: "node",
    format: "esm",
    packages: "external",
    logLevel: "error",
  });
  bundled.push(outfile);
  return outfile;
};

/** @param {(data: string, port: number, base: string) => ReturnType<typeof traced>} run */
const withRecord = async (run) => {
  const data = mkdtempSync(join(tmpdir(), "pourside-trace-"));
  const port = await freePort();
  try {
    return await run(data, port, `http://127.0.0.1:${port}`);
  } finally {
    rmSync(data, { recursive: true, force: true });
  }
};

const runAcknowledger = async () => {
  const script = await acknowledger();
  return await withRecord((data, port, base) =>
    traced([script, data, String(port)], base, () =>
      sendCommands(io(`${base}/bench`, { transports: ["websocket"] }), (index) => ({
        id: randomUUID(),
        kind: "poured",
        volumeUl: 1_000 * (index + 1),
      })),
    ),
  );
};

/**
 * Pairs with a server by the code that it has printed.
 * @param {string} base
 * @param {() => string} printed
 * @returns {Promise<string>} the token
 */
const pair = async (base, printed) => {
  const code = () => /pairing code (\d{6})/.exec(printed())?.[1];
  await until(() => code() !== undefined, "the pairing code");
  const answer = await fetch(`${base}/api/pair`, {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify({ code: code() }),
  });
  if (!answer.ok) throw new Error(`pairing was answered ${answer.status}`);
  return (await answer.json()).token;
};

/**
 * A pour of so much into a whole pan.
 * @param {number} volumeUl
 */
const pourOf = (volumeUl) => ({
  type: "pour",
  pour: {
    source: {
      from: "vessel",
      vessel: "saltmarsh",
      amount: { how: "measured", volumeUl, plusMinusUl: 0 },
    },
    pan: "A",
    technique: "immersion",
    coverage: 1,
  },
});

/** The server as it is started, with a viewer's page that looks on. */
const runServer = async () => {
  await buildIfStale();
  return await withRecord((data, port, base) => {
    const args = ["--host", "127.0.0.1", "--port", String(port), "--data", data];
    return traced([join(root, serverFile), ...args], base, async (printed) => {
      const token = await pair(base, printed);
      const { session } = await fetch(`${base}/api/health`).then((answer) => answer.json());
      const options = { transports: ["websocket"], forceNew: true };
      const viewer = io(`${base}/watch`, { ...options, auth: { page: "overlay" } });
      await until(() => viewer.connected, "the viewer");
      const tablet = io(`${base}/bench`, { ...options, auth: { token } });
      const sent = await sendCommands(tablet, (index) => ({
        id: randomUUID(),
        session,
        at: Date.now(),
        command: index === 0 ? { type: "goLive" } : pourOf(1_000 * index),
      }));
      viewer.close();
      return sent;
    });
  });
};

const installed = () => {
  try {
    execFileSync("strace", ["-V"], { stdio: "ignore" });
    return true;
  } catch {
    return false;
  }
};

if (!installed()) {
  const allowed = process.argv.includes("--if-installed");
  console.log(
    `strace is not installed, so the order of sync and acknowledgement was not traced${allowed ? "." : ": install strace, or pass --if-installed to go without."}`,
  );
  console.log("0 passed, 0 failed");
  process.exit(allowed ? 0 : 1);
}

try {
  const early = await runAcknowledger();
  const caught = early.sent.filter((sent) => judge(early.calls, sent).wrong);
  check(
    caught.length === commandCount,
    `a server that answers before it keeps is caught at ${caught.length} of ${commandCount} answers`,
  );

  const { sent, calls } = await runServer();
  sent.forEach((one, index) => {
    const { wrong, write, sync, answer } = judge(calls, one);
    const name = `command ${index + 1}`;
    check(one.answer.ok, `${name} was taken`);
    check(
      !wrong,
      wrong
        ? `${name}: ${wrong}`
        : `${name}: ${write?.name} of its event ${write?.time}, ${sync?.name} ${sync?.time}, answer ${answer?.time}`,
    );
  });
} catch (error) {
  check(false, error instanceof Error ? error.message : String(error));
} finally {
  for (const file of bundled) if (existsSync(file)) rmSync(file);
}
finish();
