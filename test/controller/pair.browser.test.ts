import type { Browser } from "playwright-core";
import { afterEach, beforeAll, beforeEach, describe, expect, test } from "vitest";
import { launchBrowser, shot } from "../browser/launch.ts";
import { House } from "../server/house.ts";
import { plain, sizes, Tablet } from "./benchTablet.ts";

let browser: Browser;
let house: House;
let tablet: Tablet;

beforeAll(async () => {
  browser = await launchBrowser("current");
});

beforeEach(async () => {
  house = await House.start();
});

afterEach(async () => {
  await tablet.close();
  await house.close();
});

const otherThan = (code: string) => (code === "111111" ? "222222" : "111111");
const refusal = async () => {
  const said = tablet.page.locator(".pair-said");
  await said.filter({ hasText: "." }).waitFor();
  return plain(await said.textContent());
};
const paired = () => tablet.page.getByRole("heading", { name: "Harbour at dusk" }).waitFor();
const typed = async (code: string) => {
  for (const digit of code) await tablet.tap(digit);
};

describe("the pairing page", () => {
  test("lets a tablet in with the code typed on its number keys", async () => {
    const code = house.running.pairingCode();
    tablet = await Tablet.open(browser, house.address);
    await typed(code.slice(0, 3));
    await tablet.tap("Rub out");
    await typed(code.slice(2));
    await paired();
    expect(await tablet.page.evaluate(() => localStorage.getItem("pourside.token"))).toBeTruthy();
  });

  test("takes a real keyboard as well", async () => {
    const code = house.running.pairingCode();
    tablet = await Tablet.open(browser, house.address);
    await tablet.page.keyboard.type(`x${code.slice(0, 5)}`);
    await tablet.page.keyboard.press("Backspace");
    await tablet.page.keyboard.type(code.slice(4));
    await paired();
  });

  test("takes a code that is pasted", async () => {
    const code = house.running.pairingCode();
    tablet = await Tablet.open(browser, house.address);
    await tablet.page.evaluate(
      (text) => {
        const clipboardData = new DataTransfer();
        clipboardData.setData("text", text);
        document.dispatchEvent(new ClipboardEvent("paste", { clipboardData }));
      },
      `${code.slice(0, 3)} ${code.slice(3)}\n`,
    );
    await paired();
  });

  test("sends the code of a QR address at once and takes it out of the address", async () => {
    const code = house.running.pairingCode();
    tablet = await Tablet.open(browser, house.address, { hash: `#pair=${code}` });
    await paired();
    expect(tablet.page.url()).toBe(`${house.address}/controller`);
  });

  test("says what to do about a wrong code and starts the digits anew", async () => {
    const wrong = otherThan(house.running.pairingCode());
    tablet = await Tablet.open(browser, house.address);
    await typed(wrong);
    expect(await refusal()).toBe(
      "This is not the pairing code. Look at Pourside's terminal again.",
    );
    await tablet.page.getByRole("img", { name: "No digit typed yet" }).waitFor();
    await shot(tablet.page, "pair-wrong");
  });

  test("says where the new code is when the old one has expired", async () => {
    // No code was ever shown, which is what an expired one looks like to the server.
    tablet = await Tablet.open(browser, house.address);
    await typed("123456");
    expect(await refusal()).toBe(
      "This pairing code has expired. A new one is on Pourside's terminal.",
    );
  });

  test("says to wait after too many tries in a minute", async () => {
    const wrong = otherThan(house.running.pairingCode());
    tablet = await Tablet.open(browser, house.address);
    for (let tries = 0; tries < 10; tries += 1) {
      await house.ask("POST", "/api/pair", { body: { code: wrong } });
    }
    await typed(wrong);
    expect(await refusal()).toBe(
      "Too many tries from here. Wait a minute, then look at the code again.",
    );
    await shot(tablet.page, "pair-too-many");
  });

  test("says so when Pourside does not answer", async () => {
    house.running.pairingCode();
    tablet = await Tablet.open(browser, house.address);
    await tablet.page.context().setOffline(true);
    await typed("123456");
    expect(await refusal()).toContain("Pourside does not answer.");
  });

  test.each(Object.keys(sizes) as (keyof typeof sizes)[])(
    "has no accessibility violation and fits on a %s screen",
    async (size) => {
      house.running.pairingCode();
      tablet = await Tablet.open(browser, house.address, { size, axe: true });
      await typed("12");
      expect(await tablet.violations()).toEqual([]);
      const { scrollWidth, clientWidth } = await tablet.page.evaluate(
        () => document.documentElement,
      );
      expect(scrollWidth).toBe(clientWidth);
      await shot(tablet.page, `pair-${size}`);
    },
  );
});
