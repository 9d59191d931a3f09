import { afterAll, beforeAll, expect, test } from "vitest";
import { WebSocket } from "ws";
import { publicView } from "../../shared/session/views/publicView.ts";
import { relayLivePath, relayViewPath } from "../../shared/session/wire.ts";
import { Follower } from "../relay/follower.ts";
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
  const asked = await house.ask("GET", relayViewPath);
  expect(asked.body).toMatchObject(await house.place());
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

test("those who follow are counted for the dyer", async () => {
  for (const one of open.splice(0)) one.close();
  await until(() => bench.presence?.followers === 0, "all to be gone");
  follow();
  follow();
  await until(() => bench.presence?.followers === 2, "both to be counted");
});
