import { describe, expect, test, vi } from "vitest";
import { MOST_PATCHES } from "../../shared/colour/skein.ts";
import type { RecordedEvent } from "../../shared/session/event.ts";
import { fold, type State, step } from "../../shared/session/state.ts";
import { publicView } from "../../shared/session/views/publicView.ts";
import { longSession } from "../bench/longSession.ts";

const done = vi.hoisted(() => ({ predictions: 0, calibrations: 0 }));

vi.mock("../../shared/colour/observer.ts", async (original) => {
  const real = await original<typeof import("../../shared/colour/observer.ts")>();
  return {
    ...real,
    xyzOfReflectance: (reflectance: Float64Array) => {
      done.predictions++;
      return real.xyzOfReflectance(reflectance);
    },
  };
});

vi.mock("../../shared/colour/smooth.ts", async (original) => {
  const real = await original<typeof import("../../shared/colour/smooth.ts")>();
  return {
    ...real,
    unitKsOf: (...of: Parameters<typeof real.unitKsOf>) => {
      done.calibrations++;
      return real.unitKsOf(...of);
    },
    smoothKs: (...of: Parameters<typeof real.smoothKs>) => {
      done.calibrations++;
      return real.smoothKs(...of);
    },
  };
});

/** What telling viewers of `state` takes. */
function workOf(state: State) {
  done.predictions = 0;
  done.calibrations = 0;
  const view = publicView(state);
  return { view, ...done };
}

/** The long session with several swatches to each dye, and pours that do not cover their skeins. */
function dripped(count: number): RecordedEvent[] {
  return longSession(count).map((recorded) => {
    const { event, seq } = recorded;
    if (event.type === "opened") {
      const yarn = { how: "typed", hex: "#efe6d6" } as const;
      const swatches = [
        { depthPct: 0.5, seen: { how: "measured", lab: { l: 62, a: -12, b: -18 } }, yarn },
        { depthPct: 1, seen: { how: "measured", lab: { l: 50, a: -13, b: -24 } }, yarn },
        { depthPct: 3, seen: { how: "typed", hex: "#1d4a66" }, yarn },
      ] as const;
      const dyes = Object.fromEntries(
        Object.entries(event.setup.dyes).map(([id, dye]) => [id, { ...dye, swatches }]),
      );
      return { ...recorded, event: { ...event, setup: { ...event.setup, dyes } } };
    }
    if (event.type !== "acted" || event.act.kind !== "pour") return recorded;
    const technique = seq % 2 === 0 ? ("speckled" as const) : ("dripped" as const);
    const pour = { ...event.act.pour, technique, coverage: 0.05 + (seq % 4) / 10 };
    return { ...recorded, event: { ...event, act: { ...event.act, pour } } };
  });
}

describe("telling viewers of a session of 200 pours with flecked colours", () => {
  const events = dripped(270);
  const before = fold("session", events);
  publicView(before);
  const next = (event: RecordedEvent["event"], seq = before.seq + 1) =>
    step(before, { seq, at: 0, serverAt: 0, event });

  test("is of so many", () => {
    expect(before.bench.poured.length).toBeGreaterThanOrEqual(195);
  });

  test("predicts nothing again for a note", () => {
    const { view, predictions, calibrations } = workOf(
      next({
        type: "acted",
        act: { kind: "note", text: "Looks even", seen: "public" },
        advances: false,
      }),
    );
    expect({ predictions, calibrations }).toEqual({ predictions: 0, calibrations: 0 });
    expect(Object.keys(view.notes).length).toBeGreaterThan(0);
  });

  test("predicts only the skeins that a pour reached, and calibrates nothing", () => {
    const last = events
      .filter(({ event }) => event.type === "acted" && event.act.kind === "pour")
      .at(-1);
    if (last?.event.type !== "acted" || last.event.act.kind !== "pour") throw new Error("no pour");
    const { step: _, ...act } = last.event.act;
    const { predictions, calibrations } = workOf(next({ type: "acted", act, advances: false }));
    expect(calibrations).toBe(0);
    // Ground and patches of each skein of the pour; the liquor's own colour is known.
    const reached = act.pour.shares.length;
    expect(predictions).toBeGreaterThan(0);
    expect(predictions).toBeLessThanOrEqual(reached * (1 + MOST_PATCHES));
  });

  test("calibrates nothing after an undo or a change of plan", () => {
    const act = before.acts.at(-1)?.seq ?? 0;
    expect(workOf(next({ type: "undone", act })).calibrations).toBe(0);
    // A plan comes over the wire and is read anew: no object of it is one that was there before.
    const setup = structuredClone(before.setup);
    expect(workOf(next({ type: "replanned", setup })).calibrations).toBe(0);
  });

  test("tells the same event by event as it tells somebody who opens the record", () => {
    let state = fold("session", events.slice(0, 1));
    for (const event of events.slice(1)) {
      state = step(state, event);
      publicView(state);
    }
    const opened = fold("session", structuredClone(events));
    expect(publicView(state)).toEqual(publicView(opened));
  });
});
