import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Browser } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { type RunningRelay, startRelay } from "../../server/relay/relay.ts";
import { home } from "../../server/start.ts";
import { browsers, launchBrowser, shot } from "../browser/launch.ts";
import { sizes, Tablet } from "../controller/benchTablet.ts";
import { type House, liveHouse, until } from "../server/house.ts";
import { Follower } from "./follower.ts";

const key = "a-key-of-the-screen-test";

let browser: Browser;
let house: House;
let token: string;
let relay: RunningRelay;
let data: string;

beforeAll(async () => {
  browser = await launchBrowser(browsers.at(-1)?.name ?? "current");
  data = mkdtempSync(join(tmpdir(), "pourside-relay-"));
  const pages = join(home, "dist", "pages");
  relay = await startRelay({ port: 0, host: "127.0.0.1", data, key, pages });
  ({ house, token } = await liveHouse());
});

afterAll(async () => {
  await browser.close();
  await house?.close();
  await relay?.close();
  rmSync(data, { recursive: true, force: true });
});

test("the relay is linked, told of, given a new key and forgotten on the controller", async () => {
  const tablet = await Tablet.open(browser, house.address, { token, axe: true });
  const address = `http://127.0.0.1:${relay.port}`;
  const dialog = await tablet.bench("Beyond the room");
  await dialog.getByText("No relay is set.").waitFor();
  await shot(tablet.page, "relay-none");
  await dialog.getByLabel("Address").fill("not an address");
  await dialog.getByLabel("Key", { exact: true }).fill(key);
  await tablet.tap("Link");
  expect(await tablet.said()).toMatch(/no address of a relay/);

  await dialog.getByLabel("Address").fill(address);
  await dialog.getByLabel("Key", { exact: true }).fill("another-key-altogether");
  await tablet.tap("Link");
  await dialog.getByText("does not know this key").waitFor();
  await shot(tablet.page, "relay-refused");
  await dialog.getByLabel("Key", { exact: true }).fill(` ${key} `);
  await tablet.tap("Link");
  await dialog.getByText(`Linked to 127.0.0.1:${relay.port}.`).waitFor();
  await dialog.getByText("Nobody follows over it yet.").waitFor();
  expect(await tablet.page.content()).not.toContain(key);
  expect(await dialog.getByLabel("Key", { exact: true }).inputValue()).toBe("");
  expect(await dialog.getByLabel("Key", { exact: true }).getAttribute("placeholder")).toBe(
    "a key is kept",
  );
  expect(await dialog.getByLabel("Follow page").inputValue()).toBe(`${address}/follow`);
  await dialog.getByRole("img", { name: `QR code of ${address}/follow` }).waitFor();

  const followers = Array.from({ length: 3 }, () => new Follower(address));
  await dialog.getByText("3 viewers follow over it.").waitFor();
  for (const size of ["wide", "tall"] as const) {
    await tablet.page.setViewportSize(sizes[size]);
    await shot(tablet.page, `relay-linked-${size}`);
    const wide = await dialog.evaluate(({ scrollWidth, clientWidth }) => scrollWidth > clientWidth);
    expect(wide).toBe(false);
  }
  expect(await tablet.violations()).toEqual([]);
  const small = await dialog.locator(".relay button, .relay input").evaluateAll((targets) =>
    targets
      .map((target) => ({ text: target.textContent, box: target.getBoundingClientRect() }))
      .filter(({ box }) => box.width < 48 || box.height < 48)
      .map(({ text }) => text),
  );
  expect(small).toEqual([]);

  const keptKey = () => JSON.parse(readFileSync(join(house.data, "relay.json"), "utf8")).key;
  await tablet.tap("Take a new key");
  expect(await tablet.said()).toMatch(/The old key is dead/);
  expect(keptKey()).not.toBe(key);
  await until(() => house.running.relay.report().state === "on", "the link with the new key");
  await dialog.getByText("Linked to").waitFor();
  await tablet.tap("Forget both");
  await dialog.getByText("No relay is set.").waitFor();
  expect(keptKey).toThrow();
  for (const follower of followers) follower.close();
  expect(tablet.errors).toEqual([]);
  await tablet.close();
});
