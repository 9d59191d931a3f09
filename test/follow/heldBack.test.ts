import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import { HeldBack } from "../../overlay/follow/heldBack.ts";
import type { Held } from "../../overlay/live/held.ts";
import { AgedView } from "../../server/http/agedView.ts";
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
    later.take(heldAt(1, 20));
    vi.advanceTimersByTime(5_000);
    later.take(heldAt(2, 20));
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
    later.take(heldAt(1, 20));
    later.take(heldAt(2, 0));
    expect(shown).toEqual([2]);
    later.take(heldAt(3, 0));
    expect(shown).toEqual([2, 3]);
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

test("the wait is set by a command, is seen by viewers, and is 0 to 180 s", () => {
  const bench = Desk.live();
  bench.must({ type: "holdBack", seconds: 20 });
  expect(publicView(bench.state).session.holdBackSeconds).toBe(20);
  bench.must({ type: "holdBack", seconds: 0 });
  expect(publicView(bench.state).session.holdBackSeconds).toBeUndefined();
});
