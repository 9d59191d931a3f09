import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import { HeldBack } from "../../overlay/follow/heldBack.ts";
import type { Held } from "../../overlay/live/held.ts";
import { AgedView, agedBy } from "../../server/http/agedView.ts";
import { publicView } from "../../shared/session/views/publicView.ts";
import { Desk } from "../scenario/desk.ts";

const desk = new Desk();
const view = publicView(desk.state);
const heldAt = (seq: number, holdBackSeconds: number): Held => ({
  session: "session",
  seq,
  view: { ...view, session: { ...view.session, holdBackSeconds } },
});

beforeEach(() => {
  vi.useFakeTimers();
});
afterEach(() => {
  vi.useRealTimers();
});

describe("a page that is held back", () => {
  test("shows each view so many seconds after it came, and never before", () => {
    const shown: number[] = [];
    const later = new HeldBack(({ seq }) => shown.push(seq));
    later.take(heldAt(1, 20), 0);
    vi.advanceTimersByTime(5_000);
    later.take(heldAt(2, 20), 0);
    vi.advanceTimersByTime(14_999);
    expect(shown).toEqual([]);
    vi.advanceTimersByTime(1);
    expect(shown).toEqual([1]);
    vi.advanceTimersByTime(5_000);
    expect(shown).toEqual([1, 2]);
  });

  test("shows all that waits once the wait is taken off, and at once from then", () => {
    const shown: number[] = [];
    const later = new HeldBack(({ seq }) => shown.push(seq));
    later.take(heldAt(1, 20), 0);
    later.take(heldAt(2, 0), 0);
    expect(shown).toEqual([2]);
    later.take(heldAt(3, 0), 0);
    expect(shown).toEqual([2, 3]);
  });

  test("does not wait again for as long as a view was on its way", () => {
    const shown: number[] = [];
    const later = new HeldBack(({ seq }) => shown.push(seq));
    later.take(heldAt(1, 20), 15_000);
    vi.advanceTimersByTime(4_999);
    expect(shown).toEqual([]);
    vi.advanceTimersByTime(1);
    expect(shown).toEqual([1]);
    later.take(heldAt(2, 20), 60_000);
    expect(shown).toEqual([1, 2]);
  });
});

test("who opens the page anew gets the newest view that is old enough", () => {
  const aged = new AgedView();
  const come = (seq: number, seconds: number, at: number) =>
    aged.take({ ...heldAt(seq, seconds), now: at }, at);
  come(1, 0, 0);
  come(2, 20, 1_000);
  come(3, 20, 10_000);
  expect(aged.at(12_000)?.seq).toBe(1);
  expect(aged.at(21_000)?.seq).toBe(2);
  expect(aged.at(29_999)?.seq).toBe(2);
  expect(aged.at(30_000)?.seq).toBe(3);
});

test("a view that came late is as old as its change, and one from an odd clock is never younger than now", () => {
  let now = 100_000;
  let shown = { ...heldAt(1, 20), now };
  let changedAt = 0;
  let changed = () => {};
  const seen = agedBy({
    snapshot: () => ({ ...shown, now }),
    changedAt: () => changedAt,
    listen: (listener) => {
      changed = listener;
    },
    clock: () => now,
  });
  shown = { ...heldAt(2, 20), now };
  changedAt = 85_000;
  changed();
  now = 104_999;
  expect(seen()?.seq).toBe(1);
  now = 105_000;
  expect(seen()?.seq).toBe(2);
  shown = { ...heldAt(3, 20), now };
  changedAt = 3_600_000;
  changed();
  now = 124_999;
  expect(seen()?.seq).toBe(2);
  now = 125_000;
  expect(seen()?.seq).toBe(3);
});

test("thousands of views in a moment do not wait as thousands, and none shows early", () => {
  const aged = new AgedView();
  const come = (seq: number, at: number) => aged.take({ ...heldAt(seq, 180), now: at }, at);
  for (let seq = 1; seq <= 18_000; seq += 1) come(seq, seq * 10);
  const { views } = aged as unknown as { views: readonly unknown[] };
  expect(views.length).toBeLessThan(70);
  for (let now = 180_000; now < 360_000; now += 7_777) {
    const seq = aged.at(now)?.seq ?? 0;
    expect(seq).toBeLessThanOrEqual(Math.max(1, (now - 180_000) / 10));
    // Two gaps of a sixty-fourth of the wait.
    expect(seq).toBeGreaterThan((now - 180_000 - 2 * 2_813) / 10);
  }
  expect(aged.at(360_000)?.seq).toBe(18_000);
});

test("the wait is set by a command, is seen by viewers, and is 0 to 180 s", () => {
  const bench = Desk.live();
  bench.must({ type: "holdBack", seconds: 20 });
  expect(publicView(bench.state).session.holdBackSeconds).toBe(20);
  bench.must({ type: "holdBack", seconds: 0 });
  expect(publicView(bench.state).session.holdBackSeconds).toBeUndefined();
});
