import type { Browser } from "playwright-core";
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from "vitest";
import { browsers, launchBrowser } from "../browser/launch.ts";
import { House } from "../overlay/house.ts";
import { endTimers } from "../scenario/desk.ts";
import { Phone, type Size, sizes } from "./phone.ts";

let browser: Browser;
let house: House;
let phone: Phone | undefined;

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
  await phone?.close();
  phone = undefined;
  await house.close();
});

const address = () => `${house.address}/follow`;

describe.each(Object.keys(sizes) as Size[])("on the screen of a %s", (size) => {
  test("the plan, a pour, settings, a painted pour and the end are clean", async () => {
    phone = await Phone.open(browser, address(), size);
    await phone.page.waitForSelector(".now");
    await phone.shot(`follow-ready-${size}`);

    await house.goLive();
    await house.advance();
    await phone.page.getByText("Live: pour 1 of 15 now").waitFor();
    await phone.shot(`follow-pour-${size}`);
    expect(await phone.violations()).toEqual([]);
    expect(await phone.overhang()).toEqual([]);

    await phone.type("Grams of dry yarn a skein", "37");
    await phone.type("Strength of my Saltmarsh", "0,5");
    await phone.type("Strength of my Slipway", "2");
    await phone.type("Strength of my Deepwater", "abc");
    await phone.page.getByText("Syringe 10").click();
    await phone.shot(`follow-mine-${size}`);
    expect(await phone.violations()).toEqual([]);
    expect(await phone.overhang()).toEqual([]);
    expect((await phone.lowestTarget()).height).toBeGreaterThanOrEqual(48);
    await phone.type("Strength of my Deepwater", "1");
    await phone.page.locator(".mine h2 button").click();

    await house.advance();
    await phone.page.getByText("Live: pour 2 of 15 now").waitFor();
    await phone.shot(`follow-painted-${size}`);
    for (let step = 3; step <= 15; step += 1) await house.advance();
    await phone.page.getByText("Live: pour 11 of 15 now").waitFor();
    await phone.shot(`follow-parts-${size}`);
    await house.does({ type: "note", text: "The tweed goes in last of all.", seen: "public" });
    for (let step = 16; step <= 22; step += 1) await house.advance();
    await phone.page.getByText("Waiting, now").waitFor();
    await phone.shot(`follow-rest-${size}`);
    expect(await phone.violations()).toEqual([]);
    for (const end of endTimers(house.state)) await house.does(end);
    await house.does({ type: "close" });
    await phone.page.getByText("Closed. All 15 pours are here.").waitFor();
    await phone.shot(`follow-closed-${size}`);
    expect(await phone.violations()).toEqual([]);
    expect(await phone.overhang()).toEqual([]);
    expect(phone.troubles).toEqual([]);
  });
});

test.each(browsers)("it works in $label", async ({ name }) => {
  const other = await launchBrowser(name);
  await house.goLive();
  await house.advance();
  phone = await Phone.open(other, address());
  await phone.page.getByText("Live: pour 1 of 15 now").waitFor();
  await phone.type("Grams of dry yarn a skein", "37");
  await phone.type("Strength of my Lantern", "0.5");
  expect(await phone.now()).toContain("59.2 mL");
  await house.advance();
  await phone.page.getByText("Live: pour 2 of 15 now").waitFor();
  expect(await phone.pour(1)).toContain("0 → 0.40 %");
  expect(phone.troubles).toEqual([]);
  await phone.shot(`follow-browser-${name}`, false);
});
