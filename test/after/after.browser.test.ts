import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import type { PreparationWord } from "../../shared/prepare/word.ts";
import { launchBrowser, shot } from "../browser/launch.ts";
import { Tablet } from "../controller/benchTablet.ts";
import { pourOf } from "../scenario/desk.ts";
import { type BenchClient, House, until } from "../server/house.ts";

let browser: Browser;
let house: House;
let token: string;
let bench: BenchClient;
let tablet: Tablet;
let page: Page;

beforeAll(async () => {
  browser = await launchBrowser("current");
  house = await House.start();
  token = await house.pair();
  bench = await house.benchClient(token);
  await bench.must({ type: "goLive" });
  await bench.must({ type: "skeinMove", skein: "2", to: null });
  await bench.must({ type: "pour", pour: pourOf("saltmarsh", 20_000) });
  await bench.must({ type: "pour", pour: pourOf("lantern", 20_000, { pan: "B" }) });
  await bench.must({ type: "pour", pour: pourOf("slipway", 10_000, { pan: "B" }) });
  await bench.must({ type: "close" });
  tablet = await Tablet.open(browser, house.address, { token, axe: true });
  page = tablet.page;
  page.setDefaultTimeout(20_000);
});
afterAll(async () => {
  await tablet.close();
  await house.close();
});

/** Pictures on a tablet either way up; what is cut off at the side, what is small, and what axe finds. */
async function look(name: string): Promise<string[]> {
  const faults: string[] = [];
  for (const [way, size] of Object.entries({
    wide: { width: 1180, height: 820 },
    tall: { width: 820, height: 1180 },
  })) {
    await page.setViewportSize(size);
    await shot(page, `after-${name}-${way}`);
    const { wide, small } = await page.evaluate(() => ({
      wide: Math.max(
        document.documentElement.scrollWidth,
        ...[...document.querySelectorAll(".bench-work")].map(
          (work) => work.scrollWidth - work.clientWidth + innerWidth,
        ),
      ),
      small: [...document.querySelectorAll("button, input:not(.unseen), select")].flatMap((one) => {
        const target = one.closest(".blank-tick") ?? one;
        const box = target.getBoundingClientRect();
        const isSmall = box.width > 0 && (box.width < 48 || box.height < 48);
        // What is marked on a photograph is as large as what is marked.
        return isSmall && !one.matches(".swatch-frame") ? [one.outerHTML.slice(0, 120)] : [];
      }),
    }));
    if (wide > size.width) faults.push(`${way}: ${wide}\u202fpx wide`);
    faults.push(...small.map((one) => `${way}: small ${one}`));
    for (const found of await tablet.violations()) faults.push(`${way}: ${found}`);
  }
  await page.setViewportSize({ width: 1180, height: 820 });
  return faults;
}

/** A photograph of a yarn and a white card, px of one colour each, made where there is a canvas. */
async function photograph(): Promise<Buffer> {
  const bytes = await page.evaluate(async () => {
    const canvas = document.createElement("canvas");
    canvas.width = 800;
    canvas.height = 600;
    const context = canvas.getContext("2d");
    if (!context) throw new Error("no canvas");
    context.fillStyle = "#6d6a62";
    context.fillRect(0, 0, 800, 600);
    context.fillStyle = "#e8e4da";
    context.fillRect(20, 20, 200, 150);
    context.fillStyle = "#4d7d92";
    context.fillRect(300, 220, 220, 180);
    const blob = await new Promise<Blob | null>((resolve) =>
      canvas.toBlob(resolve, "image/jpeg", 0.95),
    );
    return [...new Uint8Array((await blob?.arrayBuffer()) ?? new ArrayBuffer(0))];
  });
  // An Exif segment behind the beginning, with a place in it.
  const exif = Buffer.from("Exif\0\0 49.5811N 2.3412W", "latin1");
  const length = exif.length + 2;
  return Buffer.concat([
    Buffer.from(bytes.slice(0, 2)),
    Buffer.from([0xff, 0xe1, length >> 8, length & 0xff]),
    exif,
    Buffer.from(bytes.slice(2)),
  ]);
}

const section = (name: string) =>
  page.locator(".bench-tabs").getByRole("button", { name, exact: true }).click();
const press = (name: string | RegExp) => page.getByRole("button", { name, exact: true }).click();
const type = async (keys: string) => {
  for (const key of keys) await press(key === "." ? "decimal point" : key);
};
const shelf = async () =>
  ((await house.ask("GET", "/api/preparation", { token })).body as PreparationWord).shelf;

describe("after the stream, on a tablet", () => {
  test("the way leads there from the session that was closed", async () => {
    await page.getByRole("button", { name: "After the stream", exact: true }).waitFor();
    expect(await look("sessions")).toEqual([]);
    await press("After the stream");
    await page.getByRole("heading", { name: "After Harbour at dusk" }).waitFor();
    expect(await look("corrections")).toEqual([]);
  });

  test("a pour is corrected with a reason, and viewers are told", async () => {
    const viewer = await house.watchClient();
    await press(/^Correct: 20.mL Saltmarsh/);
    await type("18");
    await page.getByText("Say why it is corrected: viewers may have copied it already.").waitFor();
    await press("misread the measure");
    expect(await look("correct")).toEqual([]);
    await press("Write the correction");
    await page.getByText(/corrected, was 20\u202fmL Saltmarsh.*: misread the measure/).waitFor();
    await until(
      () => Object.keys(viewer.known().view.corrections ?? {}).length === 1,
      "the viewers to be told",
    );
    const [told] = Object.values(viewer.known().view.corrections ?? {});
    expect(told).toMatchObject({ reason: "misread the measure" });
    expect(await look("corrected")).toEqual([]);
  });

  test("a skein is dyed the next day, off air", async () => {
    await section("Next day");
    expect(await look("next-day-empty")).toEqual([]);
    await press("Skeins, pans");
    await press("New skein");
    await type("50");
    const work = page.locator(".bench-work");
    await work.getByRole("button", { name: "Pan C", exact: true }).click();
    await press(/^Put skein .* on the bench$/);
    await page.getByText(/50\u202fg, is in pan C/).waitFor();
    await press("Pour");
    await work
      .getByRole("button", { name: /^Gullwing/ })
      .first()
      .click();
    await work.getByRole("button", { name: "Pan C", exact: true }).click();
    const late = Object.values(bench.known().bench.skeins).find(({ offAir }) => offAir);
    if (!late) throw new Error("no skein off air");
    for (const { skein, pan } of Object.values(bench.known().bench.skeins)) {
      if (pan !== "C" || skein.id === late.skein.id) continue;
      await work.getByRole("button", { name: `Skein ${skein.name}`, exact: true }).click();
    }
    await type("12.5");
    expect(await look("pour")).toEqual([]);
    await press("Pour it");
    await page.getByText(/12.5\u202fmL is in pan C, off air/).waitFor();
    await until(
      () => bench.known().bench.poured.at(-1)?.offAir === true,
      "the pour to be in the record",
    );
    expect(
      bench
        .known()
        .bench.poured.at(-1)
        ?.doses.map(({ skein }) => skein),
    ).toEqual([late.skein.id]);
    await press("So far");
    await page.getByText("12.5\u202fmL Gullwing").last().waitFor();
    expect(await look("next-day")).toEqual([]);
  });

  test("rinse and bleed are noted, with the caution of waste water", async () => {
    await section("Rinse and bleed");
    await page.getByText("Used bath: check local rules before tipping").waitFor();
    await press("All of them");
    await press("Clear");
    await press("Tinted");
    expect(await look("rinse")).toEqual([]);
    await press("Note it");
    await page.getByText("Water clear, cloth tinted").first().waitFor();
    expect(bench.known().bench.skeins["1"]?.rinse).toMatchObject({ water: "clear", cloth: "some" });
    // One tap takes it back, another writes it again.
    await press(/^Undo: rinse of/);
    await page.getByText("not rinsed yet").first().waitFor();
    expect(bench.known().bench.skeins["1"]?.rinse).toBeUndefined();
    await press("All of them");
    await press("Clear");
    await press("Note it");
    await page.getByText("Water clear").first().waitFor();
  });

  test("a measured result is compared, and becomes a swatch with one tap", async () => {
    await section("Results");
    expect(await look("results-empty")).toEqual([]);
    await press("Write it down: result of skein 1");
    await page.getByLabel("L*").fill("58");
    await page.getByLabel("a*").fill("\u22129.5");
    await page.getByLabel("b*").fill("-14");
    await page.getByText(/CIEDE2000 from the prediction/).waitFor();
    expect(await look("result-measured")).toEqual([]);
    await press("Keep the result");
    const before = (await shelf()).swatches.length;
    await press(/^Add as a swatch of Saltmarsh at/);
    await page.getByText(/On the shelf as a swatch of Saltmarsh/).waitFor();
    // What is shown at once is written down a moment later.
    await expect.poll(async () => (await shelf()).swatches.length).toBe(before + 1);
    expect((await shelf()).swatches.at(-1)).toMatchObject({
      dye: "saltmarsh",
      seen: { how: "measured", lab: { l: 58, a: -9.5, b: -14 } },
    });
  });

  test("a photographed result keeps the picture without its place, and says why a mix is no swatch", async () => {
    const mixed = Object.values(bench.known().bench.skeins).find(({ pan }) => pan === "B");
    if (!mixed) throw new Error("no skein in pan B");
    await press(`Write it down: result of skein ${mixed.skein.name}`);
    await press("From a photograph");
    const chooser = page.locator(".swatch-photo input[type=file]");
    await chooser.setInputFiles({
      name: "holiday.jpg",
      mimeType: "image/jpeg",
      buffer: Buffer.from("MZ\u0090 This program cannot be run in DOS mode.", "latin1"),
    });
    await page
      .getByText(/This is not a picture that can be read, whatever its name says/)
      .waitFor();
    await chooser.setInputFiles({
      name: "skein.jpg",
      mimeType: "image/jpeg",
      buffer: await photograph(),
    });
    // A key on either frame has it sampled where it lies.
    await page.locator(".swatch-frame").last().press("ArrowLeft");
    await page.getByText(/The marked yarn is even to/).waitFor();
    expect(await look("result-photograph")).toEqual([]);
    await press("Keep the result");
    await page.getByText(/lie on it together: one colour does not tell/).waitFor();
    await page.locator("img.after-photograph").waitFor();
    const { outcome } = bench.known().bench.skeins[mixed.skein.id] ?? {};
    expect(outcome?.seen?.how).toBe("photographed");
    const kept = await fetch(`${house.address}/api/photographs/${outcome?.photograph}`, {
      headers: { Authorization: `Bearer ${token}` },
    });
    const bytes = Buffer.from(await kept.arrayBuffer());
    expect(bytes.length).toBeGreaterThan(1_000);
    expect(bytes.includes("Exif")).toBe(false);
    expect(await look("results")).toEqual([]);
  });

  test("what is left is emptied on one last skein, and the next session starts from the levels", async () => {
    await section("Leftovers");
    await page
      .locator(".bench-work")
      .getByRole("button", { name: /^Deepwater/ })
      .click();
    await type("100");
    await page.getByText("The last skein, predicted").waitFor();
    expect(await look("leftovers")).toEqual([]);
    await press("Empty them on one skein");
    await page.getByText("All of it is on skein Leftover 1.").waitFor();
    const { vessels } = bench.known().bench;
    expect(vessels.saltmarsh?.vessel.drawnUl).toBe(vessels.saltmarsh?.vessel.madeUl);
    expect(vessels.deepwater?.vessel.drawnUl).toBe(0);
    await section("Next session");
    expect(await look("next-session")).toEqual([]);
    await press("Start the next one from this");
    await page.getByText("Harbour at dusk 2 is begun, with 6 bottles on the shelf.").waitFor();
    const stocks = new Map((await shelf()).stocks.map(({ id, volumeUl }) => [id, volumeUl]));
    expect(stocks.get("saltmarsh")).toBe(0);
    expect(stocks.get("deepwater")).toBe(vessels.deepwater?.vessel.madeUl);
    await press("Go to the plans");
    await page.locator(".prepare-plans", { hasText: "Harbour at dusk 2" }).waitFor();
  });

  test("nothing went wrong unseen", () => {
    expect(tablet.errors).toEqual([]);
  });
});
