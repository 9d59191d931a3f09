import type { Browser, Page } from "playwright-core";
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from "vitest";
import { launchBrowser } from "../browser/launch.ts";
import { House, pause } from "../overlay/house.ts";
import { harbourSheet } from "../scenario/desk.ts";
import { Phone, plain, type Size } from "./phone.ts";

let browser: Browser;
let house: House;
const phones: Phone[] = [];

beforeAll(async () => {
  browser = await launchBrowser("current");
});
afterAll(async () => {
  await browser.close();
});
beforeEach(async () => {
  house = await House.open();
});
afterEach(async () => {
  for (const phone of phones.splice(0)) {
    expect(phone.troubles).toEqual([]);
    await phone.close();
  }
  await house.close();
});

async function phoneOpen(size?: Size, prepare?: (page: Page) => Promise<unknown>) {
  const phone = await Phone.open(browser, `${house.address}/follow`, size, prepare);
  phones.push(phone);
  await phone.page.waitForSelector(".now, .opening");
  return phone;
}

const standing = (phone: Phone, text: string) =>
  phone.page.locator(".standing").filter({ hasText: text }).waitFor();

async function pourMore(volumeUl: number, vessel = "deepwater", pan = "A", skeins?: string[]) {
  const amount = { how: "measured" as const, volumeUl, plusMinusUl: 0 };
  const source = { from: "vessel" as const, vessel, amount };
  const pour = { source, pan, technique: "immersion" as const, coverage: 1 };
  const agoMs = 1;
  return house.does(
    { type: "pour", pour: skeins === undefined ? pour : { ...pour, skeins } },
    agoMs,
  );
}

describe("a viewer", () => {
  test("who joins late sees all that was poured, in own grams and strengths", async () => {
    await house.goLive();
    for (let step = 1; step <= 11; step += 1) await house.advance();
    await pourMore(3_000, "deepwater", "B", ["4"]);
    const phone = await phoneOpen();
    await standing(phone, "Live: pour 10 of 16 now");
    expect(await phone.page.locator("[data-pour]").count()).toBe(15);
    expect(await phone.pour(8)).toContain("37.5 mL");
    expect(await phone.pour(9)).toContain("not planned");

    await phone.type("Grams of dry yarn a skein", "37");
    await phone.type("Strength of my Saltmarsh", "0.5");
    // By hand: 37.5 mL of 1 % over 2 x 50 g is 0.375 %; on 2 x 37 g that is 277.5 mg, 55.5 mL of 0.5 %.
    expect(await phone.pour(8)).toContain("55.5 mL session: 37.5 mL Saltmarsh 0.5 %");
    expect(await phone.pour(8)).toContain("3: 0.56 → 0.94 % 4: 0.40 → 0.78 %");
    // 50 mL of 0.1 % on 50 g is 37 mL on 37 g.
    expect(await phone.now()).toContain("37 mL");
    expect(await phone.now()).toContain("in the session: 50 mL");
    // White vinegar, 30 mL for 100 g, is 22.2 mL for 74 g.
    expect(await phone.text(".sheet")).toContain(
      "22.2 mL session: 30 mL White vinegar 5 % into pan A",
    );
  });

  test("counts in grams of the whole set as well as of a skein", async () => {
    const phone = await phoneOpen();
    await phone.openMine();
    await phone.page.getByText("the whole set").click();
    await phone.type("Grams of dry yarn in all", "600");
    expect(await phone.pour(1)).toContain("80 mL");
    await phone.page.getByText("a skein", { exact: true }).click();
    expect(
      await phone.page.getByLabel("Grams of dry yarn a skein", { exact: true }).inputValue(),
    ).toBe("100");
    expect(await phone.pour(1)).toContain("80 mL");
  });

  test("sees a correction, and is told of it", async () => {
    await house.goLive();
    await house.advance();
    const pour = await house.advance();
    const phone = await phoneOpen();
    await standing(phone, "Live: pour 2 of 15 now");
    expect(await phone.pour(1)).toContain("40 mL");
    await phone.type("Grams of dry yarn a skein", "25");
    await house.does({
      type: "correct",
      act: pour,
      to: {
        kind: "pour",
        pour: {
          source: {
            from: "vessel",
            vessel: "lantern",
            amount: { how: "measured", volumeUl: 36_000, plusMinusUl: 0 },
          },
          pan: "A",
          technique: "immersion",
          coverage: 1,
        },
      },
      reason: "read the wrong line",
    });
    await phone.page.getByText("corrected", { exact: true }).waitFor();
    expect(await phone.pour(1)).toContain("18 mL");
    expect(await phone.pour(1)).toContain("0 → 0.36 %");
    expect(await phone.text(".changes")).toContain(
      "Pour 1 is corrected: 18 mL Lantern 1 % instead of 20 mL Lantern 1 %, pan A, skeins 1 and 2.",
    );
    expect(await phone.page.locator(".changes").getAttribute("aria-live")).toBe("polite");
    await phone.shot("follow-corrected-phone");
  });

  test("is told when a pour is taken back", async () => {
    await house.goLive();
    await house.advance();
    const phone = await phoneOpen();
    await standing(phone, "Live: pour 1 of 15 now");
    const pour = await house.advance();
    await standing(phone, "Live: pour 2 of 15 now");
    await house.does({ type: "undo", expect: pour });
    await standing(phone, "Live: pour 1 of 15 now");
    expect(await phone.text(".changes")).toContain(
      "Taken back: 40 mL Lantern 1 %, pan A, skeins 1 and 2.",
    );
  });

  test("sees about and ± until an amount is settled, and the depth with its doubt", async () => {
    await house.goLive();
    await house.does({
      type: "pour",
      pour: {
        source: {
          from: "vessel",
          vessel: "deepwater",
          amount: { how: "unsettled", volumeUl: 10_000, plusMinusUl: 2_000 },
        },
        pan: "A",
        technique: "immersion",
        coverage: 1,
      },
    });
    const phone = await phoneOpen();
    await standing(phone, "Live");
    await phone.type("Grams of dry yarn a skein", "100");
    expect(await phone.pour(1)).toContain("about 20 mL ± 4 mL");
    expect(await phone.pour(1)).toContain("0 → about 0.10 % ± 0.02 %");
    expect(await phone.pour(1)).toContain("to be settled");
    await house.does({
      type: "read",
      vessel: "deepwater",
      reading: { by: "level", leftUl: 189_000, plusMinusUl: 0 },
    });
    await phone.page.getByText("Pour 1 is settled").waitFor();
    expect(await phone.pour(1)).toMatch(/(?<!about )22 mL/);
    expect(await phone.pour(1)).not.toContain("about");
  });

  test("takes a jug dye by dye once a stock in it is of another strength", async () => {
    await house.goLive();
    await house.does({
      type: "mix",
      into: "jug",
      made: { name: "Sea lamp", as: "jug" },
      parts: [
        { vessel: "saltmarsh", volumeUl: 20_000 },
        { vessel: "lantern", volumeUl: 10_000 },
      ],
      powder: [],
      waterUl: 30_000,
    });
    await pourMore(30_000, "jug");
    const phone = await phoneOpen();
    await phone.page.locator("[data-pour='1']").getByText("Sea lamp").waitFor();
    expect(await phone.pour(1)).toContain("30 mL");
    await phone.type("Strength of my Saltmarsh", "2");
    const pour = await phone.pour(1);
    expect(pour).toContain("5 mL Saltmarsh 2 %");
    expect(pour).toContain("5 mL Lantern 1 %");
    await phone.shot("follow-jug-phone");
  });

  test("sees what a tool can measure, what that does to the depth, and a dilution", async () => {
    await house.goLive();
    await house.choose(6);
    await house.choose(4);
    await house.choose(19);
    const phone = await phoneOpen();
    await standing(phone, "Live: pour 1 of 15 now");
    await phone.type("Grams of dry yarn a skein", "37");
    await phone.page.getByText("Syringe 10").click();
    // 24 drops of 0.05 mL are 1.2 mL of 1 %; 0.888 mL on 37 g, 1 mL by marks of 0.5 mL.
    const now = await phone.now();
    expect(now).toContain("0.89 mL");
    expect(now).toContain("in the session: 24 drops, 1.2 mL");
    expect(now).toContain("With a syringe of 10 mL: 1 mL, depth +0.003 %");
    expect(now).toContain("Too little to measure well. Make 5 mL of the 1 % stock up to");
    await phone.page.getByText("Dropper", { exact: true }).click();
    await phone.type("Drops of my dropper in 1 mL", "25");
    expect(await phone.now()).toContain("With a dropper: 22 drops, depth");
    await phone.shot("follow-drops-phone");
  });

  test("finds own choices again on the same phone, and nothing else is kept or sent", async () => {
    const phone = await phoneOpen();
    await phone.type("Grams of dry yarn a skein", "37");
    await phone.type("Strength of my Lantern", "2");
    const sent: string[] = [];
    phone.page.on("websocket", (socket) => {
      socket.on("framesent", ({ payload }) => sent.push(String(payload)));
    });
    await phone.page.reload();
    await phone.page.getByText("Amounts for 37").waitFor();
    expect(await phone.now()).toContain("22.2 mL");
    // 40 mL of 1 % for 2 x 50 g is 14.8 mL of 2 % for 2 x 37 g.
    expect(await phone.pour(1)).toContain("14.8 mL");
    expect(await phone.context.cookies()).toEqual([]);
    expect(await phone.page.evaluate(() => Object.keys(localStorage))).toEqual(["pourside.follow"]);
    expect(sent.join("\n")).not.toMatch(/37000000|dyePct|"fibre"/);
  });

  test("goes without where storage is refused", async () => {
    const phone = await phoneOpen("phone", (page) =>
      page.addInitScript(() => {
        Object.defineProperty(window, "localStorage", {
          get: () => {
            throw new DOMException("denied", "SecurityError");
          },
        });
      }),
    );
    await phone.type("Grams of dry yarn a skein", "100");
    expect(await phone.text(".sheet")).toContain("60 mL");
  });
});

describe("a typed amount", () => {
  test.each([
    ["0", "Write more than 0, such as 50 g or 1.5 oz."],
    ["-3", "This cannot be below 0: leave out the minus."],
    ["abc", "This is not a weight: write it as 50 g or 1.5 oz."],
    ["1000000000", "That is more than 100000 g: check the unit and the point."],
    ["1e9", "Write the number out in full, such as 50 g or 1.5 oz."],
    ["", "Write a weight, such as 50 g or 1.5 oz."],
  ])("of %j g gets a sentence, and the last good one stays in force", async (text, say) => {
    await house.goLive();
    await house.advance();
    const phone = await phoneOpen();
    await phone.type("Grams of dry yarn a skein", "37");
    await phone.type("Grams of dry yarn a skein", text);
    const label = "Grams of dry yarn a skein";
    expect(await phone.complaint(label)).toBe(`${say} Still counting with 37 g.`);
    expect(await phone.page.getByLabel(label, { exact: true }).getAttribute("aria-invalid")).toBe(
      "true",
    );
    expect(await phone.now()).toContain("29.6 mL");
    await phone.type(label, " 12 g");
    expect(await phone.complaint(label)).toBe("Understood: 12 g");
    expect(await phone.now()).toContain("9.6 mL");
    await phone.type(label, "0,5");
    expect(await phone.now()).toContain("0.4 mL");
  });
});

describe("a connection that is lost", () => {
  test("leaves what was seen, says since when, and catches up by itself", async () => {
    await house.goLive();
    await house.advance();
    const phone = await phoneOpen();
    await standing(phone, "Live: pour 1 of 15 now");
    await phone.context.setOffline(true);
    await phone.page.evaluate(() => window.dispatchEvent(new Event("offline")));
    await phone.page.locator(".behind").waitFor({ timeout: 50_000 });
    expect(await phone.text(".behind")).toMatch(
      /^Behind since \d\d:\d\d\. The connection is gone\./,
    );
    expect(await phone.now()).toContain("40 mL");
    await phone.shot("follow-behind-phone", false);
    await house.advance();
    await house.advance();
    expect(await phone.now()).toContain("40 mL");
    await phone.context.setOffline(false);
    await standing(phone, "Live: pour 3 of 15 now");
    await phone.page.locator(".behind").waitFor({ state: "detached" });
    expect(await phone.now()).toContain("6 mL");
  });

  test("because the server is gone comes back with the server, and what was poured since", async () => {
    await house.goLive();
    await house.advance();
    const phone = await phoneOpen();
    await standing(phone, "Live: pour 1 of 15 now");
    await phone.type("Grams of dry yarn a skein", "37");
    await house.stop();
    await phone.page.locator(".behind").waitFor();
    // The page still counts by itself.
    await phone.type("Grams of dry yarn a skein", "25");
    expect(await phone.now()).toContain("20 mL");
    await house.startAgain();
    await house.advance();
    await standing(phone, "Live: pour 2 of 15 now");
    await phone.page.locator(".behind").waitFor({ state: "detached" });
    expect(await phone.now()).toContain("15 mL");
  });

  test("that never was is said, and tried again until the server is there", async () => {
    const context = await browser.newContext();
    const page = await context.newPage();
    await page.route("**/api/view", (route) => route.abort());
    await page.routeWebSocket("**/live?*", (socket) => socket.close());
    await page.goto(`${house.address}/follow`);
    // What was served is there all the same.
    await page.locator(".behind").waitFor();
    expect(await page.locator("[data-pour]").count()).toBe(15);
    await page.screenshot({ path: "test/shots/follow-opening.png" });
    await context.close();
  });
});

test("held back by the dyer, a page is never ahead of the stream, opened anew or not", async () => {
  const holdBackMs = 4_000;
  await house.goLive();
  await house.advance();
  const phone = await phoneOpen();
  await standing(phone, "Live: pour 1 of 15 now");
  await house.does({ type: "holdBack", seconds: holdBackMs / 1_000 });
  await phone.page.getByText("This page waits 4\u202fs").waitFor();
  // So long that even a slow machine asks within it.
  await house.does({ type: "holdBack", seconds: 180 });
  const before = performance.now();
  await house.advance();
  const anew = await (await fetch(`${house.address}/follow`)).text();
  expect(anew).toContain("Live: pour 1 of 15 now");
  await house.does({ type: "holdBack", seconds: holdBackMs / 1_000 });
  await standing(phone, "Live: pour 2 of 15 now");
  expect(performance.now() - before).toBeGreaterThan(holdBackMs - 50);
  expect(await (await fetch(`${house.address}/follow`)).text()).toContain("Live: pour 2 of 15 now");
});

/** As many letters as a name may have. */
const eighty = (words: string) => words.repeat(8).slice(0, 80).trim();

test("names with markup, emoji, 80 letters in four scripts are shown harmlessly", async () => {
  const long = "Harbourmaster's midnight oil and seaweeds";
  const sheet = harbourSheet();
  const [lantern, slipway, tidewrack, saltmarsh] = sheet.stocks;
  if (!lantern || !slipway || !tidewrack || !saltmarsh) throw new Error("the stocks are gone");
  tidewrack.name = eighty("Ψηφιδωτήθάλασσατουλιμανιού ");
  saltmarsh.name = eighty("Полуночнаягаваньиводоросли ");
  sheet.colourways.forEach((colourway, at) => {
    colourway.name = eighty(at % 2 === 0 ? "בוקרשקטבנמלהישן " : "Mitternachtshafenmeisterei ");
  });
  lantern.name = long;
  slipway.name = "<img src=x onerror=alert(1)>";
  for (const skein of sheet.skeins) {
    if (skein.id === "1") skein.name = "בוקר בנמל";
    if (skein.id === "2") skein.name = "🧶 two";
  }
  for (const pan of sheet.pans) if (pan.id === "A") pan.name = "מגש";
  sheet.name = `${long} <b>and</b> on`;
  await house.put(sheet);
  await house.goLive();
  await house.advance();
  const phone = await phoneOpen("small");
  await standing(phone, "Live: pour 1 of 15 now");
  expect(await phone.now()).toContain(`${long} 1 %`);
  expect(await phone.now()).toContain("into pan מגש, skeins בוקר בנמל and 🧶 two");
  expect(await phone.pour(2)).toContain("<img src=x onerror=alert(1)> 0.5 %");
  expect(await phone.page.locator("img").count()).toBe(0);
  expect(await phone.overhang()).toEqual([]);
  await phone.openMine();
  expect(await phone.overhang()).toEqual([]);
  expect(await phone.violations()).toEqual([]);
  await phone.shot("follow-names-small");
});

test("at twice the text size on a small phone nothing sticks out", async () => {
  await house.goLive();
  await house.advance();
  const phone = await phoneOpen("small");
  await standing(phone, "Live: pour 1 of 15 now");
  await phone.page.addStyleTag({ content: "html { font-size: 200% }" });
  await phone.type("Grams of dry yarn a skein", "37");
  expect(await phone.overhang()).toEqual([]);
  await phone.shot("follow-twice-small");
});

test("a pour that stands now is read aloud once the amount has settled", async () => {
  await house.goLive();
  const phone = await phoneOpen();
  await standing(phone, "Live: 0 of 15 pours made");
  const live = phone.page.locator("p[aria-live=polite].unseen");
  expect(await live.textContent()).toBe("");
  await house.advance();
  await standing(phone, "Live: pour 1 of 15 now");
  const expectId = "s2";
  for (const volumeUl of [41_000, 42_000, 43_000]) {
    await house.does({
      type: "adjust",
      expect: expectId,
      amount: { of: "volume", amount: { how: "measured", volumeUl, plusMinusUl: 0 } },
    });
  }
  await phone.page.getByText("Now: 43").waitFor({ state: "attached" });
  expect(plain((await live.textContent()) ?? "")).toBe(
    "Now: 43 mL Lantern 1 % into pan A, skeins 1 and 2.",
  );
});

test("500 pours are all there, and the next one is drawn without a stutter", async () => {
  const sheet = harbourSheet();
  for (const stock of sheet.stocks) stock.mL = 50_000;
  await house.put(sheet);
  await house.goLive();
  const bottles = ["lantern", "slipway", "saltmarsh", "deepwater"];
  for (let n = 0; n < 500; n += 1) {
    await pourMore(100 + (n % 7) * 50, bottles[n % 4], "ABC"[n % 3]);
    // No bench taps this fast, and one that does is cut off.
    await pause(6);
  }
  const phone = await phoneOpen();
  await standing(phone, "Live: 500 of 515 pours made");
  expect(await phone.page.locator("[data-pour]").count()).toBe(515);
  await phone.page.evaluate(() => {
    const long: number[] = [];
    Object.assign(window, { long });
    new PerformanceObserver((list) => {
      for (const entry of list.getEntries()) long.push(entry.duration);
    }).observe({ entryTypes: ["longtask"] });
  });
  for (let n = 0; n < 5; n += 1) await pourMore(1_000 + n);
  await standing(phone, "Live: 505 of 520 pours made");
  await phone.type("Grams of dry yarn a skein", "37");
  await phone.page.getByText("Amounts for 37").waitFor();
  const longest = await phone.page.evaluate(() =>
    Math.max(0, ...(window as unknown as { long: number[] }).long),
  );
  console.log(
    `longest task while five pours came to 500 and the grams changed: ${Math.round(longest)} ms`,
  );
  expect(longest).toBeLessThan(1_000);
});
