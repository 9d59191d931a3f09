import { readdirSync, readFileSync, readlinkSync } from "node:fs";
import { readFile } from "node:fs/promises";
import { createServer, type Server } from "node:http";
import type { AddressInfo } from "node:net";
import { basename } from "node:path";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { browsers, launchBrowser, packaged, shot } from "./launch.ts";
import { unpackBrowser } from "./unpack.ts";

let server: Server;
let port: number;

beforeAll(async () => {
  server = createServer((_, response) => {
    response.setHeader("content-type", "text/html; charset=utf-8");
    response.end("<!doctype html><title>bench</title><h1>12 mL into pan A</h1>");
  });
  await new Promise<void>((ready) => server.listen(0, "127.0.0.1", ready));
  port = (server.address() as AddressInfo).port;
});

afterAll(() => {
  server.close();
});

describe.each(browsers)("$label", ({ name }) => {
  let browser: Browser;

  beforeAll(async () => {
    browser = await launchBrowser(name, { hosts: ["bench.test"] });
  });

  test("is the version it is called", async () => {
    const page = await browser.newPage();
    const major = Number(browser.version().split(".")[0]);
    if (name === "current") expect(major).toBeGreaterThan(127);
    else expect(major).toBe(Number(name));
    expect(await page.evaluate(() => navigator.userAgent)).toContain(`Chrome/${major}.`);
    await page.close();
  });

  test("renders text, takes clicks and typing, and is photographed", async () => {
    const page = await browser.newPage({ viewport: { width: 640, height: 360 } });
    await page.setContent(`
      <h1>Saltmarsh 1 %</h1>
      <button onclick="this.textContent = 'poured'">pour</button>
      <input aria-label="note" />`);
    await page.getByRole("button", { name: "pour" }).click();
    await page.getByLabel("note").fill("deep enough");
    expect(await page.getByRole("button").textContent()).toBe("poured");
    expect(await page.getByLabel("note").inputValue()).toBe("deep enough");
    const heading = await page.locator("h1").boundingBox();
    expect(heading?.height).toBeGreaterThan(20);

    const picture = await readFile(await shot(page, `harness-${name}`));
    expect(picture.subarray(1, 4).toString()).toBe("PNG");
    expect(picture.readUInt32BE(16)).toBe(640);
    expect(await inkOf(page, picture)).toBeGreaterThan(500);
    await page.close();
  });

  test("leaves what the page does not paint transparent in a picture", async () => {
    const page = await browser.newPage({ viewport: { width: 100, height: 100 } });
    await page.setContent(
      "<body style='margin:0'><div style='width:100px;height:50px;background:#1d2125'></div>",
    );
    const picture = await readFile(await shot(page, `harness-clear-${name}`));
    expect(await inkOf(page, picture)).toBe(5000);
    await page.close();
  });

  test("reaches this machine under a mapped name, without a secure context", async () => {
    const page = await browser.newPage();
    await page.goto(`http://bench.test:${port}/`);
    expect(await page.textContent("h1")).toBe("12 mL into pan A");
    expect(await page.evaluate(() => isSecureContext)).toBe(false);
    await page.goto(`http://localhost:${port}/`);
    expect(await page.evaluate(() => isSecureContext)).toBe(true);
    await page.close();
  });

  test("resolves no other name", async () => {
    const page = await browser.newPage();
    await expect(page.goto("http://elsewhere.test/")).rejects.toThrow("ERR_NAME_NOT_RESOLVED");
    await page.close();
  });

  test.runIf(packaged)(
    "writes in the typeface it brings along, not in one of the system's",
    async () => {
      const page = await browser.newPage();
      await page.setContent("<h1 style='font-family: sans-serif'>Saltmarsh</h1>");
      expect(await typefacesOf(page, "h1")).toEqual(["Open Sans"]);
      await page.close();
    },
  );

  test.runIf(packaged)("needs no library of the system's but those that Node needs", async () => {
    const { executablePath, folder } = await unpackBrowser(name);
    const page = await browser.newPage();
    await page.setContent("<h1>loaded</h1>");
    const loaded = librariesOf(executablePath);
    expect(loaded.some((file) => file.startsWith(folder) && file.includes("libnss3"))).toBe(true);
    const foreign = loaded.filter((file) => !file.startsWith(folder));
    const node = /^(ld-linux-x86-64|lib(c|m|dl|pthread|rt|gcc_s|stdc\+\+))[.-]/;
    expect(foreign.map((file) => basename(file)).filter((file) => !node.test(file))).toEqual([]);
    await page.close();
  });
});

/** Every shared library mapped by a running process of this program. */
function librariesOf(executablePath: string): string[] {
  const files = new Set<string>();
  for (const pid of readdirSync("/proc").filter((entry) => /^\d+$/.test(entry))) {
    try {
      if (readlinkSync(`/proc/${pid}/exe`) !== executablePath) continue;
      for (const line of readFileSync(`/proc/${pid}/maps`, "utf8").split("\n")) {
        const file = line.slice(line.indexOf("/"));
        if (file.includes(".so")) files.add(file);
      }
    } catch {
      // The process ended, or is not ours to read.
    }
  }
  return [...files];
}

/** The typefaces in which the browser really drew an element's text. */
async function typefacesOf(page: Page, selector: string): Promise<string[]> {
  const inspector = await page.context().newCDPSession(page);
  await inspector.send("DOM.enable");
  await inspector.send("CSS.enable");
  const { root } = await inspector.send("DOM.getDocument");
  const { nodeId } = await inspector.send("DOM.querySelector", { nodeId: root.nodeId, selector });
  const { fonts } = await inspector.send("CSS.getPlatformFontsForNode", { nodeId });
  return fonts.map((font) => font.familyName);
}

/** How many pixels of a picture are dark and opaque. */
async function inkOf(page: Page, png: Buffer): Promise<number> {
  return page.evaluate(
    async (source) => {
      const image = new Image();
      image.src = source;
      await image.decode();
      const canvas = document.createElement("canvas");
      canvas.width = image.width;
      canvas.height = image.height;
      const context = canvas.getContext("2d");
      if (!context) throw new Error("no canvas");
      context.drawImage(image, 0, 0);
      const { data } = context.getImageData(0, 0, image.width, image.height);
      let ink = 0;
      for (let i = 0; i < data.length; i += 4) {
        if ((data[i] ?? 255) < 64 && (data[i + 3] ?? 0) > 200) ink++;
      }
      return ink;
    },
    `data:image/png;base64,${png.toString("base64")}`,
  );
}
