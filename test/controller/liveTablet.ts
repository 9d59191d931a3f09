import type { Browser, BrowserContext, Page, WebSocketRoute } from "playwright-core";
import { expect } from "vitest";
import type { TestServer } from "./server.ts";

export const landscape = { width: 1180, height: 820 };
export const portrait = { width: 820, height: 1180 };
export const small = { width: 1024, height: 768 };

export type Tablet = {
  page: Page;
  /** Errors of the page and refusals of its security policy; none are expected. */
  troubles: string[];
};

/** The tablet's live connection, in a hand that can hold back what the server says, or cut it. */
export class Wire {
  private holding = false;
  private held: (() => void)[] = [];
  private cut = new Set<WebSocketRoute>();
  private open = new Set<WebSocketRoute>();

  async lay(context: BrowserContext): Promise<void> {
    await context.routeWebSocket(/socket\.io/, (page) => {
      const server = page.connectToServer();
      this.open.add(page);
      page.onMessage((message) => {
        if (!this.cut.has(page)) server.send(message);
      });
      server.onMessage((message) => {
        if (this.cut.has(page)) return;
        if (this.holding) this.held.push(() => page.send(message));
        else page.send(message);
      });
    });
  }

  /** From now on what the server says does not arrive. */
  hold(): void {
    this.holding = true;
  }

  /** All that was held arrives. */
  release(): void {
    this.holding = false;
    for (const send of this.held.splice(0)) send();
  }

  /** The connections that stand go dead without a sign, as in a tablet's sleep; new ones are well. */
  deaden(): void {
    for (const page of this.open) this.cut.add(page);
  }
}

/** A paired tablet in front of the live screen. */
export async function openTablet(
  browser: Browser,
  server: TestServer,
  options: {
    size?: { width: number; height: number };
    origin?: string;
    bypassCSP?: boolean;
    before?: () => void;
    wire?: Wire;
  } = {},
): Promise<Tablet> {
  const token = await server.pair();
  const context = await browser.newContext({
    viewport: options.size ?? landscape,
    hasTouch: true,
    bypassCSP: options.bypassCSP ?? false,
  });
  await context.addInitScript((given: string) => {
    localStorage.setItem("pourside.token", given);
  }, token);
  if (options.before) await context.addInitScript(options.before);
  await options.wire?.lay(context);
  const page = await context.newPage();
  const troubles: string[] = [];
  page.on("pageerror", (error) => troubles.push(error.message));
  page.on("console", (message) => {
    if (/Content Security Policy|Refused to/.test(message.text())) troubles.push(message.text());
  });
  await page.goto(`${options.origin ?? server.address}/controller`);
  await page.waitForSelector(".on-bench, .live");
  if (await page.$(".on-bench")) {
    await page.click("text=/^(Look at the pour sheet|To the pour|Look at it)$/");
  }
  await page.waitForSelector(".live");
  return { page, troubles };
}

/** Touches the green action, and waits until a further touch is no bounce. */
export async function go(page: Page): Promise<void> {
  await page.tap("[data-next]");
  await page.waitForTimeout(430);
}

export async function goLive(page: Page): Promise<void> {
  await expect.poll(() => page.textContent("[data-next]")).toBe("Go live");
  await go(page);
  await expect.poll(() => page.textContent("[data-next]")).not.toBe("Go live");
}

export type Box = { say: string; x: number; y: number; width: number; height: number };

/** Every target that can be seen, cut to what of it can be seen, with its whole size. */
export async function targets(page: Page): Promise<(Box & { whole: Box })[]> {
  return page.evaluate(() => {
    const clipOf = (element: Element): DOMRect => {
      let { left, top, right, bottom } = element.getBoundingClientRect();
      left = Math.max(left, 0);
      top = Math.max(top, 0);
      right = Math.min(right, innerWidth);
      bottom = Math.min(bottom, innerHeight);
      for (let up = element.parentElement; up; up = up.parentElement) {
        if (getComputedStyle(up).overflowY === "visible") continue;
        const box = up.getBoundingClientRect();
        left = Math.max(left, box.left);
        top = Math.max(top, box.top);
        right = Math.min(right, box.right);
        bottom = Math.min(bottom, box.bottom);
      }
      return new DOMRect(left, top, right - left, bottom - top);
    };
    return [...document.querySelectorAll("button, a[href], input, select, summary")]
      .map((element) => {
        const seen = clipOf(element);
        const box = element.getBoundingClientRect();
        const say = element.textContent?.trim().slice(0, 40) ?? "";
        const rect = ({ x, y, width, height }: DOMRect) => ({ say, x, y, width, height });
        return { ...rect(seen), whole: rect(box) };
      })
      .filter(({ width, height }) => width > 0.5 && height > 0.5);
  });
}

/** That every target is 72 px or more and 12 px or more from its neighbours. */
export async function expectTargets(page: Page): Promise<void> {
  const all = await targets(page);
  expect(all.length).toBeGreaterThan(0);
  const tooSmall = all.filter(({ whole }) => whole.width < 71.99 || whole.height < 71.99);
  expect(tooSmall.map(({ whole }) => whole)).toEqual([]);
  const tooClose: string[] = [];
  all.forEach((a, i) => {
    for (const b of all.slice(i + 1)) {
      const across = Math.max(b.x - (a.x + a.width), a.x - (b.x + b.width));
      const down = Math.max(b.y - (a.y + a.height), a.y - (b.y + b.height));
      if (Math.max(across, down) < 11.99) tooClose.push(`${a.say} | ${b.say}`);
    }
  });
  expect(tooClose).toEqual([]);
}

/** That nothing has to be scrolled for the next action and nothing sticks out at the side. */
export async function expectNoScroll(page: Page): Promise<void> {
  const out = await page.evaluate(() => {
    const { scrollWidth, scrollHeight } = document.documentElement;
    const inside = (element: Element) => {
      const { left, top, right, bottom } = element.getBoundingClientRect();
      return left >= 0 && top >= 0 && right <= innerWidth && bottom <= innerHeight;
    };
    const next = document.querySelector("[data-next]");
    const wide = [".live-main", ".live-side", ".live-top", ".live-hand", ".live-middle"]
      .flatMap((name) => [...document.querySelectorAll(name)])
      .filter((element) => element.scrollWidth > element.clientWidth + 1)
      .map((element) => element.className);
    return {
      page: scrollWidth <= innerWidth && scrollHeight <= innerHeight,
      next: next !== null && inside(next),
      wide,
    };
  });
  expect(out).toEqual({ page: true, next: true, wide: [] });
}

/** Texts that are cut off where no ellipsis says so: text wider or higher than its box. */
export async function expectFigureFits(page: Page): Promise<void> {
  const boxes = await page.evaluate(() => {
    const box = document.querySelector(".live-figure");
    const parts = [...document.querySelectorAll(".live-figure .figures-first, .live-unit > span")];
    if (!box || parts.length === 0) return null;
    const room = box.getBoundingClientRect();
    return parts
      .map((part) => part.getBoundingClientRect())
      .filter((part) => part.right > room.right + 1 || part.left < room.left - 8);
  });
  expect(boxes).toEqual([]);
}
