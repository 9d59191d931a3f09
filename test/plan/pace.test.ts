import { expect, test } from "vitest";
import { paceOf, usualPace } from "../../shared/plan/pace.ts";
import type { Act, Entry } from "../../shared/session/act.ts";
import { Desk } from "../scenario/desk.ts";

const look: Act = { kind: "look", pan: "A", look: "clear" };
const pouring = (): Act => {
  const step = new Desk().state.setup.steps.find((one) => one.kind === "pour");
  if (step?.kind !== "pour") throw new Error("no pour");
  return { kind: "pour", pour: step.pour };
};
const at = (minutes: readonly number[], act: Act): Entry[] =>
  minutes.map((minute, n) => ({ seq: n + 1, at: minute * 60_000, act }));

test("without a past session the pace is the usual one", () => {
  expect(paceOf([])).toEqual(usualPace);
  expect(paceOf([at([0], pouring())])).toEqual(usualPace);
});

test("pours take the middle of the times from one act to the next, over all sessions", () => {
  // Gaps of 1, 2 and 4 minutes, and one of 3 in another session.
  const pace = paceOf([at([0, 1, 3, 7], pouring()), at([0, 3], pouring())]);
  expect(pace.pourSeconds).toBe(180);
  expect(pace.addSeconds).toBe(usualPace.addSeconds);
});

test("a break is not a slow pour, and what is not a pour is not counted", () => {
  const [first] = at([0], look);
  const later: Entry = { seq: 2, at: 120_000, act: pouring() };
  const afterBreak: Entry = { seq: 3, at: 3_600_000, act: pouring() };
  expect(paceOf([[first as Entry, later, afterBreak]]).pourSeconds).toBe(120);
});

test("what is far above the middle time was talk besides the pour", () => {
  // Gaps of 1, 1, 1, 4 and 6 minutes: a pour takes one, and 3 and 5 were talk.
  const pace = paceOf([at([0, 1, 2, 3, 7, 13], pouring())]);
  expect(pace.pourSeconds).toBe(60);
  expect(pace.talkSeconds).toBe(300);
  expect(paceOf([at([0, 1, 2, 3], pouring())]).talkSeconds).toBe(usualPace.talkSeconds);
});
