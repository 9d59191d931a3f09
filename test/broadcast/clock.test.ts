import { afterEach, beforeEach, describe, expect, test } from "vitest";
import { momentsOf } from "../../shared/broadcast/moment.ts";
import { wordsOf } from "../../shared/broadcast/words.ts";
import { publicView } from "../../shared/session/views/publicView.ts";
import { Bench, password, pause, until } from "./bench.ts";
import { Peer } from "./peer.ts";

let bench: Bench;

beforeEach(async () => {
  bench = await Bench.open();
});
afterEach(async () => {
  await bench.end();
});

const bounce = () => pause(420);
const ask = async (method: string, path: string, body?: unknown) =>
  (await bench.ask(method, `/api/broadcast/${path}`, body)).text;
const starts = (vtt: string) =>
  [...vtt.matchAll(/^(\d+):(\d+):([\d.]+) -->/gm)].map(
    ([, h, m, s]) => (Number(h) * 60 + Number(m)) * 60_000 + Number(s) * 1000,
  );
const record = () =>
  bench.record.events(bench.state.session).map(({ seq, at, serverAt, body }) => ({
    seq,
    at,
    serverAt,
    event: body as never,
  }));

describe("a clock without a broadcaster", () => {
  test("begins by one tap, gives captions and chapters, is corrected and moved, and outlives a restart", async () => {
    expect(JSON.parse(await ask("GET", "captions.vtt"))).toMatchObject({ code: "noClock" });
    expect(JSON.parse(await ask("POST", "own-clock", { ms: 1000 }))).toMatchObject({
      code: "noClock",
    });
    await bench.goLive();
    await ask("POST", "live-now");
    await bench.advance();
    await bounce();
    await bench.advance();
    const timed = JSON.parse(await ask("GET", "events.json")) as {
      type: string;
      timecodesMs: { own?: number };
    }[];
    expect(timed.map(({ type }) => type)).toEqual(["opened", "wentLive", "acted", "acted"]);
    expect(timed.map(({ timecodesMs: { own } }) => own !== undefined)).toEqual([
      false,
      false,
      true,
      true,
    ]);
    const [first = 0, ...more] = starts(await ask("GET", "captions.vtt"));
    expect(more).toEqual([]);
    expect(first).toBeLessThan(400);
    await ask("POST", "own-clock", { ms: 90_000 });
    const [later = 0] = starts(await ask("GET", "captions.vtt"));
    expect(later - first).toBeCloseTo(90_000, 0);
    await ask("PUT", "offset", { ms: -30_000 });
    const [moved = 0] = starts(await ask("GET", "captions.vtt"));
    expect(moved - first).toBeCloseTo(60_000, 0);
    expect(starts(await ask("GET", "chapters.vtt"))[0]).toBe(0);
    await bench.restart();
    const [again = 0] = starts(await ask("GET", "captions.vtt"));
    expect(again).toBe(moved);
    expect((await bench.report()).offsetMs).toBe(-30_000);
  });

  test("gives a description with three chapters or more, and says when there are fewer", async () => {
    await bench.goLive();
    await ask("POST", "live-now");
    expect(JSON.parse(await ask("GET", "chapters.txt"))).toMatchObject({ code: "tooFew" });
  });
});

describe("the moments of a session", () => {
  test("begin when a pour came up, and leave out what was undone", async () => {
    await bench.goLive();
    await bench.advance();
    const cameUp = record().at(-1)?.at;
    await bounce();
    await bench.advance();
    await bounce();
    await bench.advance();
    const all = momentsOf(bench.state.session, record());
    expect(all.map(({ say }) => say)).toEqual([
      expect.stringMatching(/Lantern/),
      expect.stringMatching(/Slipway/),
    ]);
    expect(all[0]?.shownAt).toBe(cameUp);
    expect(all[1]?.shownAt).toBe(all[0]?.pouredAt);
    const last = bench.state.acts.at(-1)?.seq ?? 0;
    await bench.command({ type: "undo", expect: last });
    await until(() => bench.state.bench.poured.length === 1);
    expect(momentsOf(bench.state.session, record()).length).toBe(1);
  });
});

describe("a recording", () => {
  test("whose link is made late, lost and made again is one run, and a new one is another", async () => {
    const began = Date.now() - 60_000;
    let lengthOf = () => Date.now() - began;
    const answer = (peer: Peer) =>
      peer.answer("GetRecordStatus", () => ({
        outputActive: true,
        outputDuration: lengthOf(),
        outputPaused: false,
      }));
    const first = await Peer.open(password);
    const { port, address } = first;
    answer(first);
    await bench.link(address);
    const runs = async () => (await bench.report()).runs;
    await until(async () => (await runs()).length === 1);
    expect(Math.abs(((await runs())[0]?.startedAt ?? 0) - began)).toBeLessThan(1_000);
    await first.close();
    const second = await Peer.open(password, port);
    answer(second);
    await until(() => bench.word?.state === "on");
    await pause(300);
    expect((await runs()).length).toBe(1);
    const restarted = Date.now();
    lengthOf = () => Date.now() - restarted + 1;
    await until(async () => (await runs()).length === 2, 6_000);
    const [old, fresh] = await runs();
    expect(old?.lengthMs ?? 0).toBeGreaterThan(60_000);
    expect(fresh?.lengthMs).toBe(null);
    expect(Math.abs((fresh?.startedAt ?? 0) - restarted)).toBeLessThan(1_000);
    await second.close();
  });
});

describe("the four texts", () => {
  test("say what viewers see, and keep the caution when all else is hidden", async () => {
    await bench.goLive();
    const shown = wordsOf(publicView(bench.state));
    expect(shown).toMatchObject({ volume: "30\u202fmL", depth: "" });
    expect(shown.caution).toMatch(/Acid into water/);
    await bench.command({ type: "show", view: "hidden", parts: bench.state.overlay.parts });
    await until(() => bench.state.overlay.view === "hidden");
    const hidden = wordsOf(publicView(bench.state));
    expect(hidden).toEqual({ stock: "", volume: "", depth: "", caution: shown.caution });
  });
});
