import { fileURLToPath } from "node:url";
import { build } from "esbuild";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { textWidth } from "../../shared/draw/letters.ts";
import { browsers, launchBrowser, shot } from "../browser/launch.ts";

const entry = `
  import { h, render } from "preact";
  import "../../shared/draw/tokens.css";
  import { Gallery } from "./gallery.tsx";
  render(h(Gallery, {}), document.body);
`;
const names = [
  "Harbourmaster at midnight",
  "Saltmarsh",
  "Tidewrack, Gullwing",
  "WWWMMM mmm www",
  "illicit jilt",
  "PLAIN BLACK Quay 0123456789",
  "fj|!(r)…−5 %",
];

/** The gallery as one page without a server: script, style and face inline. */
async function galleryPage(): Promise<string> {
  const { outputFiles } = await build({
    stdin: {
      contents: entry,
      resolveDir: fileURLToPath(new URL(".", import.meta.url)),
      loader: "tsx",
    },
    bundle: true,
    write: false,
    outdir: "gallery",
    jsx: "automatic",
    jsxImportSource: "preact",
    loader: { ".woff2": "dataurl" },
    target: ["chrome103", "safari15.4"],
  });
  const of = (end: string) => outputFiles.find((file) => file.path.endsWith(end))?.text ?? "";
  return `<!doctype html><meta charset="utf-8"><style>body{margin:0}${of(".css")}</style><body><script>${of(".js").replaceAll("</script", "<\\/script")}</script>`;
}

describe.each(browsers)("the gallery in $label", ({ name }) => {
  let browser: Browser;
  let page: Page;
  const errors: string[] = [];

  beforeAll(async () => {
    browser = await launchBrowser(name);
    page = await browser.newPage({ viewport: { width: 1920, height: 1080 } });
    page.on("pageerror", (error) => errors.push(error.message));
    await page.setContent(await galleryPage());
    await page.evaluate(() => document.fonts.ready);
  });

  afterAll(() => browser.close());

  /** Width in em of each text at a weight, in the bundled face with tabular figures. */
  const measured = (texts: readonly string[], weight: number) =>
    page.evaluate(
      async ([list, heavy]) => {
        const span = document.createElement("span");
        span.style.cssText = `font: ${heavy} 100px var(--face); font-variant-numeric: tabular-nums; white-space: pre; position: absolute`;
        document.body.append(span);
        await document.fonts.load(`${heavy} 100px "Atkinson Hyperlegible Next Variable"`);
        const widths = list.map((text) => {
          span.textContent = text;
          return span.getBoundingClientRect().width / 100;
        });
        span.remove();
        return widths;
      },
      [texts, weight] as const,
    );

  test("is drawn without an error, in the bundled face", async () => {
    expect(errors).toEqual([]);
    expect(await page.locator("svg").count()).toBeGreaterThan(100);
    expect(
      await page.evaluate(() => [...document.fonts].some((face) => face.status === "loaded")),
    ).toBe(true);
    await shot(page, `draw-gallery-${name}`);
  });

  test("has tabular figures of 0.632 em at every weight that is used", async () => {
    for (const weight of [400, 520, 640, 720]) {
      for (const width of await measured([..."0123456789"], weight)) {
        expect(width).toBeCloseTo(0.632, 3);
      }
    }
  });

  test("never needs more room for a name than a drawing reckons with", async () => {
    for (const weight of [400, 520, 700]) {
      const widths = await measured(names, weight);
      names.forEach((text, index) => {
        const width = widths[index] ?? 0;
        expect(textWidth(text, 1)).toBeGreaterThanOrEqual(width);
        expect(textWidth(text, 1)).toBeLessThan(width * 1.2);
      });
    }
  });

  test("keeps every letter of a drawing inside its frame", async () => {
    const outside = await page.evaluate(() =>
      [...document.querySelectorAll("svg text")]
        .filter((text) => {
          const frame = text.closest("svg")?.getBoundingClientRect();
          const box = text.getBoundingClientRect();
          return (
            frame === undefined ||
            box.left < frame.left - 1 ||
            box.right > frame.right + 1 ||
            box.bottom > frame.bottom + 3
          );
        })
        .map((text) => text.textContent),
    );
    expect(outside).toEqual([]);
  });
});
