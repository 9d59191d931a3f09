import { type ChildProcess, spawn } from "node:child_process";
import { get } from "node:http";
import { createServer } from "node:net";
import { gone } from "./child.ts";

/** Longest wait for a server, ms. */
const patienceMs = 30_000;
/** A new try after so long, ms; the answer is late by half of it in the middle. */
const retryMs = 4;
/** npm passes no signal on from a terminal that is not there, so its whole group is told. */
const grouped = process.platform !== "win32";

/**
 * How long it takes from starting a process to the first 200 of `/api/health`, ms, for each of
 * `runs` starts on one record.
 *
 * @param command program and arguments; `--port`, `--host` and `--data` are put after them
 * @param expectSeq the event that the record ends with, so that nothing else answers
 */
export async function restarts(
  command: readonly [string, ...string[]],
  { folder, data, runs, expectSeq }: Restarting,
): Promise<number[]> {
  const took: number[] = [];
  for (let run = 0; run < runs; run++) {
    const port = await freePort();
    const [program, ...args] = command;
    const from = performance.now();
    const server = spawn(
      program,
      [...args, "--port", String(port), "--host", "127.0.0.1", "--data", data],
      { cwd: folder, stdio: ["ignore", "ignore", "inherit"], detached: grouped },
    );
    try {
      const health = await healthOf(port, () => server.exitCode !== null);
      took.push(performance.now() - from);
      if (health.seq !== expectSeq) throw new Error(`health speaks of event ${health.seq}`);
    } finally {
      stop(server);
      await gone(server);
    }
  }
  return took;
}

/** What was started and what it started in turn. */
function stop(server: ChildProcess): void {
  if (server.pid === undefined || server.exitCode !== null) return;
  if (grouped) process.kill(-server.pid, "SIGTERM");
  else server.kill();
}

type Restarting = { folder: string; data: string; runs: number; expectSeq: number };

async function healthOf(port: number, over: () => boolean): Promise<{ seq: number }> {
  const end = performance.now() + patienceMs;
  while (performance.now() < end && !over()) {
    const body = await asked(`http://127.0.0.1:${port}/api/health`);
    if (body !== null) return JSON.parse(body) as { seq: number };
    await new Promise((resolve) => setTimeout(resolve, retryMs));
  }
  throw new Error("The server did not become ready.");
}

/** The body of a 200, or `null` for anything else. */
function asked(address: string): Promise<string | null> {
  return new Promise((resolve) => {
    const request = get(address, { agent: false }, (response) => {
      let body = "";
      response.setEncoding("utf8");
      response.on("data", (part: string) => {
        body += part;
      });
      response.on("end", () => resolve(response.statusCode === 200 ? body : null));
    });
    request.on("error", () => resolve(null));
  });
}

function freePort(): Promise<number> {
  return new Promise((resolve, reject) => {
    const server = createServer();
    server.once("error", reject);
    server.listen(0, "127.0.0.1", () => {
      const address = server.address();
      server.close(() => resolve(typeof address === "object" && address ? address.port : 0));
    });
  });
}
