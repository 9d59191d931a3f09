import { type ChildProcess, spawn } from "node:child_process";
import { createInterface } from "node:readline";

export type Child = {
  /** Whole lines of standard output so far. */
  lines: string[];
  /** Resolves with the first line that starts so; rejects where the process ends before. */
  line(start: string): Promise<string>;
  /** Ends it at once, as loss of power would, and waits until it is gone and its output is read. */
  kill(): Promise<void>;
  ended: Promise<void>;
};

/** Runs a script with this Node, where `user` is given as that user (which only root may). */
export const startChild = (script: string, args: readonly string[], user?: number): Child => {
  const started: ChildProcess = spawn(process.execPath, [script, ...args], {
    stdio: ["ignore", "pipe", "inherit"],
    ...(user === undefined ? {} : { uid: user, gid: user }),
  });
  const { stdout } = started;
  if (!stdout) throw new Error("the child has no standard output");
  const lines: string[] = [];
  const waiting = new Set<() => void>();
  const ended = new Promise<void>((resolve, reject) => {
    started.on("error", reject);
    started.on("close", () => resolve());
  });
  let over = false;
  const look = () => {
    for (const wake of waiting) wake();
  };
  createInterface({ input: stdout }).on("line", (line) => {
    lines.push(line);
    look();
  });
  ended.finally(() => {
    over = true;
    look();
  });
  return {
    lines,
    line: (start) =>
      new Promise((resolve, reject) => {
        const wake = () => {
          const found = lines.find((line) => line.startsWith(start));
          if (found === undefined && !over) return;
          waiting.delete(wake);
          if (found === undefined) reject(new Error(`ended without saying ${start}`));
          else resolve(found);
        };
        waiting.add(wake);
        wake();
      }),
    kill: async () => {
      started.kill("SIGKILL");
      await ended;
    },
    ended,
  };
};
