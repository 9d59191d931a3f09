import { expect, test } from "vitest";
import type { RecordedEvent, SessionEvent } from "../../shared/session/event.ts";
import { currentStep, fold, type State, step } from "../../shared/session/state.ts";
import { Desk, pourOf } from "../scenario/desk.ts";

/** A live session with an adjusted step and acts that were corrected and undone. */
function desk(): Desk {
  const desk = Desk.live();
  desk.advance();
  const pour = desk.must({ type: "pour", pour: pourOf("lantern", 9000) });
  desk.must({
    type: "correct",
    act: pour,
    to: { kind: "pour", pour: pourOf("lantern", 7000) },
    reason: "",
  });
  desk.undo();
  adjust(desk, 35_000);
  return desk;
}

function adjust(desk: Desk, volumeUl: number): void {
  const expected = currentStep(desk.state)?.id ?? "";
  const amount = { how: "measured" as const, volumeUl, plusMinusUl: 0 };
  desk.must({ type: "adjust", expect: expected, amount: { of: "volume", amount } });
}

/** Everything in it is locked, so that a change of it would throw. */
function frozen<Thing>(thing: Thing): Thing {
  if (typeof thing === "object" && thing !== null && !Object.isFrozen(thing)) {
    Object.freeze(thing);
    for (const part of Object.values(thing)) frozen(part);
  }
  return thing;
}

test("a step leaves the state before it as it was, whatever happened", () => {
  const { events } = desk();
  let state: State = fold("session", events.slice(0, 1));
  for (const event of events.slice(1)) state = step(frozen(state), event);
  expect(state).toEqual(fold("session", events));
});

test("a fold leaves its events as they were", () => {
  const { events } = desk();
  const locked: readonly RecordedEvent[] = frozen(structuredClone(events));
  expect(fold("session", locked)).toEqual(fold("session", events));
});

test("an adjustment of one step stays out of the state before it", () => {
  const before = desk();
  const was = before.state;
  const held = structuredClone(was.adjusted);
  adjust(before, 28_000);
  expect(was.adjusted).toEqual(held);
  expect(before.state.adjusted).not.toEqual(held);
  const told: SessionEvent[] = before.events.map(({ event }) => event);
  expect(told.filter(({ type }) => type === "adjusted")).toHaveLength(2);
});
