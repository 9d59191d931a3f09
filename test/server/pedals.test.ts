import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { currentStep } from "../../shared/session/state.ts";
import { pourOf } from "../scenario/desk.ts";
import { type BenchClient, foldOf, type House, liveHouse, pause, until } from "./house.ts";

let house: House;
let token: string;
let bench: BenchClient;

beforeEach(async () => {
  ({ house, token, bench } = await liveHouse());
});

afterEach(async () => {
  await house.close();
});

const press = (pedal: "advance" | "undo", key?: string, as: string = token) =>
  house.ask("POST", `/api/live/${pedal}`, {
    token: as,
    headers: key === undefined ? {} : { "Idempotency-Key": key },
  });

const now = () => foldOf(house.running, bench.known().session);

/** So long after the last press that another one counts. */
const settle = () => pause(410);

describe("a pedal", () => {
  it("does the step that is next, and everybody sees it", async () => {
    const overlay = await house.watchClient();
    const before = now();
    const { status, body } = await press("advance");
    expect(status).toBe(200);
    expect(body).toEqual({ ok: true, session: before.session, seq: before.seq + 1 });
    const view = await overlay.sees(before.seq + 1);
    await until(() => bench.known().seq === before.seq + 1, "the tablet");
    expect(view.steps[currentStep(before)?.id ?? ""]?.status).toBe("done");
    expect(bench.known()).toEqual(now());
  });

  it("takes the last act back", async () => {
    await bench.must({ type: "pour", pour: pourOf("saltmarsh", 1000) });
    const { seq } = now();
    expect((await press("undo")).body).toEqual({
      ok: true,
      session: bench.known().session,
      seq: seq + 1,
    });
    expect(now().bench.poured).toEqual([]);
  });

  it("that bounces does one step, and says so", async () => {
    const { seq } = now();
    const presses = await Promise.all([press("advance"), press("advance")]);
    expect(presses.map(({ status }) => status).sort()).toEqual([200, 409]);
    const ignored = presses.find(({ status }) => status === 409);
    expect(ignored?.body).toMatchObject({
      ok: false,
      code: "bounce",
      say: "Two presses came at once. The second was not counted.",
    });
    expect(now().seq).toBe(seq + 1);
    await settle();
    expect((await press("advance")).status).toBe(200);
    expect(now().seq).toBe(seq + 2);
  });

  it("that bounces takes one act back, and says so", async () => {
    for (const volumeUl of [1000, 2000, 3000]) {
      await bench.must({ type: "pour", pour: pourOf("saltmarsh", volumeUl) });
    }
    const presses = await Promise.all([press("undo"), press("undo")]);
    expect(presses.map(({ status }) => status).sort()).toEqual([200, 409]);
    expect(presses.find(({ status }) => status === 409)?.body).toMatchObject({ code: "bounce" });
    expect(now().bench.poured).toHaveLength(2);
    await settle();
    expect((await press("undo")).status).toBe(200);
    expect(now().bench.poured).toHaveLength(1);
  });

  it("may undo at once what it has just done", async () => {
    const { seq } = now();
    expect((await press("advance")).status).toBe(200);
    expect((await press("undo")).status).toBe(200);
    expect(now()).toMatchObject({ seq: seq + 2, acts: [] });
  });
});

describe("a press that is sent again under its own key", () => {
  it("changes nothing and gets the first answer, taken or refused", async () => {
    const first = await press("advance", "press-1");
    const bounced = await press("advance", "press-2");
    expect([first.status, bounced.status]).toEqual([200, 409]);
    const { seq } = now();
    await settle();
    for (const [key, answer] of [["press-1", first] as const, ["press-2", bounced] as const]) {
      const again = await press("advance", key);
      expect([again.status, again.body]).toEqual([answer.status, answer.body]);
    }
    expect(now().seq).toBe(seq);
  });

  it("gets it too when there is nothing left to do by then", async () => {
    await bench.must({ type: "pour", pour: pourOf("saltmarsh", 1000) });
    const undone = await press("undo", "undo-1");
    expect(undone.status).toBe(200);
    expect((await press("undo", "undo-1")).body).toEqual(undone.body);
    await settle();
    const nothing = await press("undo", "undo-2");
    expect(nothing).toMatchObject({ status: 409, body: { code: "nothingToUndo" } });
    await bench.must({ type: "pour", pour: pourOf("saltmarsh", 1000) });
    expect((await press("undo", "undo-2")).body).toEqual(nothing.body);
    expect(now().bench.poured).toHaveLength(1);
  });

  it("gets it after a restart", async () => {
    const first = await press("advance", "press-1");
    const { seq, session } = now();
    await house.restart();
    expect((await press("advance", "press-1")).body).toEqual(first.body);
    expect(foldOf(house.running, session).seq).toBe(seq);
  });

  it("is told from one of the other pedal, and from one whose key only begins alike", async () => {
    const long = "k".repeat(200);
    const { seq } = now();
    expect((await press("advance", `${long}1`)).body).toMatchObject({ seq: seq + 1 });
    expect((await press("undo", `${long}1`)).body).toMatchObject({ seq: seq + 2 });
    await settle();
    expect((await press("advance", `${long}2`)).body).toMatchObject({ seq: seq + 3 });
  });
});

describe("a pedal without a token", () => {
  it("changes nothing and is told to pair", async () => {
    const { seq } = now();
    for (const pedal of ["advance", "undo"] as const) {
      const bare = await house.ask("POST", `/api/live/${pedal}`);
      const wrong = await press(pedal, undefined, "x".repeat(43));
      for (const { status, body } of [bare, wrong]) {
        expect(status).toBe(401);
        expect(body.code).toBe("token");
        expect(body.say).toMatch(/^[A-Z].*[.]$/);
      }
    }
    expect(now().seq).toBe(seq);
  });
});

describe("a pedal after the session was closed", () => {
  it("pours nothing and says why", async () => {
    await bench.must({ type: "close" });
    expect(await press("advance")).toMatchObject({ status: 409, body: { code: "closed" } });
  });
});
