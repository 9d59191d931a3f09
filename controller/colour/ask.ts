import type { Done, Job } from "./work.ts";

/** Where the build has put the worker's script. */
declare const COLOUR_WORKER: string;

type Waiting = { resolve: (answer: never) => void; reject: (error: Error) => void };
type Answer = { n: number; answer?: unknown; failed?: string };

const waiting = new Map<number, Waiting>();
let worker: Worker | null = null;
let count = 0;

/**
 * Has a job done beside the page.
 *
 * @throws Error when the worker could not be had, or fell over
 */
export function ask<J extends Job>(job: J): Promise<Done[J["job"]]> {
  worker ??= begun();
  const at = worker;
  const n = ++count;
  return new Promise((resolve, reject) => {
    waiting.set(n, { resolve, reject });
    at.postMessage({ n, job });
  });
}

function begun(): Worker {
  const begun = new Worker(COLOUR_WORKER);
  begun.addEventListener("message", (event: MessageEvent<Answer>) => {
    const { n, answer, failed } = event.data;
    const one = waiting.get(n);
    waiting.delete(n);
    if (failed !== undefined) one?.reject(new Error(failed));
    else one?.resolve(answer as never);
  });
  begun.addEventListener("error", (event) => {
    // The next job gets a new one.
    worker = null;
    begun.terminate();
    for (const { reject } of waiting.values()) reject(new Error(event.message));
    waiting.clear();
  });
  return begun;
}
