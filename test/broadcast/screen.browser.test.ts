import type { Browser } from "playwright-core";
import { afterAll, afterEach, beforeAll, beforeEach, expect, test } from "vitest";
import { browsers, launchBrowser, shot } from "../browser/launch.ts";
import { axeViolations } from "../controller/benchAxe.ts";
import { sizes, Tablet } from "../controller/benchTablet.ts";
import { Bench, password, pause, until } from "./bench.ts";
import { Peer } from "./peer.ts";

const long = "A scene with a name of “forty letters” 🧶 & more";
const scenes = ["Bench", "Pan close up", long];

let browser: Browser;
let bench: Bench;
let peer: Peer;

beforeAll(async () => {
  browser = await launchBrowser(browsers.at(-1)?.name ?? "current");
});
afterAll(async () => {
  await browser.close();
});
beforeEach(async () => {
  bench = await Bench.open();
  peer = await Peer.open(password);
  peer.answer("GetSceneList", () => ({
    currentProgramSceneName: "Bench",
    scenes: scenes.map((sceneName) => ({ sceneName })),
  }));
  peer.answer("SetCurrentProgramScene", () => ({}));
  peer.answer("CreateInput", () => ({ sceneItemId: 1 }));
  peer.answer("SetSceneItemTransform", () => ({}));
  peer.answer("SetSceneItemEnabled", () => ({}));
  await bench.goLive();
});
afterEach(async () => {
  await bench.end();
  await peer.close();
});

test("the link is made, used and forgotten on the controller, with targets for gloves and no password on the page", async () => {
  const tablet = await Tablet.open(browser, bench.address, { token: bench.token, axe: true });
  const dialog = await tablet.bench("Broadcast");
  await dialog.getByText("works without it").waitFor();
  await shot(tablet.page, "broadcast-none");
  await dialog.getByLabel("Address").fill(peer.address);
  await dialog.getByLabel("Password").fill(password);
  await tablet.tap("Connect");
  await dialog.getByText(`Linked to ${peer.address}.`).waitFor();
  expect(await tablet.page.content()).not.toContain("weld");
  expect(await dialog.getByLabel("Password").inputValue()).toBe("");
  expect(await dialog.getByLabel("Password").getAttribute("placeholder")).toBe(
    "a password is kept",
  );

  await tablet.tap("Put the overlay into this scene");
  await dialog.getByText("The overlay is in “Bench” now, 1920 x 1080.").waitFor();
  await dialog.getByLabel("A pour", { exact: true }).selectOption(long);
  await until(() => peer.of("SetCurrentProgramScene").some(({ sceneName }) => sceneName === long));
  peer.tell("CurrentProgramSceneChanged", { sceneName: long });
  await pause(100);
  peer.tell("CurrentProgramSceneChanged", { sceneName: "Pan close up" });
  await dialog.getByRole("button", { name: "Follow again" }).waitFor();
  await tablet.tap("We are live now");
  await bench.advance();
  for (let pour = 0; pour < 2; pour++) {
    await pause(450);
    await bench.advance();
  }
  await dialog.getByText("at least 3 chapters").waitFor();
  const after = dialog.getByRole("group", { name: /After editing/ });
  await after.getByRole("button", { name: "+10" }).click();
  await dialog.getByText("move all by +10\u202fs").waitFor();
  await shot(tablet.page, "broadcast-linked");
  await tablet.page.setViewportSize({ width: sizes.wide.width, height: 2000 });
  await shot(tablet.page, "broadcast-linked-whole");
  expect(await axeViolations(tablet.page)).toEqual([]);
  const small = await dialog
    .locator(".broadcast button, .broadcast a, .broadcast select, .broadcast input")
    .evaluateAll((targets) =>
      targets
        .map((target) => ({ text: target.textContent, box: target.getBoundingClientRect() }))
        .filter(({ box }) => box.width < 72 || box.height < 72)
        .map(({ text }) => text),
    );
  expect(small).toEqual([]);

  await tablet.tap("Follow again");
  await dialog.getByRole("button", { name: "Follow again" }).waitFor({ state: "detached" });
  await tablet.page.setViewportSize(sizes.wide);
  await tablet.tap("Back to the pour");
  await tablet.page.getByText("broadcaster linked").waitFor();
  await shot(tablet.page, "broadcast-topline");
  await peer.close();
  await tablet.page.getByText("broadcaster away").waitFor();
  peer = await Peer.open(password);
  expect(tablet.errors).toEqual([]);
  await tablet.close();
});
