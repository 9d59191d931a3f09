import type { Browser, Page } from "playwright-core";
import { shot } from "../browser/launch.ts";
import { axeViolations } from "../controller/benchAxe.ts";
import { Tablet } from "../controller/benchTablet.ts";
import { TestServer } from "../controller/server.ts";

/** Sizes that the screens before the stream are drawn for, px. */
const looks = {
  wide: { width: 1180, height: 820 },
  tall: { width: 820, height: 1180 },
  desktop: { width: 1440, height: 900 },
} as const;

/** A paired tablet at one of the screens before the stream, on a server of its own. */
export class PrepareTable {
  private constructor(
    readonly server: TestServer,
    readonly tablet: Tablet,
    readonly token: string,
  ) {}

  static async open(browser: Browser): Promise<PrepareTable> {
    const server = await TestServer.begin();
    const token = await server.pair();
    const tablet = await Tablet.open(browser, server.address, { token, axe: true });
    // Pictures of whole pages take their time where other tests run beside these.
    tablet.page.setDefaultTimeout(20_000);
    await tablet.page.getByRole("button", { name: /^Prepare/ }).click();
    return new PrepareTable(server, tablet, token);
  }

  get page(): Page {
    return this.tablet.page;
  }

  async tab(name: string): Promise<void> {
    await this.page.locator(".prepare-tabs").getByRole("button", { name, exact: true }).click();
  }

  /** Everything that was changed is written down. */
  async saved(): Promise<void> {
    await this.page.waitForFunction(() => !document.querySelector(".prepare-said[data-saving]"));
  }

  async ask(path: string, body?: unknown): Promise<unknown> {
    const response = await fetch(`${this.server.address}${path}`, {
      method: body === undefined ? "GET" : "POST",
      headers: { Authorization: `Bearer ${this.token}`, "Content-Type": "application/json" },
      ...(body === undefined ? {} : { body: JSON.stringify(body) }),
    });
    return response.json();
  }

  /** Pictures at every size; what is cut off at the side, and what axe finds, at any of them. */
  async look(
    name: string,
    at: readonly (keyof typeof looks)[] = ["wide", "tall", "desktop"],
  ): Promise<string[]> {
    const faults: string[] = [];
    for (const look of at) {
      const size = looks[look];
      await this.page.setViewportSize(size);
      await shot(this.page, `prepare-${name}-${look}`, true);
      const wide = await this.page.evaluate(() => document.documentElement.scrollWidth);
      if (wide > size.width) faults.push(`${look}: ${wide}\u202fpx wide`);
      for (const found of await axeViolations(this.page)) faults.push(`${look}: ${found}`);
    }
    await this.page.setViewportSize(looks.wide);
    return faults;
  }

  async close(): Promise<void> {
    await this.tablet.close();
    await this.server.end();
  }
}
