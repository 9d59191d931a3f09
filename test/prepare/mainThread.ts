import type { Browser, Page } from "playwright-core";
import * as z from "zod";

const traceSchema = z.object({
  traceEvents: z.array(
    z.looseObject({
      name: z.string(),
      pid: z.number(),
      tid: z.number(),
      ph: z.string(),
      tdur: z.number().optional(),
      args: z.looseObject({ name: z.unknown().optional() }).optional(),
    }),
  ),
});

/**
 * The longest task of a page's main thread while something is done, ms of that thread's own time:
 * what other programs take of a shared machine meanwhile is no part of it.
 */
export async function longestTask(
  browser: Browser,
  page: Page,
  act: () => Promise<void>,
): Promise<number> {
  await browser.startTracing(page, { categories: ["toplevel", "__metadata"] });
  let trace: Buffer;
  try {
    await act();
  } finally {
    trace = await browser.stopTracing();
  }
  const { traceEvents } = traceSchema.parse(JSON.parse(trace.toString("utf8")));
  const mains = new Set(
    traceEvents
      .filter(({ name, args }) => name === "thread_name" && args?.name === "CrRendererMain")
      .map(({ pid, tid }) => `${pid} ${tid}`),
  );
  const tasks = traceEvents.flatMap(({ ph, pid, tid, tdur }) =>
    ph === "X" && tdur !== undefined && mains.has(`${pid} ${tid}`) ? [tdur / 1_000] : [],
  );
  if (tasks.length === 0) throw new Error("The trace tells of no task of the main thread.");
  return Math.max(...tasks);
}
