import type { Page } from "playwright-core";

/**
 * What is put into a page to be timed, the same in every page. It runs in the browser, so it may
 * use nothing from around it.
 */
export type Stopwatch = {
  /** Add to a time of this page's own clock to get ms since 1970 by the machine's clock. */
  toWall: number;
  /** When the pointer was last lifted, by the event's own timestamp, ms since 1970. */
  liftedAt: number;
  /** When the watched text had changed, and when the first frame with the change was out. */
  changed: Promise<{ changedAt: number; paintedAt: number }> | null;
};

declare global {
  interface Window {
    stopwatch?: Stopwatch;
  }
}

function putIn(): void {
  // The page's fine clock is coarse and starts anew with every page. The machine's clock ticks once
  // a millisecond, and at the tick it is exact.
  const offsets: number[] = [];
  for (let tick = 0; tick < 31; tick++) {
    const before = Date.now();
    let now = before;
    while (now === before) now = Date.now();
    offsets.push(now - performance.now());
  }
  const toWall = offsets.sort((a, b) => a - b)[15] ?? 0;
  if (window.stopwatch) {
    window.stopwatch.toWall = toWall;
    return;
  }
  const stopwatch: Stopwatch = { toWall, liftedAt: 0, changed: null };
  window.stopwatch = stopwatch;
  addEventListener(
    "pointerup",
    (event) => {
      stopwatch.liftedAt = event.timeStamp + stopwatch.toWall;
    },
    { capture: true, passive: true },
  );
}

/** Puts the stopwatch in, or sets it again; how far its clock had drifted since, ms. */
export async function wind(page: Page): Promise<number> {
  const before = await page.evaluate(() => window.stopwatch?.toWall);
  await page.evaluate(putIn);
  const after = await page.evaluate(() => window.stopwatch?.toWall ?? 0);
  return before === undefined ? 0 : Math.abs(after - before);
}

/** Watches what `selector` says from now on, until it has changed and that has been painted. */
export async function watchText(page: Page, selector: string): Promise<void> {
  await page.evaluate((selector) => {
    const { stopwatch } = window;
    if (!stopwatch) throw new Error("this page has no stopwatch");
    const text = () => document.querySelector(selector)?.textContent;
    const before = text();
    stopwatch.changed = new Promise((resolve) => {
      const observer = new MutationObserver(() => {
        if (text() === before) return;
        observer.disconnect();
        const changedAt = performance.now() + stopwatch.toWall;
        // A frame's callback runs before the frame is painted; a message it sends arrives after.
        requestAnimationFrame(() => {
          const { port1, port2 } = new MessageChannel();
          port1.onmessage = () => {
            resolve({ changedAt, paintedAt: performance.now() + stopwatch.toWall });
          };
          port2.postMessage(null);
        });
      });
      observer.observe(document, {
        subtree: true,
        childList: true,
        characterData: true,
        attributes: true,
      });
    });
  }, selector);
}

/** When the watched text had changed and was painted, ms since 1970; an error after `ms`. */
export async function painted(page: Page, ms: number) {
  const times = await page.evaluate(
    (ms) =>
      Promise.race([
        window.stopwatch?.changed,
        new Promise<null>((resolve) => setTimeout(() => resolve(null), ms)),
      ]),
    ms,
  );
  if (!times) throw new Error(`nothing changed on ${page.url()} within ${ms} ms`);
  return times;
}

/** When the pointer was last lifted on this page, ms since 1970. */
export async function lifted(page: Page): Promise<number> {
  return await page.evaluate(() => window.stopwatch?.liftedAt ?? 0);
}
