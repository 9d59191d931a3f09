import type { Browser, Locator, Page } from "playwright-core";
import { launchBrowser } from "../browser/launch.ts";
import { chance } from "../record/chance.ts";
import type { BareLook, BareOpened } from "./bare.ts";
import { gone, heard, startChild } from "./child.ts";
import type { Appended, Opened } from "./house.ts";
import { lifted, painted, watchText, wind } from "./stopwatch.ts";

/** From the lift of the pointer to the change of the document, and on to the frame, ms. */
export type Tap = { changedMs: number; paintedMs: number };

export type Taps = {
  ours: readonly Tap[];
  bare: readonly Tap[];
  /** What the disk took of each of ours, ms. */
  appendMs: readonly number[];
  /** The most that a page's clock moved against the machine's, ms. */
  driftMs: number;
};

/** The text that changes with every tap, on our broadcast page and on the bare one. */
const ourText = ".panel";
const bareText = "div";
const tablet = { width: 1180, height: 820 };
const video = { width: 1920, height: 1080 };
const patienceMs = 5000;
/** Between any two taps. A tap on our own page is the second one on: a bounce is told by 400 ms. */
const restMs = 230;
/** So many taps are held against pictures of the page before and after. */
const looks = 4;

/**
 * Taps on our controller and on a bare page in turn, `count` times each, and times what becomes of
 * it on the broadcast page and on the other bare page.
 *
 * @param scripts where house.mjs and bare.mjs are
 * @param data an empty folder for the record
 * @param mostMs after so long no further tap is made
 */
export async function taps(
  scripts: { house: string; bare: string },
  data: string,
  count: number,
  mostMs: number,
): Promise<Taps> {
  const house = startChild(scripts.house, [data]);
  const bare = startChild(scripts.bare);
  let browser: Browser | undefined;
  try {
    const [opened, bareOpened] = await Promise.all([heard<Opened>(house), heard<BareOpened>(bare)]);
    browser = await launchBrowser("current");
    const open = openWith(browser);
    const overlay = await open(video, `${opened.address}/overlay`);
    const controller = await open(tablet, `${opened.address}/controller#pair=${opened.code}`);
    await goLive(controller);
    const look = await lookOf(controller, overlay);
    const query = `?look=${encodeURIComponent(JSON.stringify(look))}`;
    const box = await open(video, `${bareOpened.address}/box${query}`);
    const button = await open(tablet, `${bareOpened.address}/tap${query}`);
    const pages = [overlay, controller, box, button];
    for (const page of pages) await wind(page);
    const timed = await alternate({ overlay, controller, box, button }, count, mostMs);
    const drifts: number[] = [];
    for (const page of pages) drifts.push(await wind(page));
    house.send("end");
    const { appendMs } = await heard<Appended>(house);
    // The first appends opened the session and took it to where the taps began.
    const ours = appendMs.slice(appendMs.length - timed.ours.length);
    return { ...timed, appendMs: ours, driftMs: Math.max(...drifts) };
  } finally {
    await browser?.close();
    for (const child of [house, bare]) {
      if (child.connected) child.disconnect();
      await gone(child);
    }
  }
}

function openWith(browser: Browser) {
  return async (viewport: { width: number; height: number }, address: string): Promise<Page> => {
    const context = await browser.newContext({ viewport, hasTouch: viewport === tablet });
    const page = await context.newPage();
    await page.goto(address);
    return page;
  };
}

/** Takes the session to its second pour, where each tap and each undo changes the same panel. */
async function goLive(controller: Page): Promise<void> {
  for (const name of ["Go live", "Added", "Poured"]) {
    await controller.getByRole("button", { name, exact: true }).tap();
    await pause(2 * restMs);
  }
  await go(controller).waitFor();
}

function go(controller: Page) {
  return controller.getByRole("button", { name: "Poured", exact: true });
}

function undo(controller: Page) {
  return controller.getByRole("button", { name: /^Undo: / });
}

/** Where the button and the panel stand on our pages, and how large the largest text is. */
async function lookOf(controller: Page, overlay: Page): Promise<BareLook> {
  const button = await go(controller).boundingBox();
  const panel = overlay.locator(ourText);
  const box = await panel.boundingBox();
  if (!button || !box) throw new Error("there is nothing to tap or nothing to see");
  const textPx = await panel.evaluate((panel) =>
    Math.max(
      ...[...panel.querySelectorAll("*")].map((part) =>
        Number.parseFloat(getComputedStyle(part).fontSize),
      ),
    ),
  );
  return { button, box, textPx };
}

type Pages = Readonly<Record<"overlay" | "controller" | "box" | "button", Page>>;

async function alternate(pages: Pages, count: number, mostMs: number) {
  const { overlay, controller, box, button } = pages;
  const spots = {
    go: await middle(go(controller)),
    undo: await middle(undo(controller)),
    bare: await middle(button.getByRole("button")),
  };
  const random = chance(count);
  // No tap keeps step with the frames of the screen.
  const rest = () => pause(restMs + random() * 40);
  const ours: Tap[] = [];
  const bare: Tap[] = [];
  const end = performance.now() + mostMs;
  while (ours.length < count && performance.now() < end) {
    const spot = ours.length % 2 === 0 ? spots.go : spots.undo;
    const looking = ours.length < looks;
    await rest();
    ours.push(await timed(controller, spot, overlay, ourText, looking));
    await rest();
    bare.push(await timed(button, spots.bare, box, bareText, looking));
  }
  return { ours, bare };
}

type Spot = { x: number; y: number };

async function middle(locator: Locator): Promise<Spot> {
  const box = await locator.boundingBox();
  if (!box) throw new Error("there is nothing to tap");
  return { x: box.x + box.width / 2, y: box.y + box.height / 2 };
}

/** One tap on one page and the frame it leads to on another; `looking` holds pictures against it. */
async function timed(
  from: Page,
  spot: Spot,
  to: Page,
  selector: string,
  looking: boolean,
): Promise<Tap> {
  const seen = to.locator(selector);
  const before = looking ? await seen.screenshot() : null;
  await watchText(to, selector);
  await from.touchscreen.tap(spot.x, spot.y);
  const { changedAt, paintedAt } = await painted(to, patienceMs);
  if (before?.equals(await seen.screenshot())) {
    throw new Error(`${to.url()} looks as it did, though its text has changed`);
  }
  const liftedAt = await lifted(from);
  return { changedMs: changedAt - liftedAt, paintedMs: paintedAt - liftedAt };
}

function pause(ms: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, ms));
}
