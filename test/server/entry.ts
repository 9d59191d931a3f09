import { spawn } from "node:child_process";
import { rmSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { isStale, root, serverFile } from "../../tools/build.mjs";
import { bundle } from "../record/bundle.ts";
import { pause, until } from "./house.ts";

/** The server's script as it is built, or built for the occasion where that is not up to date. */
export async function entry(): Promise<{ script: string; remove(): void }> {
  if (!isStale(root)) return { script: join(root, serverFile), remove: () => {} };
  const script = await bundle(fileURLToPath(new URL("../../server/main.ts", import.meta.url)));
  return { script, remove: () => rmSync(script) };
}

/** A server in a process of its own, as the dyer starts it. */
export type Process = {
  /** All of its standard output, and of its standard error, so far. */
  printed(): string;
  complained(): string;
  /** Exit code, or the signal that ended it; waits for that. */
  ended: Promise<number | NodeJS.Signals>;
  /** Address of this machine that it printed; waits until it is ready. */
  ready(): Promise<string>;
  pairingCode(): string;
  end(signal: NodeJS.Signals): void;
};

export type Setting = {
  flags?: readonly string[];
  env?: Readonly<Record<string, string>>;
  /** Runs as this user, which only root may ask for. */
  user?: number;
};

export function startProcess(script: string, { flags = [], env = {}, user }: Setting): Process {
  const { PORT: _port, HOST: _host, POURSIDE_DATA: _data, ...inherited } = process.env;
  const started = spawn(process.execPath, [script, ...flags], {
    stdio: ["ignore", "pipe", "pipe"],
    env: { ...inherited, ...env },
    ...(user === undefined ? {} : { uid: user, gid: user }),
  });
  let printed = "";
  let complained = "";
  started.stdout.on("data", (part) => {
    printed += part;
  });
  started.stderr.on("data", (part) => {
    complained += part;
  });
  let over = false;
  const ended = new Promise<number | NodeJS.Signals>((resolve, reject) => {
    started.on("error", reject);
    started.on("close", (code, signal) => {
      over = true;
      resolve(code ?? signal ?? 1);
    });
  });
  return {
    printed: () => printed,
    complained: () => complained,
    ended,
    ready: async () => {
      await until(() => over || /Record\n.*\n/.test(printed), "the server to be ready", 15_000);
      const address = /(http:\S+)\/overlay/.exec(printed)?.[1];
      if (over || !address) throw new Error(`it did not start: ${complained}`);
      return address;
    },
    pairingCode: () => /pairing code (\d{6})/.exec(printed)?.[1] ?? "",
    end: (signal) => {
      started.kill(signal);
    },
  };
}

/** Milliseconds from now until the server at this address is healthy. */
export async function untilHealthy(address: string, withinMs = 15_000): Promise<number> {
  const from = performance.now();
  while (performance.now() - from < withinMs) {
    const healthy = await fetch(`${address}/api/health`).then(
      (answer) => answer.ok,
      () => false,
    );
    if (healthy) return performance.now() - from;
    await pause(10);
  }
  throw new Error(`${address} was not healthy within ${withinMs} ms`);
}
