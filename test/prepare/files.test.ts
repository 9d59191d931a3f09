import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { left } from "../../shared/dye/vessel.ts";
import { openFile, writeFile } from "../../shared/plan/file.ts";
import type { RecordedEvent } from "../../shared/session/event.ts";
import { fold } from "../../shared/session/state.ts";
import { TestServer } from "../controller/server.ts";
import { Desk, pourOf } from "../scenario/desk.ts";
import { shelf } from "../scenario/prepare.ts";

let server: TestServer;
let token: string;
let bench: string;

beforeAll(async () => {
  server = await TestServer.begin();
  token = await server.pair();
  [{ id: bench }] = await ask("/api/sessions").then(({ json }) => json);
});
afterAll(() => server.end());

const ask = async (path: string, body?: string, bearer = token) => {
  const response = await fetch(`${server.address}${path}`, {
    method: body === undefined ? "GET" : "POST",
    headers: { Authorization: `Bearer ${bearer}`, Connection: "close" },
    ...(body === undefined ? {} : { body }),
  });
  const text = await response.text();
  return { status: response.status, text, json: JSON.parse(text) };
};

/** A session of an evening elsewhere. */
function evening(): RecordedEvent[] {
  const desk = Desk.live();
  desk.must({ type: "pour", pour: pourOf("lantern", 12_500) });
  desk.advance();
  desk.must({ type: "note", text: "Elsewhere", seen: "private" });
  desk.must({ type: "close" });
  return desk.events;
}
const fileOf = (session: string, events: readonly RecordedEvent[]) =>
  writeFile({ pourside: "session", session, events });

describe("a session as a file over HTTP", () => {
  test("goes out as the record has it, and a second record takes it in and gives it back equal", async () => {
    const { text, status } = await ask(`/api/sessions/${bench}/file`);
    expect(status).toBe(200);
    expect(openFile(text)).toMatchObject({ ok: true, file: { session: bench } });
    const other = await TestServer.begin();
    try {
      const bearer = await other.pair();
      const there = async (path: string, body?: string) => {
        const response = await fetch(`${other.address}${path}`, {
          method: body === undefined ? "GET" : "POST",
          headers: { Authorization: `Bearer ${bearer}`, Connection: "close" },
          ...(body === undefined ? {} : { body }),
        });
        return { status: response.status, text: await response.text() };
      };
      expect((await there("/api/sessions/file", text)).status).toBe(201);
      const back = await there(`/api/sessions/${bench}/file`);
      expect(JSON.parse(back.text)).toEqual(JSON.parse(text));
    } finally {
      await other.end();
    }
  });

  test("keeps its own times and numbers, leaves the bench alone, and lasts over a restart", async () => {
    const events = evening();
    const { status, json } = await ask("/api/sessions/file", fileOf("elsewhere", events));
    expect([status, json]).toEqual([201, { session: "elsewhere", there: false }]);
    await server.stop();
    await server.restart();
    const { json: lines } = await ask("/api/sessions");
    expect(lines).toContainEqual({
      id: "elsewhere",
      name: "Harbour at dusk",
      phase: "closed",
      openedAt: events[0]?.serverAt,
      lastAt: events.at(-1)?.serverAt,
      onBench: false,
    });
    expect((await ask("/api/health")).json.session).toBe(bench);
    expect((await ask("/api/sessions/elsewhere/file")).json).toEqual(
      JSON.parse(fileOf("elsewhere", events)),
    );
  });

  test("that is there already is said to be there, and with other events is refused", async () => {
    const events = evening();
    const again = await ask("/api/sessions/file", fileOf("elsewhere", events));
    expect([again.status, again.json.there]).toEqual([200, true]);
    const shorter = await ask("/api/sessions/file", fileOf("elsewhere", events.slice(0, -1)));
    expect([shorter.status, shorter.json.code]).toEqual([409, "otherEvents"]);
    expect(shorter.json.say).toMatch(/nothing was changed\.$/);
    expect((await ask("/api/sessions/elsewhere/file")).json).toEqual(
      JSON.parse(fileOf("elsewhere", events)),
    );
  });

  test.each<[string, () => string, number]>([
    ["is no file of ours", () => '{"name": "A list"}', 1],
    ["is cut off", () => fileOf("cut", evening()).slice(0, -40), 100],
    [
      "misses an event",
      () =>
        fileOf(
          "gap",
          evening().filter((_, at) => at !== 2),
        ),
      100,
    ],
    [
      "pours more than a bottle holds",
      () => fileOf("much", evening()).replace('"volumeUl": 12500', '"volumeUl": 9000000'),
      100,
    ],
    ["is a shelf", () => writeFile({ pourside: "shelf", shelf }), 1],
    ["is empty", () => "", 1],
  ])("that %s is refused by the line, with nothing changed", async (_, text, line) => {
    const { json: before } = await ask("/api/sessions");
    const { status, json } = await ask("/api/sessions/file", text());
    expect(status).toBe(422);
    expect(json.problems[0].line).toBeGreaterThanOrEqual(line);
    expect(json.problems[0].say).toMatch(/\.$/);
    expect((await ask("/api/sessions")).json).toEqual(before);
  });

  test("under the name that shelf and plans are kept by is refused, and does not give them out", async () => {
    const { json } = await ask("/api/sessions/file", fileOf("preparation", evening()));
    expect(json.code).toBe("badName");
    expect((await ask("/api/sessions/preparation/file")).status).toBe(404);
    expect((await ask("/api/sessions/preparation/plan", "")).status).toBe(404);
  });

  test("is for paired tablets only", async () => {
    expect((await ask(`/api/sessions/${bench}/file`, undefined, "nobody")).status).toBe(401);
    expect((await ask("/api/sessions/file", fileOf("x", evening()), "nobody")).status).toBe(401);
    expect((await ask(`/api/sessions/${bench}/plan`, "", "nobody")).status).toBe(401);
  });
});

describe("the next plan from a session over HTTP", () => {
  test("has the bottles at what was left, and is one step back", async () => {
    const { json: before } = await ask("/api/preparation");
    const { status, json } = await ask("/api/sessions/elsewhere/plan", "");
    expect([status, json.name]).toEqual([201, "Harbour at dusk 2"]);
    const { json: after } = await ask("/api/preparation");
    expect(after.plans[json.plan].plan.steps.length).toBeGreaterThan(10);
    const state = fold("elsewhere", evening());
    for (const one of Object.values(state.bench.vessels)) {
      const bottle = after.shelf.stocks.find(({ id }: { id: string }) => id === one.id);
      expect(bottle).toMatchObject(left(one.vessel));
    }
    expect(after.shelf.dyes).toEqual(before.shelf.dyes);
    expect(after.undo.say).toBe("began Harbour at dusk 2");
    const undo = { id: "back", prepare: { type: "undo", expect: after.undo.seq } };
    const undone = await fetch(`${server.address}/api/preparation`, {
      method: "POST",
      headers: { Authorization: `Bearer ${token}`, "Content-Type": "application/json" },
      body: JSON.stringify(undo),
    });
    expect(undone.status).toBe(200);
    const { json: back } = await ask("/api/preparation");
    expect([back.shelf, back.plans]).toEqual([before.shelf, before.plans]);
  });

  test("of a session that nobody knows is refused", async () => {
    const { status, json } = await ask("/api/sessions/nobody/plan", "");
    expect([status, json.code]).toEqual([404, "unknownSession"]);
  });
});
