import { afterEach, beforeEach, expect, test, vi } from "vitest";
import type { Held } from "../../overlay/live/held.ts";
import { listen } from "../../overlay/live/listen.ts";
import { publicView } from "../../shared/session/views/publicView.ts";
import { relayBenchHeader, relayClockHeader } from "../../shared/session/wire.ts";
import { Desk } from "../scenario/desk.ts";

const view = publicView(new Desk().state);
/** The server's clock is an hour ahead of the page's. */
const aheadMs = 3_600_000;
let answers: unknown[] = [];

beforeEach(() => {
  vi.useFakeTimers();
  vi.stubGlobal("WebSocket", Blocked);
  vi.stubGlobal("location", new URL("https://pours.example/follow"));
  vi.stubGlobal("window", new EventTarget());
  vi.stubGlobal("document", Object.assign(new EventTarget(), { visibilityState: "visible" }));
  vi.stubGlobal("fetch", async () => {
    const now = String(Date.now() + aheadMs);
    const headers = { [relayClockHeader]: now, [relayBenchHeader]: "1" };
    return new Response(JSON.stringify(answers.shift() ?? null), { headers });
  });
});
afterEach(() => {
  vi.useRealTimers();
  vi.unstubAllGlobals();
});

/** A line that something on the way does not let through. */
class Blocked {
  static readonly CONNECTING = 0;
  static readonly OPEN = 1;
  readonly readyState = 3;
  onclose: (() => void) | null = null;

  constructor() {
    setTimeout(() => this.onclose?.(), 1);
  }

  close() {}
}

test("a page that asks takes whole views at their place alone, and says how old each is", async () => {
  const place = (seq: number) => ({ kind: "snapshot", session: "session", seq, view });
  const at = Date.now() + aheadMs - 15_000;
  answers = [
    // A view without its place: everything after it would be taken for older.
    place(1),
    { ...place(1), line: 1, turn: "2", at },
    { ...place(1), line: 1, turn: 2, at, view: null },
    "no view",
    { ...place(2), line: 1, turn: 3, at },
    { ...place(3), line: 1, turn: 4, at },
  ];
  const seen: [number, number][] = [];
  const first: Held = { session: "session", seq: 1, view };
  const page = listen({
    held: first,
    onView: ({ seq }, ageMs) => seen.push([seq, Math.round(ageMs / 1_000)]),
  });
  for (let second = 0; second < 30; second += 1) await vi.advanceTimersByTimeAsync(1_000);
  expect(answers).toEqual([]);
  expect(seen.map(([seq]) => seq)).toEqual([2, 3]);
  // 15 s old at the start, and asked for again every 2.5 s.
  for (const [, age] of seen) expect(age).toBeGreaterThanOrEqual(15);
  for (const [, age] of seen) expect(age).toBeLessThanOrEqual(31);
  expect(Math.abs(page.serverNow() - Date.now() - aheadMs)).toBeLessThan(1_000);
  page.close();
});
