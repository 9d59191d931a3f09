import { describe, expect, test } from "vitest";
import { type Frame, nextFrame } from "../../overlay/broadcast/frame.ts";
import { restMs, steady } from "../../overlay/broadcast/steady.ts";
import { allParts } from "../../shared/session/state.ts";
import { publicView } from "../../shared/session/views/publicView.ts";
import { Desk } from "../scenario/desk.ts";

const connected = { connected: true, heldSince: null };

describe("boxes over the video", () => {
  test("change their words at once", () => {
    const first = steady(null, "third", "12 mL", 0);
    expect(steady(first, "third", "13 mL", 1).look).toBe("13 mL");
  });

  test("come and go only when the last change has rested", () => {
    const first = steady(null, "third", "12 mL", 0);
    const early = steady(first, "none", "", restMs - 1);
    expect(early.look).toBe("12 mL");
    const gone = steady(early, "none", "", restMs);
    expect(gone.look).toBe("");
    expect(steady(gone, "third", "13 mL", restMs + 1).look).toBe("");
    expect(steady(gone, "third", "13 mL", 2 * restMs).look).toBe("13 mL");
  });

  test("change less often than three times a second however fast they are asked to", () => {
    let box = steady(null, "third", "", 0);
    let changes = 0;
    for (let now = 10; now < 10_000; now += 10) {
      const next = steady(box, now % 20 === 0 ? "third" : "none", "", now);
      if (next.box !== box.box) changes += 1;
      box = next;
    }
    expect(changes / 10).toBeLessThan(1.5);
    expect(changes).toBeGreaterThan(5);
  });
});

describe("a frame", () => {
  function frames(desk: Desk, heldSince: number | null, deviceNow: number): Frame {
    const connection = heldSince === null ? connected : { connected: false, heldSince };
    const clocks = { server: 1_000, device: deviceNow, running: 0 };
    return nextFrame(null, publicView(desk.state), connection, clocks);
  }

  test("is marked as held after ten seconds, and counts on in words", () => {
    const desk = Desk.live();
    expect(frames(desk, null, 50_000).held).toBeNull();
    expect(frames(desk, 1_000, 10_999).held).toBeNull();
    expect(frames(desk, 1_000, 11_000).held).toBe("Held for 10\u202fs: waiting for the bench");
    expect(frames(desk, 1_000, 181_000).held).toBe("Held for 3\u202fmin: waiting for the bench");
  });

  test("shows nothing but cautions when hidden, held or not", () => {
    const desk = Desk.live();
    desk.must({ type: "show", view: "hidden", parts: allParts });
    const frame = frames(desk, 1_000, 60_000);
    expect(frame.main.look).toEqual({ kind: "none" });
    expect(frame.timers.look.timers).toEqual([]);
    expect(frame.held).toBeNull();
    expect(frame.strips.shown.map(({ hazard }) => hazard)).toEqual(["acid"]);
  });

  test("leaves no more of a list than fits beside the timers that come up with it", () => {
    const desk = Desk.live();
    for (const [at, pan] of ["A", "B"].entries()) {
      const timer = { timer: `t${at}`, how: "stove", pan, waitingFor: "" } as const;
      desk.must({ type: "timerStart", ...timer, seconds: 600 });
    }
    const at = (ms: number) => ({ server: ms, device: ms, running: ms });
    const before = nextFrame(null, publicView(desk.state), connected, at(0));
    desk.must({ type: "show", view: "recap", parts: allParts });
    const alone = nextFrame(null, publicView(desk.state), connected, at(5_000));
    const after = nextFrame(before, publicView(desk.state), connected, at(5_000));
    expect(after.timers.look.timers).toHaveLength(2);
    expect(after.main.look).toEqual(alone.main.look);
    // The safe area less a row of timers and the cautions that stand with them.
    expect(after.main.look).toMatchObject({ kind: "recap", height: 972 - 200 - 286 });
  });

  test("begins a list anew when it comes up again", () => {
    const desk = Desk.live();
    const view = () => publicView(desk.state);
    desk.must({ type: "show", view: "tally", parts: allParts });
    const at = (ms: number) => ({ server: ms, device: ms, running: ms });
    const first = nextFrame(null, view(), connected, at(5_000));
    expect(first.since).toBe(5_000);
    expect(nextFrame(first, view(), connected, at(9_000)).since).toBe(5_000);
    desk.must({ type: "show", view: "recap", parts: allParts });
    expect(nextFrame(first, view(), connected, at(9_000)).since).toBe(9_000);
  });
});
