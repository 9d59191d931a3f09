import { spawn } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { OBSWebSocket } from "obs-websocket-js/json";
import { type BrowserContext, chromium, type Page } from "playwright-core";
import { afterAll, afterEach, beforeAll, describe, expect, test } from "vitest";
import type { Run } from "../../shared/broadcast/anchor.ts";
import { textParts, wordsOf } from "../../shared/broadcast/words.ts";
import { publicView } from "../../shared/session/views/publicView.ts";
import { slowness } from "../scenario/slowness.ts";
import { Bench, pause, until } from "./bench.ts";
import { difference, frames, freePort, lacking, lengthMs, Studio, screen } from "./studio.ts";

const wish = process.env.POURSIDE_BROADCASTER;
const required = wish === "required";
// A run that goes on to `npm run test:obs` need not try it twice.
const later = wish === "later";
if (lacking.length > 0) {
  const say = `The link is NOT tried on real broadcasting software here: not installed: ${lacking.join(", ")}.`;
  if (required) throw new Error(say);
  console.warn(say);
}
if (later) console.warn("The link is tried on real broadcasting software in a run of its own.");

const isStream = ({ output }: Run) => output === "stream";
const tell = (line: string) => process.stdout.write(`    ${line}\n`);
const listed = /^(\d+):(\d+):(\d+)\.(\d+) --> .*\n(.*)$/gm;
const cues = (vtt: string) =>
  [...vtt.matchAll(listed)].map(([, h, m, s, ms, text]) => ({
    atMs: ((Number(h) * 60 + Number(m)) * 60 + Number(s)) * 1000 + Number(ms),
    text,
  }));

describe.skipIf(lacking.length > 0 || later)("on the real broadcaster", () => {
  let studio: Studio;
  let bench: Bench;
  let hand: OBSWebSocket;

  beforeAll(async () => {
    studio = await Studio.prepare();
    bench = await Bench.open();
  });

  afterAll(async () => {
    await hand?.disconnect().catch(() => {});
    await bench?.end();
    await studio?.end();
  });

  // What a test that failed left running would fail the next.
  afterEach(async () => {
    if (!hand?.identified) return;
    if ((await hand.call("GetRecordStatus")).outputActive) await stopRecording();
    if ((await hand.call("GetStreamStatus")).outputActive) await hand.call("StopStream");
  });

  const answered = async (method: string, path: string, body?: unknown) => {
    const { text } = await bench.ask(method, path, body);
    return JSON.parse(text) as { ok?: boolean; code?: string; say?: string };
  };
  const textOf = async (inputName: string) =>
    String((await hand.call("GetInputSettings", { inputName })).inputSettings.text);
  const stopRecording = async () => {
    const written = new Promise<void>((done) => {
      hand.on("RecordStateChanged", ({ outputState }) => {
        if (outputState === "OBS_WEBSOCKET_OUTPUT_STOPPED") done();
      });
    });
    const { outputPath } = await hand.call("StopRecord");
    await written;
    await pause(300);
    return outputPath;
  };
  const sceneNow = async () => (await hand.call("GetCurrentProgramScene")).currentProgramSceneName;

  test("the link is made when it starts late, within 5 s of its port opening", async () => {
    await bench.link(studio.address);
    await until(() => bench.word?.state === "away");
    const opened = await studio.start();
    await until(() => bench.word?.state === "on");
    const tookMs = performance.now() - opened;
    tell(`link ${Math.round(tookMs)} ms after the port opened`);
    expect(tookMs).toBeLessThan(5_000 * slowness());
    hand = await studio.hand();
  });

  test("a wrong password is said, and the right one taken", async () => {
    await bench.link(studio.address, "not this one");
    await until(() => bench.word?.state === "wrongPassword");
    await bench.link(studio.address);
    await until(() => bench.word?.state === "on");
  });

  test("a build without browser sources is said", async () => {
    expect(await answered("POST", "/api/broadcast/overlay")).toMatchObject({
      ok: false,
      code: "noBrowserSource",
    });
    const { browserSources, chapterMarks } = await bench.report();
    tell(
      `browser sources: ${browserSources}, chapter marks: ${chapterMarks}; neither is shown on this build`,
    );
    expect({ browserSources, chapterMarks }).toEqual({
      browserSources: false,
      chapterMarks: false,
    });
  });

  test("a source of our name but another kind is said, and nothing is laid over it", async () => {
    const sceneName = await sceneNow();
    const inputName = "Pourside volume";
    await hand.call("CreateInput", { sceneName, inputName, inputKind: "color_source_v3" });
    expect(await answered("POST", "/api/broadcast/texts")).toMatchObject({ code: "otherKind" });
    await hand.call("RemoveInput", { inputName });
    await until(async () => (await bench.report()).sources.every((name) => name !== inputName));
  });

  test("four texts stand in for the overlay and are kept in step", async () => {
    expect(await answered("POST", "/api/broadcast/texts")).toMatchObject({ ok: true });
    expect(await textOf("Pourside stock")).toBe("Harbour at dusk");
    await bench.goLive();
    const inStep = async () => {
      const words = wordsOf(publicView(bench.state));
      for (const part of textParts) {
        if ((await textOf(`Pourside ${part}`)) !== words[part]) return false;
      }
      return true;
    };
    await until(inStep);
    await bench.advance();
    await until(inStep);
    expect(await textOf("Pourside stock")).toMatch(/ into pan A$/);
    expect(await textOf("Pourside volume")).toMatch(/^\d+(\.\d+)?\u202fmL$/);
    expect(await textOf("Pourside depth")).toMatch(/^Depth of shade .*→/);
    // Placing them again brings them up to date and makes no second ones.
    expect(await answered("POST", "/api/broadcast/texts")).toMatchObject({ ok: true });
    const { inputs } = await hand.call("GetInputList");
    expect(inputs.filter(({ inputName }) => String(inputName).startsWith("Pourside")).length).toBe(
      4,
    );
  });

  test("the caution is a text too, for as long as its hazard lasts", async () => {
    await until(async () => (await textOf("Pourside caution")).length > 0);
    for (const inputName of ["stock", "volume", "depth", "caution"]) {
      await hand.call("RemoveInput", { inputName: `Pourside ${inputName}` });
    }
    await pause(450);
    await bench.advance();
  });

  test("scenes with quotes and emoji among 300 follow the session, and one that was chosen there holds it", async () => {
    const pour = `Close "up" on 'pan' 🧶`;
    const heat = "Steam <b>&amp; wait</b>";
    for (const sceneName of [pour, heat]) await hand.call("CreateScene", { sceneName });
    for (let i = 0; i < 300; i++) await hand.call("CreateScene", { sceneName: `Spare ${i}` });
    await until(async () => (await bench.report()).scenes.length >= 303);
    const began = await sceneNow();
    await answered("PUT", "/api/broadcast/scenes", { pour, heat });
    await until(async () => (await sceneNow()) === pour);
    await answered("POST", "/api/broadcast/scene", { kind: "heat" });
    await until(async () => (await sceneNow()) === heat);
    await hand.call("SetCurrentProgramScene", { sceneName: began });
    await until(() => bench.word?.heldBy === began);
    await pause(450);
    await bench.advance();
    await pause(300);
    expect(await sceneNow()).toBe(began);
    await answered("POST", "/api/broadcast/follow");
    await until(async () => [pour, heat].includes(await sceneNow()));
    await until(() => bench.word?.heldBy === null);
    await hand.call("SetSceneName", { sceneName: pour, newSceneName: "Pan 🫖" });
    await until(async () => (await bench.report()).bindings.pour === "Pan 🫖");
    await hand.call("RemoveScene", { sceneName: heat });
    await until(() => /is gone/.test(bench.word?.did?.say ?? ""));
    for (let i = 0; i < 300; i++) await hand.call("RemoveScene", { sceneName: `Spare ${i}` });
    await answered("PUT", "/api/broadcast/scenes", {});
    await hand.call("SetCurrentProgramScene", { sceneName: began });
  });

  test("a still of a chosen source comes back as a picture, and a source that is gone is said", async () => {
    const source = encodeURIComponent(await sceneNow());
    const response = await fetch(`${bench.address}/api/broadcast/still?source=${source}`, {
      headers: { Authorization: `Bearer ${bench.token}` },
    });
    expect(response.headers.get("content-type")).toBe("image/png");
    const picture = Buffer.from(await response.arrayBuffer());
    expect(picture.subarray(1, 4).toString()).toBe("PNG");
    expect([picture.readUInt32BE(16), picture.readUInt32BE(20)]).toEqual([
      screen.width,
      screen.height,
    ]);
    expect(await answered("GET", "/api/broadcast/still?source=gone")).toMatchObject({
      code: "noPicture",
    });
  });

  test("a recording's clock is right over a pause, also for a link made late", async () => {
    await hand.call("StartRecord");
    await pause(5_000);
    await hand.call("PauseRecord");
    await pause(1_500);
    await hand.call("ResumeRecord");
    await pause(1_500);
    // One link goes and comes back in the middle; another is made only now, and has seen no pause.
    const late = await Bench.open();
    await Promise.all([bench.link(studio.address), late.link(studio.address)]);
    await until(() => bench.word?.state === "on" && late.word?.state === "on");
    await pause(2_500);
    const [one] = (await bench.report()).runs;
    const [lateOne] = (await late.report()).runs;
    await late.end();
    // All that a late link can know is the output's own timecode, so it is off by what that lags.
    const { outputDuration } = await hand.call("GetRecordStatus");
    const lagMs = Date.now() - ((one?.startedAt ?? 0) + 1_500) - outputDuration;
    const behindMs = 1_500 - ((lateOne?.startedAt ?? 0) - (one?.startedAt ?? 0));
    tell(
      `a link made late reckons the clock ${Math.round(Math.abs(behindMs))} ms off, the output's timecode lags ${Math.round(lagMs)} ms`,
    );
    expect(Math.abs(behindMs)).toBeLessThan(Math.max(500, lagMs + 250));
    const outputPath = await stopRecording();
    const { runs } = await bench.report();
    const reckoned = runs.at(-1)?.lengthMs ?? 0;
    tell(
      `recording of ${Math.round(lengthMs(outputPath))} ms, by the clock ${Math.round(reckoned)} ms, in ${runs.length} run`,
    );
    expect(runs.length).toBe(1);
    expect(Math.abs(reckoned - lengthMs(outputPath))).toBeLessThan(500 * slowness());
  });

  test("a stream's clock is right, and its run ends with it", async () => {
    // A listener on this machine takes the stream, as the far side of a broadcast would.
    const server = `rtmp://127.0.0.1:${await freePort()}/live`;
    const key = "bench";
    const listener = spawn(
      "ffmpeg",
      ["-v", "error", "-listen", "1", "-i", `${server}/${key}`, "-c", "copy", "-f", "null", "-"],
      { stdio: "ignore" },
    );
    try {
      await pause(1_000);
      await hand.call("SetStreamServiceSettings", {
        streamServiceType: "rtmp_custom",
        streamServiceSettings: { server, key },
      });
      await hand.call("StartStream");
      await until(async () => (await hand.call("GetStreamStatus")).outputDuration > 3_000, 20_000);
      const streaming = async () => (await bench.report()).runs.find(isStream);
      await until(async () => (await streaming())?.lengthMs === null);
      const { outputDuration } = await hand.call("GetStreamStatus");
      const offMs = Date.now() - ((await streaming())?.startedAt ?? 0) - outputDuration;
      tell(`the clock of a stream is ${Math.round(offMs)} ms from the output's own timecode`);
      // The stated timecode itself runs behind the picture by what the encoder holds, up to a second.
      expect(Math.abs(offMs)).toBeLessThan(1_500 * slowness());
      await hand.call("StopStream");
      await until(async () => ((await streaming())?.lengthMs ?? 0) > 3_000, 10_000);
    } finally {
      listener.kill("SIGKILL");
    }
  });

  test("what is recorded shows each pour when the chapters say", async () => {
    const show = await Bench.open();
    const profile = mkdtempSync(join(tmpdir(), "pourside-window-"));
    let context: BrowserContext | null = null;
    try {
      await bench.ask("DELETE", "/api/broadcast/access");
      await show.link(studio.address);
      await until(() => show.word?.state === "on");
      const page = await openWindow(studio, profile, `${show.address}/overlay`, (opened) => {
        context = opened;
      });
      const sceneName = "The window";
      await hand.call("CreateScene", { sceneName });
      await hand.call("CreateInput", {
        sceneName,
        inputName: "Display",
        inputKind: "xshm_input",
        inputSettings: { show_cursor: false },
      });
      await hand.call("SetCurrentProgramScene", { sceneName });
      await pause(1_500);

      await show.goLive();
      await hand.call("StartRecord");
      const recordedAt = performance.now();
      await pause(2_500);
      const taps: number[] = [];
      const shots: string[] = [];
      const step = async (work: () => Promise<void>) => {
        taps.push(Date.now());
        await work();
        await pause(2_000);
        const file = join(profile, `shot-${shots.length}.png`);
        await page.screenshot({ path: file });
        shots.push(file);
        await pause(2_300);
      };
      // The first brings the first pour up, each of the others makes one.
      for (let tap = 0; tap < 4; tap++) await step(() => show.advance());
      await pause(Math.max(0, 23_000 - (performance.now() - recordedAt)));
      const outputPath = await stopRecording();

      expect(show.state.bench.poured.length).toBe(3);
      const run = (await show.report()).runs.at(-1);
      const pictures = shots.map((file) => frames(file)[0] ?? Buffer.alloc(0));
      const recorded = frames(outputPath);
      const nearest = recorded.map((frame) => nearestOf(frame, pictures));
      expect(recorded.length / screen.fps).toBeGreaterThan(19);
      const firstMs = pictures.map(
        (_, i) =>
          (nearest.findIndex((one) => one.picture === i && one.away < 3) / screen.fps) * 1000,
      );
      expect(Math.min(...firstMs)).toBeGreaterThanOrEqual(0);
      const captions = cues((await show.ask("GET", "/api/broadcast/captions.vtt")).text);
      expect(captions.length).toBe(3);
      captions.forEach(({ atMs, text }, i) => {
        const frameMs = firstMs[i] ?? 0;
        const tapMs = (taps[i] ?? 0) - (run?.startedAt ?? 0);
        tell(
          `${text}: by the record ${seconds(atMs)}, first frame ${seconds(frameMs)}, tap to recorded frame ${Math.round(frameMs - tapMs)} ms (the first frame's own moment is known to about 0.1 s)`,
        );
        expect(Math.abs(frameMs - atMs)).toBeLessThan(500 * slowness());
        const middle = nearest[Math.round(((frameMs + 2_500) / 1000) * screen.fps)];
        expect(middle?.picture).toBe(i);
        expect(middle?.away).toBeLessThan(3);
      });
      const chapters = cues((await show.ask("GET", "/api/broadcast/chapters.vtt")).text);
      for (const { atMs } of chapters.slice(1)) {
        const off = Math.min(...firstMs.map((frameMs) => Math.abs(frameMs - atMs)));
        expect(off).toBeLessThan(500 * slowness());
      }
      expect(chapters.length).toBeGreaterThan(1);
    } finally {
      await (context as BrowserContext | null)?.close();
      await show.end();
      rmSync(profile, { recursive: true, force: true, maxRetries: 3 });
      await bench.link(studio.address);
    }
  });

  test("no pour is lost and clocks are right when it is killed in mid-session and started again", async () => {
    await until(() => bench.word?.state === "on");
    const before = bench.state.bench.poured.length;
    const ran = (await bench.report()).runs.length;
    await hand.call("StartRecord");
    await pause(2_500);
    await bench.advance();
    const gone = studio.stop("SIGKILL");
    await pause(450);
    await bench.advance();
    await gone;
    await until(() => bench.word?.state === "away");
    await pause(450);
    const seq = bench.state.seq;
    const opened = await studio.start();
    await until(() => bench.word?.state === "on");
    const tookMs = performance.now() - opened;
    tell(`killed and started again: link ${Math.round(tookMs)} ms after the port opened`);
    expect(tookMs).toBeLessThan(5_000 * slowness());
    hand = await studio.hand();
    await hand.call("StartRecord");
    const startedAt = Date.now();
    await pause(2_500);
    await bench.advance();
    const outputPath = await stopRecording();
    const { runs } = await bench.report();
    expect(runs.length).toBe(ran + 2);
    expect(runs.at(-2)?.lengthMs ?? 0).toBeGreaterThan(1_500);
    expect(Math.abs((runs.at(-1)?.startedAt ?? 0) - startedAt)).toBeLessThan(500 * slowness());
    expect(Math.abs((runs.at(-1)?.lengthMs ?? 0) - lengthMs(outputPath))).toBeLessThan(
      500 * slowness(),
    );
    expect(bench.state.seq).toBe(seq + 1);
    expect(bench.record.events(bench.state.session).length).toBe(bench.state.seq);
    expect(bench.state.bench.poured.length).toBeGreaterThanOrEqual(before);
  });
});

const seconds = (ms: number) => `${(ms / 1000).toFixed(2)} s`;

function nearestOf(frame: Buffer, pictures: readonly Buffer[]): { picture: number; away: number } {
  const aways = pictures.map((picture) => difference(frame, picture));
  const away = Math.min(...aways);
  return { picture: aways.indexOf(away), away };
}

/** A real browser window over the whole of the studio's display. */
async function openWindow(
  studio: Studio,
  profile: string,
  address: string,
  onOpen: (context: BrowserContext) => void,
): Promise<Page> {
  const context = await chromium.launchPersistentContext(join(profile, "browser"), {
    executablePath: "/usr/bin/chromium",
    headless: false,
    viewport: null,
    env: { ...process.env, DISPLAY: studio.display, HOME: profile },
    args: [
      "--no-sandbox",
      "--disable-gpu",
      "--kiosk",
      "--window-position=0,0",
      `--window-size=${screen.width},${screen.height}`,
      `--app=${address}`,
    ],
    ignoreDefaultArgs: ["--enable-automation"],
  });
  onOpen(context);
  const page = context.pages()[0] ?? (await context.waitForEvent("page"));
  await page.waitForLoadState();
  return page;
}
