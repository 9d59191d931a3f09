import { type ChildProcess, fork } from "node:child_process";

/** Runs a built script in a process of its own that can say what it found. */
export function startChild(script: string, args: readonly string[] = []): ChildProcess {
  return fork(script, args, { stdio: ["ignore", "ignore", "inherit", "ipc"], execArgv: [] });
}

/** The next message of a child; an error where it ends without one. */
export function heard<T>(child: ChildProcess): Promise<T> {
  return new Promise((resolve, reject) => {
    const onMessage = (message: unknown) => {
      child.off("exit", onExit);
      resolve(message as T);
    };
    const onExit = (code: number | null) => {
      child.off("message", onMessage);
      reject(new Error(`A part of the benchmark ended with ${code} without a word.`));
    };
    child.once("message", onMessage);
    child.once("exit", onExit);
  });
}

/** Waits until a process has ended, and ends it with force after `ms`. */
export async function gone(child: ChildProcess, ms = 5000): Promise<void> {
  if (child.exitCode !== null || child.signalCode !== null) return;
  const late = setTimeout(() => child.kill("SIGKILL"), ms);
  await new Promise<void>((resolve) => child.once("exit", () => resolve()));
  clearTimeout(late);
}
