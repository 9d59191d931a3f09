import type { Browser, BrowserContext, Locator, Page } from "playwright-core";
import { axeViolations } from "./benchAxe.ts";

/** Sizes that the controller is drawn for, px. */
export const sizes = {
  wide: { width: 1180, height: 820 },
  tall: { width: 820, height: 1180 },
  phone: { width: 390, height: 844 },
} as const;

/** A tablet's browser with a page of the controller, paired when it is given a token. */
export class Tablet {
  readonly errors: string[] = [];
  /** Where buttons are looked for: the sheet of the bench once it is open, else the page. */
  private scope: Page | Locator;

  private constructor(
    readonly page: Page,
    private readonly context: BrowserContext,
  ) {
    this.scope = page;
    page.on("pageerror", (error) => this.errors.push(error.message));
  }

  static async open(
    browser: Browser,
    address: string,
    options: { size?: keyof typeof sizes; token?: string; hash?: string; axe?: boolean } = {},
  ): Promise<Tablet> {
    const { size = "wide", token, hash = "", axe = false } = options;
    const context = await browser.newContext({ viewport: sizes[size], bypassCSP: axe });
    if (token !== undefined) {
      await context.addInitScript((given) => {
        if (sessionStorage.getItem("given") === given) return;
        sessionStorage.setItem("given", given);
        localStorage.setItem("pourside.token", given);
      }, token);
    }
    const page = await context.newPage();
    page.setDefaultTimeout(30_000);
    const tablet = new Tablet(page, context);
    await page.goto(`${address}/controller${hash}`);
    return tablet;
  }

  /** The bench over the live screen, at one of its sections. */
  async bench(section: string): Promise<Locator> {
    const dialog = this.page.locator("dialog.bench");
    if (!(await dialog.isVisible())) {
      await this.page.getByRole("button", { name: "Bench", exact: true }).click();
    }
    this.scope = dialog;
    await dialog.getByRole("button", { name: section, exact: true }).click();
    return dialog;
  }

  button(name: string | RegExp): Locator {
    return typeof name === "string"
      ? this.scope.getByRole("button", { name, exact: true })
      : this.scope.getByRole("button", { name });
  }

  async tap(...names: (string | RegExp)[]): Promise<void> {
    for (const name of names) await this.button(name).click();
  }

  /** Types on the keypad's own keys, the way gloves do. */
  async keys(text: string): Promise<void> {
    const words: Record<string, string> = { ".": "decimal point", "½": "and a half" };
    for (const key of text) await this.tap(words[key] ?? key);
  }

  async typedBack(): Promise<string> {
    return plain(await this.page.locator(".keypad-said").textContent());
  }

  /** What was said where it was asked for. */
  async said(): Promise<string> {
    const said = this.page.locator(".said[data-tone]").last();
    await said.waitFor();
    return plain(await said.textContent());
  }

  violations(): Promise<string[]> {
    return axeViolations(this.page);
  }

  close(): Promise<void> {
    return this.context.close();
  }
}

/** Text with its thin spaces as plain ones, for comparing. */
export function plain(text: string | null): string {
  return (text ?? "").replaceAll(/[\u202f\u00a0]/g, " ").trim();
}
