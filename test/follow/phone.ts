import { createRequire } from "node:module";
import type { Browser, BrowserContext, Page } from "playwright-core";
import { shot } from "../browser/launch.ts";

const axeFile = createRequire(import.meta.url).resolve("axe-core/axe.min.js");

/** Sizes that the follow page is looked at in: a phone, a small one, a tablet, a desk. */
export const sizes = {
  phone: { width: 390, height: 844 },
  small: { width: 320, height: 640 },
  tablet: { width: 820, height: 1180 },
  desk: { width: 1280, height: 800 },
} as const;

export type Size = keyof typeof sizes;

/** A viewer's phone with the follow page open. */
export class Phone {
  private constructor(
    readonly page: Page,
    readonly context: BrowserContext,
    /** Errors of the page and of its console, and anything asked of another place. */
    readonly troubles: string[],
  ) {}

  static async open(
    browser: Browser,
    address: string,
    size: Size | undefined = "phone",
    prepare?: ((page: Page) => Promise<unknown>) | undefined,
  ): Promise<Phone> {
    // The page's own policy refuses the checker's script, and rightly so.
    const context = await browser.newContext({ viewport: sizes[size], bypassCSP: true });
    const page = await context.newPage();
    const troubles: string[] = [];
    page.on("pageerror", (error) => troubles.push(String(error)));
    page.on("console", (line) => {
      if (line.type() === "error" && !/WebSocket|net::|Failed to load/.test(line.text())) {
        troubles.push(line.text());
      }
    });
    page.on("request", (request) => {
      if (new URL(request.url()).host !== new URL(address).host) {
        if (!request.url().startsWith("data:")) troubles.push(`asked for ${request.url()}`);
      }
    });
    await prepare?.(page);
    await page.goto(address);
    return new Phone(page, context, troubles);
  }

  /** The text of what goes in now, spaces made plain. */
  async now(): Promise<string> {
    return this.text(".now");
  }

  /** The text of the pour with this number, coming or done. */
  async pour(n: number): Promise<string> {
    return this.text(`[data-pour="${n}"]`);
  }

  /** The text of a part of the page as it is seen, spaces made plain. */
  async text(selector: string): Promise<string> {
    const part = this.page.locator(selector);
    await part.waitFor();
    return plain((await part.allInnerTexts()).join(" "));
  }

  /** Opens what the viewer has, if it is not open. */
  async openMine(): Promise<void> {
    const button = this.page.locator(".mine h2 button");
    if ((await button.getAttribute("aria-expanded")) === "false") await button.click();
  }

  async type(label: string, text: string): Promise<void> {
    await this.openMine();
    await this.page.getByLabel(label, { exact: true }).fill(text);
  }

  /** The sentence under a field; empty when there is none. */
  async complaint(label: string): Promise<string> {
    const field = this.page.getByLabel(label, { exact: true });
    const id = await field.getAttribute("aria-describedby");
    return plain((await this.page.locator(`[id="${id}"]`).textContent()) ?? "");
  }

  /** What an accessibility checker finds wrong. */
  async violations(): Promise<string[]> {
    await this.page.addScriptTag({ path: axeFile });
    return this.page.evaluate(async () => {
      const { axe } = window as unknown as {
        axe: {
          run: (
            options: unknown,
          ) => Promise<{ violations: { id: string; nodes: { html: string }[] }[] }>;
        };
      };
      const { violations } = await axe.run({ resultTypes: ["violations"] });
      return violations.map(
        ({ id, nodes }) => `${id}: ${nodes.map((node) => node.html).join(" ")}`,
      );
    });
  }

  /** What sticks out to the right of the window, so that the page can be moved sideways. */
  async overhang(): Promise<string[]> {
    return this.page.evaluate(() => {
      const room = document.documentElement.clientWidth;
      if (document.documentElement.scrollWidth <= room) return [];
      return [...document.querySelectorAll("body *")]
        .filter((element) => element.getBoundingClientRect().right > room + 0.5)
        .map((element) => `${element.tagName} ${element.className}: ${element.textContent}`);
    });
  }

  /** The height of the lowest thing to tap, px. */
  async lowestTarget(): Promise<{ height: number; what: string }> {
    return this.page.evaluate(() => {
      const targets = [...document.querySelectorAll("button, input[type=text], label.choice")];
      return (
        targets
          .map((target) => ({
            height: target.getBoundingClientRect().height,
            what: target.textContent ?? "",
          }))
          .sort((a, b) => a.height - b.height)[0] ?? { height: 0, what: "none" }
      );
    });
  }

  async shot(name: string, wholePage = true): Promise<void> {
    if (!wholePage) {
      await shot(this.page, name);
      return;
    }
    const size = this.page.viewportSize();
    const height = await this.page.evaluate(() => document.documentElement.scrollHeight);
    if (size)
      await this.page.setViewportSize({ width: size.width, height: Math.min(height, 6000) });
    await shot(this.page, name);
    if (size) await this.page.setViewportSize(size);
  }

  async close(): Promise<void> {
    await this.context.close();
  }
}

export function plain(text: string): string {
  return text
    .replace(/[\u202f\u00a0\s]+/g, " ")
    .replace(/[\u2068\u2069]/g, "")
    .trim();
}
