import { afterAll, beforeAll, expect, test } from "vitest";
import { WebSocket } from "ws";
import { followLine } from "../../server/live/followLine.ts";
import { Publisher } from "../../server/live/publisher.ts";
import { publicView } from "../../shared/session/views/publicView.ts";
import { relayClockHeader, relayLivePath, relayViewPath } from "../../shared/session/wire.ts";
import { Follower } from "../relay/follower.ts";
import { Desk } from "../scenario/desk.ts";
import { type BenchClient, type House, liveHouse, until } from "../server/house.ts";

let house: House;
let bench: BenchClient;
const open: Follower[] = [];

beforeAll(async () => {
  ({ house, bench } = await liveHouse());
});
afterAll(async () => {
  for (const one of open) one.close();
  await house.close();
});

function follow(has?: ConstructorParameters<typeof Follower>[1]): Follower {
  const one = new Follower(house.address, has);
  open.push(one);
  return one;
}

/** A change that viewers see. */
const change = () => bench.must({ type: "note", text: "Stir slowly.", seen: "public" });

test("a follow page hears the clock, the whole view, and then each change", async () => {
  const one = follow();
  const before = await house.place();
  await one.sees(before.seq);
  expect(one.told.map(({ kind }) => kind)).toEqual(["snapshot"]);
  expect(Math.abs((one.clocks[0]?.now ?? 0) - Date.now())).toBeLessThan(5_000);
  expect(one.clocks[0]?.bench).toBe(true);
  const seq = await change();
  expect(await one.sees(seq)).toEqual(publicView(bench.known()));
  expect(one.told.at(-1)?.kind).toBe("patch");
});

test("one that was served a view hears only what came after it", async () => {
  const served = follow();
  const { seq, session } = await house.place();
  const view = await served.sees(seq);
  const one = follow({ session, seq, view });
  await until(() => one.clocks.length > 0, "the first word");
  const next = await change();
  expect(await one.sees(next)).toEqual(publicView(bench.known()));
  expect(one.told.map(({ kind }) => kind)).toEqual(["patch"]);
});

test("whoever cannot listen may ask, and another page may not listen at all", async () => {
  const heard = follow();
  await heard.sees((await house.place()).seq);
  const { line, turn } = heard.told.at(-1) ?? {};
  const asked = await house.ask("GET", relayViewPath);
  expect(asked.body).toMatchObject({ ...(await house.place()), kind: "snapshot", line, turn });
  expect(line).toBeGreaterThan(0);
  expect(Math.abs(Number(asked.headers.get(relayClockHeader)) - Date.now())).toBeLessThan(5_000);
  expect(asked.body.view).toEqual(publicView(bench.known()));
  const foreign = new WebSocket(house.address.replace("http", "ws") + relayLivePath, {
    origin: "http://elsewhere.example",
  });
  const status = await new Promise((resolve) => {
    foreign.on("unexpected-response", (_request, response) => resolve(response.statusCode));
    foreign.on("open", () => resolve("open"));
    foreign.on("error", () => {});
  });
  expect(status).toBe(403);
  foreign.terminate();
});

test("a bench that starts again with its clock set back still comes after the one that it was", () => {
  const kept = new Map<string, string>();
  const record = {
    setting: (key: string) => kept.get(key),
    setSetting: (key: string, value: string) => void kept.set(key, value),
  };
  const lineAt = (now: number) => {
    const publisher = new Publisher(() => now);
    publisher.begin(new Desk().state);
    const line = followLine(publisher, record, () => now);
    line.close();
    return line.stage.place().line;
  };
  expect([lineAt(9_000), lineAt(1_000), lineAt(1_000), lineAt(20_000)]).toEqual([
    9_000, 9_001, 9_002, 20_000,
  ]);
});

test("a change says when it came about, however late it is told", () => {
  let now = 1_000;
  const publisher = new Publisher(() => now);
  const desk = Desk.live();
  publisher.begin(desk.state);
  const { session, seq } = desk.state;
  now = 2_000;
  desk.must({ type: "note", text: "Stir slowly.", seen: "public" });
  publisher.follow(desk.state);
  now = 9_000;
  for (const has of [null, { session, seq }]) {
    expect(publisher.wordsAfter(has).map(({ at }) => at)).toEqual([2_000]);
  }
});

test("those who follow are counted for the dyer", async () => {
  for (const one of open.splice(0)) one.close();
  await until(() => bench.presence?.followers === 0, "all to be gone");
  follow();
  follow();
  await until(() => bench.presence?.followers === 2, "both to be counted");
});
