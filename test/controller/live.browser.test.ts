import { createRequire } from "node:module";
import type { Browser, Page } from "playwright-core";
import { io, type Socket } from "socket.io-client";
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from "vitest";
import { createLink, type Link } from "../../controller/link/link.ts";
import demonstration from "../../server/session/harbour-at-dusk.json" with { type: "json" };
import { CAUTIONS, deferral } from "../../shared/cautions/cautions.ts";
import type { RecordedEvent, SessionEvent } from "../../shared/session/event.ts";
import { fold, type State } from "../../shared/session/state.ts";
import { launchBrowser, packaged, shot } from "../browser/launch.ts";
import { Follower } from "../relay/follower.ts";
import {
  expectFigureFits,
  expectNoScroll,
  expectTargets,
  go,
  goLive,
  landscape,
  openTablet,
  portrait,
  small,
  Wire,
} from "./liveTablet.ts";
import { openSheet, TestServer } from "./server.ts";

const axeFile = createRequire(import.meta.url).resolve("axe-core/axe.min.js");

let browser: Browser;
let server: TestServer;
const helpers: { close(): unknown }[] = [];

beforeAll(async () => {
  browser = await launchBrowser("current", { hosts: ["bench.test"] });
});
afterAll(async () => {
  await browser.close();
});
beforeEach(async () => {
  server = await TestServer.begin(["bench.test"]);
});
afterEach(async () => {
  for (const helper of helpers.splice(0)) helper.close();
  await Promise.all(browser.contexts().map((context) => context.close()));
  await server.end();
});

/** The session as it stands on disk. */
function onDisk(): State {
  const [session] = server.record.sessions();
  if (!session) throw new Error("The record is empty.");
  const events: RecordedEvent[] = server.record
    .events(session.id)
    .map(({ seq, at, serverAt, body }) => ({ seq, at, serverAt, event: body as SessionEvent }));
  return fold(session.id, events);
}

/** "40 lantern A": what was poured, in order. */
function pours(): string[] {
  return onDisk().bench.poured.map(({ pour: { source, pan } }) =>
    source.from === "vessel"
      ? `${source.amount.volumeUl / 1000} ${source.vessel} ${pan}`
      : `${source.amount.massUg / 1000} ${source.dye} powder ${pan}`,
  );
}

async function otherTablet(): Promise<Link> {
  const link = createLink({
    token: await server.pair(),
    storage: null,
    socketUrl: server.address,
  });
  helpers.push(link);
  await expect.poll(() => link.value().state !== null).toBe(true);
  return link;
}

const placeOf = (page: Page) =>
  page.$eval("[data-next]", (next) => JSON.stringify(next.getBoundingClientRect()));
const said = (page: Page) => page.textContent(".live-said");
const health = (page: Page) =>
  page.$$eval(".live-health li", (all) => all.map((one) => one.textContent));

async function expectAccessible(page: Page): Promise<void> {
  await page.addScriptTag({ path: axeFile });
  const violations = await page.evaluate(async () => {
    const { axe } = globalThis as unknown as {
      axe: { run(): Promise<{ violations: { id: string; nodes: { html: string }[] }[] }> };
    };
    return (await axe.run()).violations.map(
      ({ id, nodes }) => `${id}: ${nodes.map(({ html }) => html).join(" ")}`,
    );
  });
  expect(violations).toEqual([]);
}

describe.each([
  ["1180", landscape],
  ["820", portrait],
])("the live screen at %s px", (name, size) => {
  test("keeps its one action in place at every kind of step, with targets for gloves", async () => {
    const { page, troubles } = await openTablet(browser, server, { size });
    const first = await placeOf(page);
    await goLive(page);
    for (const n of [0, 1, 2, 4, 5, 12, 18, 19, 21]) {
      const row = page.locator(".live-sheet li").nth(n);
      if ((await row.getAttribute("data-status")) !== "hand") await row.tap();
      await expect.poll(() => row.getAttribute("data-status")).toBe("hand");
      expect(await placeOf(page)).toBe(first);
      await expectNoScroll(page);
      await expectTargets(page);
      await expectFigureFits(page);
      await shot(page, `controller-live-${name}-step-${n + 1}`);
    }
    await go(page);
    expect(await page.textContent("[data-next]")).toBe("Rest done");
    expect(await placeOf(page)).toBe(first);
    await expectTargets(page);
    await shot(page, `controller-live-${name}-resting`);
    expect(troubles).toEqual([]);
  });

  test("has large targets and no violation that axe knows in every one of its states", async () => {
    const { page } = await openTablet(browser, server, { size, bypassCSP: true });
    const look = async (state: string) => {
      await expectTargets(page);
      // Sizes and places differ with the way the tablet is held; what axe looks at does not.
      if (size === landscape) await expectAccessible(page);
      await shot(page, `controller-live-${name}-${state}`);
    };
    await look("ready");
    await goLive(page);
    await look("acid");
    await go(page);
    await page.tap(".live-how");
    await look("about");
    await page.tap("text=Unplanned pour");
    await look("unplanned");
    await page.tap(".live-source >> nth=0");
    await look("how-much");
    await page.tap("text=Another amount");
    await look("keypad");
    await page.tap("text=Another bottle");
    await page.tap(".live-source:has-text('powder') >> nth=0");
    await look("powder");
    await page.tap("text=Back to the pour");
    await page.waitForTimeout(430);
    for (let i = 0; i < 4; i++) await go(page);
    await look("steam");
    await go(page);
    await page.tap(".live-timer");
    await look("timer");
    await page.tap("text=Back to the pour");
    await page.waitForTimeout(430);
    await page.tap(".live-caution");
    await look("notes");
    await page.tap("text=Back to the pour");
    await page.waitForTimeout(430);
    await page.tap(".live-sheet li[data-status=coming] >> nth=2");
    await page.waitForSelector(".live-back");
    await look("chosen");
    await page.tap(".live-figure");
    await look("amount");
    await page.tap("text=Back to the pour");
    await page.waitForTimeout(430);
    await server.stop();
    await expect.poll(() => health(page)).toContainEqual(expect.stringMatching(/^offline since/));
    await go(page);
    await look("offline");
  });
});

test("a whole session goes by with one action, which says when all is done", async () => {
  const { page, troubles } = await openTablet(browser, server);
  const first = await placeOf(page);
  await goLive(page);
  // One touch for each step, and one more for the rest that the session waits for.
  for (let i = 0; i <= demonstration.steps.length; i++) {
    expect(await placeOf(page)).toBe(first);
    await expectNoScroll(page);
    await go(page);
  }
  expect(await page.textContent(".live-rest h2")).toBe("All that was planned is done");
  expect(await page.textContent("[data-next]")).toBe("Show the recap card");
  expect(await placeOf(page)).toBe(first);
  await expectTargets(page);
  await shot(page, "controller-live-1180-done");
  const planned = demonstration.steps.filter(({ kind }) => kind === "pour").length;
  await expect.poll(() => onDisk().bench.poured.length).toBe(planned);
  const { steps } = onDisk().bench;
  expect(Object.values(steps).map(({ status }) => status)).toEqual(
    demonstration.steps.map(() => "done"),
  );
  await go(page);
  expect(onDisk().overlay.view).toBe("recap");
  await page.tap("text=Close session");
  expect(await said(page)).toContain("is still on the heat");
  const running = () =>
    Object.values(onDisk().bench.timers).filter(({ stoppedAt }) => stoppedAt === null).length;
  for (let left = running(); left > 0; left--) {
    await page.tap(".live-timer");
    await page.tap("text=End it now");
    await expect.poll(running).toBe(left - 1);
    await page.waitForTimeout(430);
  }
  await page.tap("text=Close session");
  await expect.poll(() => page.textContent(".live-rest h2")).toBe("The session is closed");
  await shot(page, "controller-live-1180-closed");
  expect(troubles).toEqual([]);
});

test("the live screen can be used at 1024 by 768", async () => {
  const { page } = await openTablet(browser, server, { size: small });
  await goLive(page);
  await go(page);
  await expectNoScroll(page);
  await expectTargets(page);
  await shot(page, "controller-live-1024-pour");
});

describe("an unplanned pour", () => {
  test("takes three taps for a preset amount into the pan in hand", async () => {
    const { page } = await openTablet(browser, server);
    await goLive(page);
    await go(page);
    await page.evaluate(() => {
      document.documentElement.dataset.taps = "0";
      document.addEventListener("pointerup", () => {
        const taps = Number(document.documentElement.dataset.taps) + 1;
        document.documentElement.dataset.taps = String(taps);
      });
    });
    await page.tap("text=Unplanned pour");
    expect(await page.textContent(".live-choose[aria-pressed=true]")).toBe("pan A");
    await page.tap(".live-source:has-text('Saltmarsh') >> nth=0");
    await page.tap(".live-offer:text-is('2.5\u202fmL')");
    await expect.poll(pours).toEqual(["2.5 saltmarsh A"]);
    expect(await page.evaluate(() => document.documentElement.dataset.taps)).toBe("3");
    expect(onDisk().bench.poured[0]?.doses.map(({ skein }) => skein)).toEqual(["1", "2"]);
    expect(await said(page)).toBe("poured: 2.5\u202fmL Saltmarsh 1\u202f% into pan A");
    // The step in hand is still in hand.
    expect(await page.textContent(".live-head h2")).toBe("Lantern 1\u202f%");
  });

  test("offers what was poured last again, and keeps a second tap from what lies beneath", async () => {
    const { page } = await openTablet(browser, server);
    await goLive(page);
    await go(page);
    await page.tap("text=Unplanned pour");
    await page.tap(".live-source:has-text('Saltmarsh') >> nth=0");
    await page.tap(".live-offer:text-is('10\u202fmL')");
    await expect.poll(pours).toEqual(["10 saltmarsh A"]);
    await page.waitForTimeout(430);
    await page.tap("text=Unplanned pour");
    await page.tap(".live-source:has-text('Slipway') >> nth=0");
    const again = page.locator(".live-offer:has-text('again')");
    expect(await again.textContent()).toBe("10\u202fmLagain");
    const spot = await again.boundingBox();
    if (!spot) throw new Error("The offer cannot be seen.");
    const before = onDisk().seq;
    await page.touchscreen.tap(spot.x + 20, spot.y + 20);
    await page.touchscreen.tap(spot.x + 20, spot.y + 20);
    await expect.poll(pours).toEqual(["10 saltmarsh A", "10 slipway A"]);
    await page.waitForTimeout(300);
    expect(onDisk().seq).toBe(before + 1);
    expect(await page.$(".live-panel")).toBeNull();
  });

  test("takes any amount, skeins, manner and doubt from large keys", async () => {
    const { page } = await openTablet(browser, server);
    await goLive(page);
    await page.tap("text=Unplanned pour");
    await page.tap(".live-choose:has-text('pan B')");
    await page.tap(".live-source:has-text('Deepwater') >> nth=0");
    await page.tap(".live-offer:text-is('Drops')");
    await page.tap(".keypad-keys button:text-is('1')");
    await page.tap(".keypad-keys button:text-is('2')");
    await page.tap(".live-choose:has(bdi:text-is('3'))");
    await page.tap(".live-choose:text-is('dripped')");
    await page.tap(".live-choose:has(span:text-is('5\u202f%'))");
    await page.tap(".live-choose:text-is('About')");
    await shot(page, "controller-live-1180-drops-typed");
    expect(await page.$$("input, textarea")).toEqual([]);
    await page.tap("text=/^Pour 12 drops/");
    await expect.poll(pours).toEqual(["0.6 deepwater B"]);
    expect(onDisk().bench.poured[0]?.pour).toMatchObject({
      source: { amount: { how: "estimated", drops: 12, volumeUl: 600, plusMinusUl: 50 } },
      shares: [{ skein: "4" }],
      technique: "dripped",
      coverage: 0.05,
    });
  });

  test("of dry powder shows its caution before the amount can be chosen", async () => {
    const { page } = await openTablet(browser, server);
    await goLive(page);
    await page.tap("text=Unplanned pour");
    await page.tap(".live-source:has-text('powder') >> nth=1");
    expect(await page.textContent(".live-powder")).toContain(CAUTIONS.dryPowder.note);
    await page.tap(".live-offer:text-is('100\u202fmg')");
    await expect.poll(pours).toEqual(["100 slipway powder A"]);
    expect(await page.textContent(".live-caution")).toContain(CAUTIONS.dryPowder.line);
  });
});

describe("the step in hand", () => {
  test("is changed, poured and undone, each in one tap and in words", async () => {
    const { page } = await openTablet(browser, server);
    await goLive(page);
    await go(page);
    await page.tap(".live-nudge[aria-label='5\u202fmL more']");
    await page.tap(".live-nudge[aria-label='1\u202fmL less']");
    await expect.poll(() => page.textContent(".live-figure .figures-first")).toBe("44");
    await page.waitForTimeout(430);
    await go(page);
    await expect.poll(pours).toEqual(["44 lantern A"]);
    expect(await page.textContent(".live-sheet li[data-status=done] >> nth=1")).toContain(
      "40\u202fmL44\u202fmL",
    );
    await page.tap("text=/^Undo:/");
    await expect.poll(pours).toEqual([]);
    expect(await said(page)).toBe("undid: 44\u202fmL Lantern 1\u202f% into pan A");
    expect(await page.textContent(".live-head h2")).toBe("Lantern 1\u202f%");
  });

  test("is undone once where the undo button is tapped twice at once, and said quietly", async () => {
    const { page } = await openTablet(browser, server);
    await goLive(page);
    for (let i = 0; i < 3; i++) await go(page);
    expect(pours()).toHaveLength(2);
    const box = await (await page.$("text=/^Undo:/"))?.boundingBox();
    if (!box) throw new Error("no undo button");
    const tap = () => page.touchscreen.tap(box.x + box.width / 2, box.y + box.height / 2);
    await Promise.all([tap(), tap()]);
    await expect.poll(() => page.getAttribute(".live-said", "data-tone")).toBe("quiet");
    await expect.poll(pours).toEqual(["40 lantern A"]);
  });

  test("can be chosen out of turn, with a way back", async () => {
    const { page } = await openTablet(browser, server);
    await goLive(page);
    await page.tap(".live-sheet li[data-status=coming]:has-text('Tidewrack') >> nth=0");
    await expect.poll(() => page.textContent(".live-head h2")).toBe("Tidewrack 1\u202f%");
    expect(await page.textContent(".live-back")).toBe("Back towhite vinegar 5\u202f%");
    await page.tap(".live-back");
    await expect.poll(() => page.textContent(".live-head h2")).toBe("white vinegar 5\u202f%");
    expect(await page.$(".live-back")).toBeNull();
  });

  test("says when the bottle will not be enough", async () => {
    const { page } = await openTablet(browser, server);
    const other = await otherTablet();
    await goLive(page);
    await other
      .value()
      .send({ type: "discard", vessel: "lantern", volumeUl: 120_000, how: "spilled" });
    await go(page);
    await expect
      .poll(() => page.textContent(".live-head mark"))
      .toBe("Bottle holds 30\u202fmL, not 40\u202fmL: pour less, or make up more first.");
    await go(page);
    expect(await said(page)).toContain("holds 30\u202fmL, not 40\u202fmL");
    expect(pours()).toEqual([]);
    await shot(page, "controller-live-1180-not-enough");
  });

  test("shows every caution of what is under way, its notes a tap away", async () => {
    const { page } = await openTablet(browser, server);
    await goLive(page);
    expect(await page.textContent(".live-caution")).toContain(CAUTIONS.acid.line);
    for (let i = 0; i < 5; i++) await go(page);
    expect(await page.textContent(".live-caution")).toContain(CAUTIONS.steam.line);
    await go(page);
    // The pan steams on while the next one is seen to.
    expect(await page.textContent(".live-caution")).toContain(CAUTIONS.acid.line);
    expect(await page.textContent(".live-caution")).toContain(CAUTIONS.hotBath.line);
    await page.tap(".live-caution");
    const notes = await page.textContent(".live-notes");
    expect(notes).toContain(CAUTIONS.steam.note);
    expect(notes).toContain(deferral);
  });

  test("has timers that are given more time and ended from the top line", async () => {
    const { page } = await openTablet(browser, server);
    await goLive(page);
    for (let i = 0; i < 6; i++) await go(page);
    expect(await page.textContent(".live-timer-left")).toBe("25\u202fmin left");
    await page.tap(".live-timer");
    await page.tap(".live-timer-acts button:has-text('+5')");
    await expect.poll(() => page.textContent(".live-timer-left")).toBe("30\u202fmin left");
    await page.tap("text=End it now");
    await expect.poll(() => page.$(".live-timer")).toBeNull();
    expect(await said(page)).toBe("ended the steam of pan A");
  });
});

describe("pedals, clickers and macro pads", () => {
  test("go on by page down, right, down, space and enter", async () => {
    const { page } = await openTablet(browser, server);
    await goLive(page);
    for (const [i, key] of ["PageDown", "ArrowRight", "ArrowDown", "Space", "Enter"].entries()) {
      await page.keyboard.press(key);
      await expect.poll(() => onDisk().acts.length).toBe(i + 1);
      await page.waitForTimeout(410);
    }
    expect(pours()).toEqual([
      "40 lantern A",
      "30 slipway A",
      "6 tidewrack A",
      "60 slipway powder A",
    ]);
  });

  test("undo by page up, left and up with one press, and once where it bounces", async () => {
    const { page } = await openTablet(browser, server);
    await goLive(page);
    for (let i = 0; i < 4; i++) await go(page);
    for (const [i, key] of ["PageUp", "ArrowLeft", "ArrowUp"].entries()) {
      await page.keyboard.press(key);
      await page.keyboard.press(key);
      await expect.poll(() => onDisk().acts.length).toBe(3 - i);
      await page.waitForTimeout(410);
    }
    // Had each press counted twice, the acid would have been taken back, too.
    expect(onDisk().acts).toHaveLength(1);
    expect(await page.getAttribute(".live-said", "data-tone")).toBe("quiet");
  });

  test("ignore a key held down, and say a bounce quietly", async () => {
    const { page } = await openTablet(browser, server);
    await goLive(page);
    await go(page);
    await page.keyboard.down("PageDown");
    await page.waitForTimeout(450);
    await page.keyboard.down("PageDown");
    await page.waitForTimeout(100);
    await page.keyboard.up("PageDown");
    await expect.poll(pours).toEqual(["40 lantern A"]);
    await page.keyboard.press("PageDown");
    await page.waitForTimeout(50);
    await page.keyboard.press("PageDown");
    await expect.poll(() => page.getAttribute(".live-said", "data-tone")).toBe("quiet");
    await page.waitForTimeout(100);
    expect(pours()).toEqual(["40 lantern A", "30 slipway A"]);
  });

  test("space on a focused button presses that button and nothing else", async () => {
    const { page } = await openTablet(browser, server);
    await goLive(page);
    await go(page);
    await page.focus(".live-nudge[aria-label='5\u202fmL more']");
    await page.keyboard.press("Space");
    await expect.poll(() => page.textContent(".live-figure .figures-first")).toBe("45");
    expect(pours()).toEqual([]);
    // A touched button gives the focus up again, so that a pedal's space goes on.
    await page.tap(".live-nudge[aria-label='5\u202fmL more']");
    await page.keyboard.press("Space");
    await expect.poll(pours).toEqual(["50 lantern A"]);
  });

  test("do nothing behind an open panel", async () => {
    const { page } = await openTablet(browser, server);
    await goLive(page);
    await go(page);
    await page.tap("text=Unplanned pour");
    await page.keyboard.press("PageDown");
    await page.keyboard.press("PageUp");
    await page.waitForTimeout(150);
    expect(onDisk().acts).toHaveLength(1);
    await page.keyboard.press("Escape");
    await expect.poll(() => page.$(".live-panel")).toBeNull();
    await page.keyboard.press("PageDown");
    await expect.poll(pours).toEqual(["40 lantern A"]);
  });
});

describe("away from the server", () => {
  test("pours are kept, said, and sent once and in order on return", async () => {
    const { page } = await openTablet(browser, server);
    await goLive(page);
    await go(page);
    await server.stop();
    await expect.poll(() => health(page)).toContainEqual(expect.stringMatching(/^offline since/));
    for (let i = 0; i < 4; i++) await go(page);
    expect(await health(page)).toContain("offline, 4 taps waiting");
    expect(await page.textContent("[data-next]")).toBe("Start the heat");
    await shot(page, "controller-live-1180-offline-queue");
    await server.restart();
    await expect.poll(() => health(page)).toContain("record is safe");
    expect(pours()).toEqual([
      "40 lantern A",
      "30 slipway A",
      "6 tidewrack A",
      "60 slipway powder A",
    ]);
  });

  test("what was queued outlives the page", async () => {
    const { page } = await openTablet(browser, server);
    await goLive(page);
    await go(page);
    await server.stop();
    await expect.poll(() => health(page)).toContainEqual(expect.stringMatching(/^offline since/));
    await go(page);
    await go(page);
    const context = page.context();
    await page.close();
    await server.restart();
    const again = await context.newPage();
    await again.goto(`${server.address}/controller`);
    await again.waitForSelector(".live");
    await expect.poll(() => health(again)).toContain("record is safe");
    expect(pours()).toEqual(["40 lantern A", "30 slipway A"]);
  });

  test("a connection that died in the tablet's sleep without a sign is made anew on waking", async () => {
    const wire = new Wire();
    const { page } = await openTablet(browser, server, { wire });
    const other = await otherTablet();
    await goLive(page);
    await expect.poll(() => other.value().state?.phase).toBe("live");
    wire.deaden();
    const [step] = other.value().state?.setup.steps ?? [];
    await other.value().send({ type: "skip", expect: step?.id ?? "" });
    await page.waitForTimeout(300);
    expect(await page.textContent(".live-head h2")).toBe("white vinegar 5\u202f%");
    await page.evaluate(() => document.dispatchEvent(new Event("visibilitychange")));
    await expect.poll(() => page.textContent(".live-head h2")).toBe("Lantern 1\u202f%");
    await go(page);
    await expect.poll(pours).toEqual(["40 lantern A"]);
  });

  test("a tablet that slept wakes to what happened meanwhile", async () => {
    const { page } = await openTablet(browser, server);
    const other = await otherTablet();
    await goLive(page);
    const devtools = await page.context().newCDPSession(page);
    await devtools.send("Page.setWebLifecycleState", { state: "frozen" });
    await server.stop();
    await server.restart();
    other.wake();
    await expect.poll(() => other.value().connection).toBe("on");
    const [step] = other.value().state?.setup.steps ?? [];
    await other.value().send({ type: "skip", expect: step?.id ?? "" });
    await devtools.send("Page.setWebLifecycleState", { state: "active" });
    await page.evaluate(() => document.dispatchEvent(new Event("visibilitychange")));
    await expect.poll(() => page.textContent(".live-head h2")).toBe("Lantern 1\u202f%");
    expect(await page.textContent(".live-sheet li >> nth=0")).toContain("skipped");
  });
});

test("a tap for a step that another tablet has done is refused in words and changes nothing", async () => {
  const wire = new Wire();
  const { page } = await openTablet(browser, server, { wire });
  const other = await otherTablet();
  await goLive(page);
  await expect.poll(() => other.value().state?.phase).toBe("live");
  wire.hold();
  const [first] = other.value().state?.setup.steps ?? [];
  await other.value().send({ type: "skip", expect: first?.id ?? "" });
  // This tablet has not heard of it, and shows its own tap at once.
  await go(page);
  expect(await page.textContent(".live-head h2")).toBe("Lantern 1\u202f%");
  expect(await page.textContent(".live-sheet li >> nth=0")).not.toContain("skipped");
  wire.release();
  await expect.poll(() => page.getAttribute(".live-said", "data-tone")).toBe("refused");
  expect(await said(page)).toBe(
    "Another step is current now. Nothing was changed; look again and tap.",
  );
  expect(await page.textContent(".live-sheet li >> nth=0")).toContain("skipped");
  expect(onDisk().acts.map(({ act }) => act.kind)).toEqual(["skip"]);
  await shot(page, "controller-live-1180-stale");
});

describe("the health line", () => {
  function overlay(): Socket {
    const socket = io(`${server.address}/watch`, { auth: { page: "overlay" }, forceNew: true });
    helpers.push(socket);
    return socket;
  }

  test("follows the overlay from none, to one that shows it, to one that lags, to one that is gone", async () => {
    const { page } = await openTablet(browser, server);
    expect(await health(page)).toContain("no overlay open");
    const socket = overlay();
    const snapshot = await new Promise<{ session: string; seq: number }>((resolve) =>
      socket.on("snapshot", resolve),
    );
    socket.emit("showing", { session: snapshot.session, seq: snapshot.seq });
    await expect.poll(() => health(page)).toContain("overlay shows it");
    await goLive(page);
    await expect
      .poll(() => health(page))
      .toContainEqual(expect.stringMatching(/^overlay behind since \d+:\d\d$/));
    socket.emit("showing", { session: snapshot.session, seq: onDisk().seq });
    await expect.poll(() => health(page)).toContain("overlay shows it");
    socket.disconnect();
    await expect
      .poll(() => health(page))
      .toContainEqual(expect.stringMatching(/^overlay not heard since/));
  });

  test("counts those who follow and the other tablets", async () => {
    const { page } = await openTablet(browser, server);
    const follower = new Follower(server.address);
    await otherTablet();
    await expect.poll(() => health(page)).toContain("1 following, 1 more tablet");
    follower.close();
  });
});

describe("by a name that is no secure context", () => {
  test("pours, and keeps the screen awake with a film after the first touch", async () => {
    const origin = `http://bench.test:${server.port}`;
    const { page, troubles } = await openTablet(browser, server, { origin });
    expect(await page.evaluate(() => [isSecureContext, "wakeLock" in navigator])).toEqual([
      false,
      false,
    ]);
    await goLive(page);
    await go(page);
    await go(page);
    await expect.poll(pours).toEqual(["40 lantern A"]);
    await expect.poll(() => health(page)).toContain("screen stays on");
    const film = () =>
      page.$eval(".awake-film", (element) => {
        const video = element as HTMLVideoElement;
        const { paused, muted, loop, ended, currentTime } = video;
        const { width, height } = video.getBoundingClientRect();
        const fills = width >= innerWidth && height >= innerHeight;
        return { paused, muted, loop, ended, fills, currentTime };
      });
    // It has run past its own length and still plays: it was set back in time.
    await page.waitForTimeout(3_000);
    const now = await film();
    expect(now).toMatchObject({
      paused: false,
      muted: false,
      loop: false,
      ended: false,
      fills: true,
    });
    const later = await film();
    await page.waitForTimeout(300);
    expect((await film()).currentTime).not.toBe(later.currentTime);
    expect(await health(page)).toContain("screen stays on");
    expect(troubles).toEqual([]);
  });

  test("falls back to the film also where the browser denies its wake lock", async () => {
    // Headless browsers deny it always, and so do tablets that save power.
    const { page } = await openTablet(browser, server, {
      origin: `http://localhost:${server.port}`,
    });
    expect(await page.evaluate(() => "wakeLock" in navigator)).toBe(true);
    expect(await health(page)).toContain("screen may sleep: touch it");
    await goLive(page);
    await expect.poll(() => health(page)).toContain("screen stays on");
  });

  test("takes the wake lock where it is given, and again after it was taken away", async () => {
    const { page } = await openTablet(browser, server, {
      origin: `http://localhost:${server.port}`,
      before: () => {
        const locks: EventTarget[] = [];
        Object.assign(globalThis, { locks });
        const request = async () => {
          const lock = Object.assign(new EventTarget(), {
            onrelease: null,
            release: async () => {},
          });
          locks.push(lock);
          return lock;
        };
        Object.defineProperty(navigator, "wakeLock", { value: { request } });
      },
    });
    await expect.poll(() => health(page)).toContain("screen stays on");
    expect(await page.$(".awake-film")).toBeNull();
    await page.evaluate(() => {
      const { locks } = globalThis as unknown as { locks: { onrelease(): void }[] };
      locks[0]?.onrelease();
    });
    await expect.poll(() => health(page)).toContain("screen may sleep");
    await page.evaluate(() => document.dispatchEvent(new Event("visibilitychange")));
    await expect.poll(() => health(page)).toContain("screen stays on");
  });
});

describe("names and amounts at their limits", () => {
  const long = "Harbourmaster's midnight at low water XL";
  const sheet = (dyeName: string, amounts: readonly object[]) => ({
    ...demonstration,
    name: dyeName,
    stocks: demonstration.stocks.map((stock) =>
      stock.id === "saltmarsh" ? { ...stock, name: dyeName, mL: 5_000 } : stock,
    ),
    pans: demonstration.pans.map((pan) => (pan.id === "A" ? { ...pan, name: dyeName } : pan)),
    skeins: demonstration.skeins.map((skein) =>
      skein.id === "1" ? { ...skein, name: dyeName } : skein,
    ),
    steps: amounts.map((amount) => ({ kind: "pour", stock: "saltmarsh", pan: "A", amount })),
  });

  test.each([
    ["forty letters", long],
    ["markup", "<b onclick=alert(1)>Bold & <script>"],
    ["right-to-left letters", "כחול עמוק של הנמל בערב"],
    ["emoji", "🌊🌊 Tide 🧶"],
  ])("%s: shown as they are, the action in its place", async (_what, name) => {
    await openSheet(server, await server.pair(), sheet(name, [{ mL: 37.5 }, { mL: 12 }]));
    for (const [label, size] of [
      ["1180", landscape],
      ["820", portrait],
    ] as const) {
      const { page, troubles } = await openTablet(browser, server, { size });
      if ((await page.textContent("[data-next]")) === "Go live") await goLive(page);
      await expectNoScroll(page);
      await expectTargets(page);
      await expectFigureFits(page);
      expect(await page.textContent(".live-head h2")).toBe(`${name} 1\u202f%`);
      expect(await page.textContent(".live-name bdi")).toBe(name);
      expect(await page.$(".live b[onclick], .live script")).toBeNull();
      await shot(page, `controller-live-${label}-name-${_what.replaceAll(/\W/g, "-")}`);
      await page.tap("text=Unplanned pour");
      await expectTargets(page);
      await page.tap(".live-source >> nth=3");
      await expectTargets(page);
      await shot(page, `controller-live-${label}-unplanned-${_what.replaceAll(/\W/g, "-")}`);
      expect(troubles).toEqual([]);
      await page.context().close();
    }
  });

  test("a 0.05 mL drop and a 1,250 mL pour both fit, also with their doubt", async () => {
    const amounts = [{ mL: 0.05 }, { mL: 1250 }, { drops: 1, dropMl: 0.05 }];
    await openSheet(server, await server.pair(), sheet("Saltmarsh", amounts));
    for (const size of [landscape, portrait, small]) {
      const { page } = await openTablet(browser, server, { size });
      if ((await page.textContent("[data-next]")) === "Go live") await goLive(page);
      for (const figure of ["0.05", "1,250", "1"]) {
        await page.tap(`.live-sheet li >> nth=${["0.05", "1,250", "1"].indexOf(figure)}`);
        await expect.poll(() => page.textContent(".live-figure .figures-first")).toBe(figure);
        await expectFigureFits(page);
        await page.tap(".live-how");
        await expect.poll(() => page.textContent(".live-how")).toMatch(/^About/);
        await expectFigureFits(page);
        await expectNoScroll(page);
        await shot(page, `controller-live-${size.width}-amount-${figure}`);
        await page.tap(".live-how");
        await page.tap(".live-how");
        await expect.poll(() => page.textContent(".live-how")).toMatch(/^Measured/);
      }
      await page.context().close();
    }
  });
});

describe.skipIf(!packaged)("in Chromium 103", () => {
  test("a session goes live, is poured, undone and poured unplanned", async () => {
    const old = await launchBrowser("103");
    try {
      const { page, troubles } = await openTablet(old, server);
      await goLive(page);
      await go(page);
      await go(page);
      await expect.poll(pours).toEqual(["40 lantern A"]);
      await page.tap("text=/^Undo:/");
      await expect.poll(pours).toEqual([]);
      await page.tap("text=Unplanned pour");
      await page.tap(".live-source >> nth=0");
      await page.tap(".live-offer >> nth=0");
      await expect.poll(() => pours().length).toBe(1);
      await page.waitForTimeout(430);
      await expectNoScroll(page);
      await expectTargets(page);
      await shot(page, "controller-live-103");
      expect(troubles).toEqual([]);
    } finally {
      await old.close();
    }
  });
});
