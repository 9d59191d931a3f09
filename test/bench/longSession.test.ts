import { expect, test } from "vitest";
import { fold } from "../../shared/session/state.ts";
import { bookOf, present } from "../scenario/book.ts";
import { longSession } from "./longSession.ts";

test("a long session can be folded, is the same at every call and balances", () => {
  const events = longSession(2000);
  expect(events).toHaveLength(2000);
  expect(longSession(2000)).toEqual(events);
  const { bench, seq } = fold("season", events);
  expect(seq).toBe(2000);
  expect(bench.poured.length).toBeGreaterThan(1000);
  const book = bookOf(bench);
  expect(present(book.dyes)).toEqual(present(bench.brought.dyes));
});

test("a long session has the corrections, undos and estimates of a real one", () => {
  const events = longSession(10_000);
  const share = (holds: (event: (typeof events)[number]["event"]) => boolean) =>
    events.filter(({ event }) => holds(event)).length / events.length;
  expect(share((event) => event.type === "acted" && event.act.kind === "correct")).toBeCloseTo(
    0.01,
    2,
  );
  expect(share((event) => event.type === "undone")).toBeCloseTo(0.02, 2);
  expect(share((event) => event.type === "adjusted")).toBeGreaterThan(0.05);
  const pours = events.flatMap(({ event }) =>
    event.type === "acted" && event.act.kind === "pour" ? [event.act.pour] : [],
  );
  expect(pours.every(({ shares }) => shares.length === 2)).toBe(true);
  const guessed = pours.filter(({ source }) => source.amount.how === "estimated").length;
  expect(guessed / pours.length).toBeCloseTo(0.25, 1);
});
