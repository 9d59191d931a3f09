import { afterAll, beforeAll, describe, expect, test } from "vitest";
import type { Change, Prepare } from "../../shared/prepare/change.ts";
import { TestServer } from "../controller/server.ts";
import { dye } from "../scenario/prepare.ts";

let server: TestServer;
let token: string;

beforeAll(async () => {
  server = await TestServer.begin();
  token = await server.pair();
});
afterAll(() => server.end());

const ask = async (path: string, body?: unknown, bearer = token) => {
  const response = await fetch(`${server.address}${path}`, {
    method: body === undefined ? "GET" : "POST",
    headers: {
      Authorization: `Bearer ${bearer}`,
      "Content-Type": "application/json",
      Connection: "close",
    },
    ...(body === undefined ? {} : { body: JSON.stringify(body) }),
  });
  return { status: response.status, json: await response.json() };
};
let n = 0;
const request = (prepare: Prepare, id = `request ${++n}`) =>
  ask("/api/preparation", { id, prepare });
const change = (made: Change, id?: string) => request({ type: "change", change: made }, id);

describe("shelf and plans over HTTP", () => {
  test("begin with the demonstration", async () => {
    const { json } = await ask("/api/preparation");
    expect(json.plans["harbour-at-dusk"].plan.name).toBe("Harbour at dusk");
    expect(json.shelf.dyes).toHaveLength(6);
    expect(json.onBench).toBe("harbour-at-dusk");
  });

  test("are for paired tablets only", async () => {
    expect((await ask("/api/preparation", undefined, "nothing")).status).toBe(401);
  });

  test("keep a change over a restart, and make it once for a repeated request", async () => {
    const made: Change = { change: "shelve", part: "dyes", item: dye("kelp") };
    const first = await change(made, "once");
    expect(first.json.ok).toBe(true);
    expect((await change(made, "once")).json.seq).toBe(first.json.seq);
    await server.stop();
    await server.restart();
    const { json } = await ask("/api/preparation");
    expect(json.seq).toBe(first.json.seq);
    expect(json.shelf.dyes.at(-1).id).toBe("kelp");
    const undone = await request({ type: "undo", expect: json.undo.seq });
    expect(undone.json.say).toBe("undid: added the dye Kelp");
  });

  test("do not let go of what a session used", async () => {
    const { json, status } = await change({ change: "remove", part: "bases", id: "creel" });
    expect([status, json.code]).toEqual([409, "shelf.used"]);
  });

  test.each([
    ["nothing", {}],
    [
      "a number for a name",
      { id: "a", prepare: { type: "change", change: { change: "newPlan", plan: 7 } } },
    ],
    [
      "percentages beyond a hundred",
      {
        id: "b",
        prepare: {
          type: "change",
          change: { change: "shelve", part: "dyes", item: { ...dye("x"), swatchDepthPct: 400 } },
        },
      },
    ],
  ])("refuse %s with a sentence", async (_, body) => {
    const { status, json } = await ask("/api/preparation", body);
    expect(status).toBe(422);
    expect(json.say).toMatch(/\.$/);
  });

  test("put a plan on the bench, and bring what is changed in it after that", async () => {
    const opened = await ask("/api/plans/harbour-at-dusk/session", {});
    expect(opened.status).toBe(201);
    await change({
      change: "plan",
      plan: "harbour-at-dusk",
      edit: { edit: "name", name: "Harbour at dawn" },
    });
    const brought = await ask("/api/plans/harbour-at-dusk/bench", {});
    expect(brought.json).toMatchObject({ ok: true, session: opened.json.session });
    const view = await (await fetch(`${server.address}/api/view`)).json();
    expect(view.view.session.name).toBe("Harbour at dawn");
    expect((await ask("/api/plans/harbour-at-dusk/bench", {})).json.code).toBe("same");
    expect((await ask("/api/plans/nobody/session", {})).status).toBe(404);
  });

  test("say everything that keeps a plan from the bench", async () => {
    const { json: before } = await ask("/api/preparation");
    const content = { ...before.plans["harbour-at-dusk"].plan, pans: [], skeins: [], steps: [] };
    await change({ change: "newPlan", plan: "bare", content });
    const { status, json } = await ask("/api/plans/bare/session", {});
    expect(status).toBe(422);
    expect(json.problems.map(({ say }: { say: string }) => say)).toEqual([
      "There is no pan in this plan. Add one.",
      "There is no skein in this plan. Add one.",
    ]);
  });
});
