import { readFileSync } from "node:fs";
import type { Browser } from "playwright-core";
import { afterEach, beforeAll, beforeEach, describe, expect, test } from "vitest";
import demonstration from "../../server/session/harbour-at-dusk.json" with { type: "json" };
import { start } from "../../server/start.ts";
import { launchBrowser, shot } from "../browser/launch.ts";
import { dataFolder, House, until } from "../server/house.ts";
import { plain, sizes, Tablet } from "./benchTablet.ts";

let browser: Browser;
let house: House;
let token: string;
let tablet: Tablet;

beforeAll(async () => {
  browser = await launchBrowser("current", { hosts: ["bench.test"] });
});

beforeEach(async () => {
  house = await House.start();
  token = await house.pair();
});

afterEach(async () => {
  await tablet.close();
  await house.close();
});

const openPage = async (options: { size?: keyof typeof sizes; axe?: boolean } = {}) => {
  tablet = await Tablet.open(browser, house.address, { token, ...options });
  await tablet.page.getByRole("heading", { name: "Addresses" }).waitFor();
};
const sheet = (change: Record<string, unknown>) =>
  Buffer.from(JSON.stringify({ ...demonstration, ...change }));
const choose = (name: string, buffer: Buffer) =>
  tablet.page
    .getByLabel("Pour sheet file")
    .setInputFiles({ name, mimeType: "application/json", buffer });
const problems = async () => {
  await tablet.page.locator(".open-sheet-problems li").first().waitFor();
  return tablet.page
    .locator(".open-sheet-problems li")
    .evaluateAll((lines) =>
      lines.map((line) => [...line.children].map((part) => part.textContent).join(": ")),
    );
};
const lines = async () => (await house.ask("GET", "/api/sessions", { token })).body;

describe("what is on the bench", () => {
  test("is seen at a glance, with whether each bottle is enough", async () => {
    await openPage();
    const { page } = tablet;
    expect(plain(await page.locator(".on-bench-counts").textContent())).toBe(
      "skeins7pans3steps22 still to do22bottles6",
    );
    await page.getByText("Every bottle is enough for what is planned.").waitFor();
    const bottle = page.locator(".on-bench-bottle", { hasText: "Saltmarsh" });
    // 20 + 37.5 + 60 mL of the demonstration sheet.
    expect(plain(await bottle.textContent())).toContain("117.5 mL planned in 3 pours: enough.");
  });

  test("says which bottle is short, and by how much", async () => {
    await openPage();
    const bench = await house.benchClient(token);
    await bench.must({ type: "discard", vessel: "saltmarsh", volumeUl: 150_000, how: "spilled" });
    const bottle = tablet.page.locator(".on-bench-bottle", { hasText: "Saltmarsh" });
    await bottle.getByText("17.5 mL short.").waitFor();
    await tablet.page.getByText("1 bottle not enough for what is planned").waitFor();
  });

  test("goes live with one tap, and leads to the live screen", async () => {
    await openPage();
    const bench = await house.benchClient(token);
    await tablet.tap("Go live");
    await until(() => bench.known().phase === "live", "the session to be live");
    await tablet.button("Bench").waitFor();
  });

  test("is closed only when asked twice, and reopened with one tap", async () => {
    const bench = await house.benchClient(token);
    await openPage();
    await bench.must({ type: "goLive" });
    await tablet.tap("Close the session");
    expect(bench.known().phase).toBe("live");
    await tablet.tap("Tap again to close it");
    await tablet.page.getByText("On the bench, closed").waitFor();
    expect(bench.known().phase).toBe("closed");
    await tablet.tap("Reopen");
    await until(() => bench.known().phase === "live", "the session to be open again");
  });
});

describe("a pour sheet from a file", () => {
  test("is opened, comes onto the bench, and the session before it stays in the record", async () => {
    await openPage();
    await choose("low-tide.json", sheet({ name: "Low tide" }));
    await tablet.page.getByRole("heading", { name: "Low tide" }).waitFor();
    expect(plain(await tablet.page.locator(".open-sheet-done").textContent())).toBe(
      "low-tide.json was opened and put on the bench.",
    );
    await tablet.button("Put Harbour at dusk on the bench").click();
    await tablet.page.getByRole("heading", { name: "Harbour at dusk" }).waitFor();
    await tablet.button("Put Low tide on the bench").waitFor();
    await shot(tablet.page, "sessions-two");
  });

  test("is opened when it is dropped there", async () => {
    await openPage();
    const data = await tablet.page.evaluateHandle((text) => {
      const transfer = new DataTransfer();
      transfer.items.add(new File([text], "dropped.json", { type: "application/json" }));
      return transfer;
    }, sheet({ name: "Spring tide" }).toString());
    await tablet.page.dispatchEvent(".open-sheet", "drop", { dataTransfer: data });
    await tablet.page.getByRole("heading", { name: "Spring tide" }).waitFor();
  });

  test("that names an unknown stock is told with the place, and nothing is changed", async () => {
    await openPage();
    const before = await lines();
    const steps = [
      { kind: "pour", stock: "saltmarsh", pan: "A", amount: { mL: 5 } },
      { kind: "pour", stock: "foghorn", pan: "A", amount: { mL: 5 } },
      { kind: "pour", stock: "lantern", pan: "Z", amount: { mL: 5 } },
    ];
    await choose("wrong.json", sheet({ steps }));
    expect(await problems()).toEqual([
      'steps 2: There is no stock "foghorn" in this sheet. It has: lantern, slipway, tidewrack, saltmarsh, gullwing, deepwater.',
      'steps 3: There is no pan "Z" in this sheet. It has: A, B, C.',
    ]);
    await tablet.page.getByText("wrong.json was not opened, and nothing was changed.").waitFor();
    expect(await lines()).toEqual(before);
    await shot(tablet.page, "sessions-wrong-sheet");
    await choose("right.json", sheet({ name: "Put right" }));
    await tablet.page.getByRole("heading", { name: "Put right" }).waitFor();
  });

  test("with amounts that cannot be is told line by line", async () => {
    await openPage();
    const [pan] = demonstration.pans;
    const [skein] = demonstration.skeins;
    const [stock] = demonstration.stocks;
    await choose(
      "amounts.json",
      sheet({
        skeins: [{ ...skein, g: 0 }],
        stocks: [{ ...stock, dyes: [{ dye: "lantern", strengthPct: 101 }] }],
        pans: [{ ...pan, capacityMl: -3 }],
        steps: [],
      }),
    );
    const said = await problems();
    expect(said).toContain("skeins 1, g: The dry fibre of a skein in g has to be more than 0.");
    expect(said).toContain(
      "stocks 1, dyes 1, strengthPct: The strength of a stock cannot be more than 100 %.",
    );
    expect(said).toContain(
      "pans 1, capacityMl: The capacity of a pan in mL has to be more than 0.",
    );
  });

  test.each([
    ["is not JSON", "{ pour", "The file is not JSON, so it cannot be a pour sheet."],
    ["is empty", "  ", "The file is empty."],
    ["is larger than 1 MB", JSON.stringify("x".repeat(1_000_001)), "The file is larger than 1 MB."],
    ["is something else", "[1, 2]", ""],
  ])("that %s is refused with a sentence", async (_what, text, sentence) => {
    await openPage();
    const before = await lines();
    await choose("other.json", Buffer.from(text));
    const said = await problems();
    expect(said.join(" ")).toContain(sentence);
    expect(said.join(" ").length).toBeGreaterThan(10);
    expect(await lines()).toEqual(before);
  });

  test("may have names with markup, emoji, right-to-left or 80 letters", async () => {
    await openPage();
    const long = "Seventy-nine fathoms of weed and rope along the outer harbour wall at low tide..";
    expect(long).toHaveLength(80);
    const names = ["<img src=x onerror=alert(1)>", "🌊 tide", "ים בשעת ערב", long];
    const stocks = demonstration.stocks.map((stock, i) => ({
      ...stock,
      name: names[i] ?? stock.name,
    }));
    await choose("names.json", sheet({ name: names[0], stocks }));
    await tablet.page.getByRole("heading", { name: "<img src=x onerror=alert(1)>" }).waitFor();
    expect(await tablet.page.locator("img").count()).toBe(0);
    for (const name of names) {
      await tablet.page.locator(".on-bench-bottle", { hasText: name }).waitFor();
    }
    const { scrollWidth, clientWidth } = await tablet.page.evaluate(() => document.documentElement);
    expect(scrollWidth).toBe(clientWidth);
    await shot(tablet.page, "sessions-names");
  });
});

describe("addresses and tablets", () => {
  test("the waiting file is downloaded with the overlay's address in it", async () => {
    await openPage();
    const [download] = await Promise.all([
      tablet.page.waitForEvent("download"),
      tablet.page.getByRole("link", { name: "Download the waiting file" }).click(),
    ]);
    const text = readFileSync(await download.path(), "utf8");
    expect(text).toContain(`${house.address}/overlay`);
  });

  test("an address is copied where the page is no secure context", async () => {
    await house.close();
    const data = dataFolder();
    const running = await start({ port: 0, host: "127.0.0.1", data, names: ["bench.test"] });
    try {
      const address = `http://bench.test:${running.port}`;
      tablet = await Tablet.open(browser, address, { hash: `#pair=${running.pairingCode()}` });
      const { page } = tablet;
      await page.getByRole("heading", { name: "Addresses" }).waitFor();
      expect(await page.evaluate(() => isSecureContext)).toBe(false);
      await page.evaluate(() => {
        document.addEventListener("copy", () => {
          document.title = `copied ${getSelectionIn(document.activeElement)}`;
        });
        function getSelectionIn(field: Element | null) {
          if (!(field instanceof HTMLInputElement)) return "";
          return field.value.slice(field.selectionStart ?? 0, field.selectionEnd ?? 0);
        }
      });
      await tablet.button("Copy: Overlay, for a browser source of 1920 by 1080").click();
      await page.getByText("Copied.").waitFor();
      expect(await page.title()).toBe(`copied ${running.address}/overlay`);
    } finally {
      await running.close();
      house = await House.start();
    }
  });

  test("another tablet is let in with a code that is shown here", async () => {
    await openPage();
    await tablet.tap("Pair another tablet");
    const shown = tablet.page.locator(".tablets-digits");
    await shown.waitFor();
    const code = ((await shown.textContent()) ?? "").replaceAll(/\s/g, "");
    await shot(tablet.page, "sessions-code");
    const { status } = await house.ask("POST", "/api/pair", { body: { code } });
    expect(status).toBe(200);
  });

  test("all tablets are forgotten only when asked twice, this one too", async () => {
    await openPage();
    await tablet.tap("Forget all tablets");
    expect((await house.ask("GET", "/api/sessions", { token })).status).toBe(200);
    await tablet.tap("Tap again: all tablets must pair anew, this one too");
    await tablet.page.getByRole("heading", { name: "Pair this tablet" }).waitFor();
    expect((await house.ask("GET", "/api/sessions", { token })).status).toBe(401);
  });
});

test.each(Object.keys(sizes) as (keyof typeof sizes)[])(
  "the page has no accessibility violation and fits on a %s screen",
  async (size) => {
    await openPage({ size, axe: true });
    await tablet.tap("Pair another tablet");
    await tablet.page.locator(".tablets-digits").waitFor();
    await choose("broken.json", Buffer.from("{"));
    await problems();
    expect(await tablet.violations()).toEqual([]);
    const { scrollWidth, clientWidth } = await tablet.page.evaluate(() => document.documentElement);
    expect(scrollWidth).toBe(clientWidth);
    expect(tablet.errors).toEqual([]);
    await shot(tablet.page, `sessions-${size}`);
  },
);
