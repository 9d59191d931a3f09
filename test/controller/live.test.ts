import { describe, expect, test } from "vitest";
import { figureOf, nextHow, nudges, sayHow, withSize } from "../../controller/live/adjust.ts";
import { changesOf, sayPlacing, toldTogether } from "../../controller/live/dose.ts";
import { overlayHealth, recordHealth } from "../../controller/live/health.ts";
import { wishOf } from "../../controller/live/keys.ts";
import { dropUl, panInHand, presetVolumes, recentVolumes } from "../../controller/live/recent.ts";
import { doubtFor, stepsFor } from "../../controller/live/size.ts";
import { clockText, leftText } from "../../controller/live/time.ts";
import demonstration from "../../server/session/harbour-at-dusk.json" with { type: "json" };
import type { StepAmount } from "../../shared/session/act.ts";
import type { Command } from "../../shared/session/command.ts";
import { decide } from "../../shared/session/decide.ts";
import { pourNow } from "../../shared/session/pourNow.ts";
import { saySkeins } from "../../shared/session/say.ts";
import { openSheet } from "../../shared/session/sheet.ts";
import { fold, type State, step } from "../../shared/session/state.ts";
import type { Presence } from "../../shared/session/wire.ts";

function opened(): State {
  const sheet = openSheet(demonstration);
  if (!sheet.ok) throw new Error("The demonstration session cannot be read.");
  const event = { type: "opened" as const, setup: sheet.setup };
  return fold("s", [{ seq: 1, at: 1, serverAt: 1, event }]);
}

function following(state: State, ...commands: Command[]): State {
  return commands.reduce((state, command, i) => {
    const at = 10_000 * (state.seq + i);
    const decision = decide(state, command, at);
    if (!decision.ok) throw new Error(decision.say);
    return decision.events.reduce(
      (state, event) => step(state, { seq: state.seq + 1, at, serverAt: at, event }),
      state,
    );
  }, state);
}

const volume = (volumeUl: number, more = {}): StepAmount => ({
  of: "volume",
  amount: { how: "measured", volumeUl, plusMinusUl: 0, ...more },
});

describe("the steps by which an amount is changed", () => {
  test.each([
    [37_500, 1_000, 5_000],
    [8_000, 200, 1_000],
    [50, 50, 200],
    [1_250_000, 20_000, 100_000],
    [30_000, 1_000, 5_000],
    [60_000, 2_000, 10_000],
  ])("suit its size: %i uL goes by %i and %i", (amount, fine, coarse) => {
    expect(stepsFor(amount, 50)).toEqual({ fine, coarse });
  });

  test("go by the plan and not by what was adjusted", () => {
    const labels = nudges(volume(37_500), volume(2_000)).map(({ label }) => label);
    expect(labels).toEqual(["−5", "−1", "+1", "+5"]);
  });

  test("never lead to nothing or less", () => {
    const amounts = nudges(volume(37_500), volume(1_000)).map(({ amount }) => amount);
    expect(amounts.slice(0, 2)).toEqual([null, null]);
  });

  test("count drops by one and by five, and keep the dropper", () => {
    const drops = volume(1_200, { drops: 24 });
    const offered = nudges(drops, drops);
    expect(offered.map(({ label }) => label)).toEqual(["−5", "−1", "+1", "+5"]);
    expect(offered[3]?.amount).toEqual(volume(1_450, { drops: 29 }));
    expect(offered[0]?.say).toBe("5 drops less");
  });

  test("weigh powder in the unit it is shown in", () => {
    const pinch: StepAmount = {
      of: "powder",
      amount: { how: "estimated", massUg: 60_000, plusMinusUg: 20_000 },
    };
    expect(nudges(pinch, pinch).map(({ say }) => say)).toEqual([
      "10\u202fmg less",
      "2\u202fmg less",
      "2\u202fmg more",
      "10\u202fmg more",
    ]);
  });
});

describe("how sure an amount is", () => {
  test("goes from measured to about a tenth, to settled later, and back", () => {
    const planned = volume(37_500);
    const about = nextHow(planned, planned);
    expect(about).toEqual(volume(37_500, { how: "estimated", plusMinusUl: 5_000 }));
    const later = about && nextHow(planned, about);
    expect(later).toEqual(volume(37_500, { how: "unsettled", plusMinusUl: 5_000 }));
    expect(later && nextHow(planned, later)).toEqual(planned);
  });

  test("keeps the doubt that was planned", () => {
    const planned = volume(25_000, { how: "estimated", plusMinusUl: 3_000 });
    const now = volume(25_000);
    expect(nextHow(planned, now)).toEqual(planned);
  });

  test("stays in proportion to an amount that changes, and never outgrows it", () => {
    const about = (volumeUl: number, plusMinusUl: number, more = {}) =>
      volume(volumeUl, { how: "estimated", plusMinusUl, ...more });
    expect(withSize(about(40_000, 10_000), 2_000)).toEqual(about(2_000, 500));
    expect(withSize(about(40_000, 60_000), 2_000)).toEqual(about(2_000, 2_000));
    expect(nudges(about(40_000, 10_000), about(40_000, 10_000))[3]?.amount).toEqual(
      about(45_000, 11_250),
    );
    const drops = about(1_200, 240, { drops: 24 });
    expect(nudges(drops, drops)[0]?.amount).toEqual(about(950, 190, { drops: 19 }));
    expect(
      withSize(
        { of: "powder", amount: { how: "estimated", massUg: 60_000, plusMinusUg: 20_000 } },
        3_000,
      ),
    ).toEqual({ of: "powder", amount: { how: "estimated", massUg: 3_000, plusMinusUg: 1_000 } });
    // The planned doubt comes back with the word "about", but not larger than what is left.
    expect(nextHow(about(40_000, 10_000), volume(2_000))).toEqual(about(2_000, 500));
  });

  test("is said beside the figure", () => {
    expect(figureOf(volume(37_500, { how: "estimated", plusMinusUl: 5_000 }))).toEqual({
      figure: "37.5",
      unit: "mL",
      before: "about",
      after: "±\u202f5\u202fmL",
    });
    expect(figureOf(volume(1_200, { drops: 24 }))).toMatchObject({
      figure: "24",
      unit: "drops",
      after: "1.2\u202fmL",
    });
    expect(sayHow(volume(1_000, { how: "unsettled" }))).toEqual({
      word: "About",
      more: "settle later",
    });
  });

  test.each([
    [37_500, 5_000],
    [20_000, 2_000],
    [8_000, 1_000],
    [50, 5],
  ])("is about a tenth where nothing is said: %i uL by %i", (amount, doubt) => {
    expect(doubtFor(amount)).toBe(doubt);
  });
});

describe("what a pour would do", () => {
  test("is told once for skeins that go the same way", () => {
    const state = following(opened(), { type: "goLive" });
    const lantern = state.setup.steps[1];
    if (lantern?.kind !== "pour") throw new Error("The sheet has changed.");
    const changes = changesOf(state, pourNow(state, lantern));
    // 40 mL of 1 % is 400 mg, over 100 g of fibre.
    expect(changes.map(({ afterPct }) => afterPct)).toEqual([0.4, 0.4]);
    expect(toldTogether(changes)).toEqual([
      { skeins: ["1", "2"], before: "0", after: "0.40\u202f%" },
    ]);
    expect(saySkeins(state, ["1", "2"])).toBe("skeins 1 and 2");
  });

  test("says where it touches when it does not touch all", () => {
    const state = opened();
    const painted = state.setup.steps[2];
    if (painted?.kind !== "pour") throw new Error("The sheet has changed.");
    expect(sayPlacing(painted.pour)).toBe("painted on 60\u202f%: far half of the skein");
    const [change] = changesOf(state, painted.pour);
    // 30 mL of 0.5 % is 150 mg on 50 g, of which 60 % is touched.
    expect(change?.afterPct).toBeCloseTo(0.3, 12);
    expect(change?.localPct).toBeCloseTo(0.5, 12);
  });
});

describe("an unplanned pour is offered", () => {
  const pour = (vessel: string, volumeUl: number): Command => ({
    type: "pour",
    pour: {
      source: {
        from: "vessel",
        vessel,
        amount: { how: "measured", volumeUl, plusMinusUl: 0 },
      },
      pan: "B",
      technique: "immersion",
      coverage: 1,
    },
  });

  test("the amounts last poured, the bottle's own first, each once", () => {
    const state = following(
      opened(),
      { type: "goLive" },
      pour("lantern", 3_000),
      pour("saltmarsh", 4_000),
      pour("lantern", 3_000),
      pour("slipway", 9_000),
    );
    const recent = recentVolumes(state, "saltmarsh");
    expect(recent.map(({ volumeUl }) => volumeUl)).toEqual([4_000, 9_000, 3_000]);
    const presets = presetVolumes(state, [...recent, volumeOf(5_000)]);
    expect(presets.map(({ volumeUl }) => volumeUl)).toEqual([1_000, 2_500, 10_000, 25_000]);
  });

  test("the pan in hand, and without a step that of the last pour", () => {
    const state = following(opened(), { type: "goLive" }, pour("lantern", 3_000));
    expect(panInHand(state, "A")).toBe("A");
    expect(panInHand(state, null)).toBe("B");
    expect(panInHand(opened(), null)).toBe("A");
  });

  test("drops of the size that this session counts with", () => {
    expect(dropUl(opened())).toBe(50);
  });

  const volumeOf = (volumeUl: number) => ({
    how: "measured" as const,
    volumeUl,
    plusMinusUl: 0,
  });
});

describe("how the overlay is, in words", () => {
  const presence: Presence = {
    overlays: 1,
    overlaySeq: 7,
    overlaySession: "s",
    overlayHeardAt: 1_000,
    followers: 3,
    controllers: 1,
    prepared: 0,
  };

  test("well once a page has painted the newest event", () => {
    expect(overlayHealth(presence, "s", 7, 0, 50_000)).toEqual({
      say: "overlay shows it",
      ill: false,
    });
  });

  test("not behind before it had time to paint", () => {
    expect(overlayHealth(presence, "s", 8, 49_000, 50_000).ill).toBe(false);
    expect(overlayHealth(presence, "s", 8, 40_000, 50_000)).toMatchObject({ ill: true });
    expect(overlayHealth(presence, "s", 8, 40_000, 50_000).say).toMatch(/^overlay behind since/);
  });

  test("ill where another session is shown, none is open, or none has been heard", () => {
    expect(overlayHealth(presence, "t", 7, 0, 50_000).ill).toBe(true);
    const closed = { ...presence, overlays: 0 };
    expect(overlayHealth(closed, "s", 7, 0, 50_000).say).toMatch(/^overlay not heard since \d/);
    const never = { ...closed, overlayHeardAt: null };
    expect(overlayHealth(never, "s", 7, 0, 50_000).say).toBe("no overlay open");
  });
});

describe("how the record is, in words", () => {
  const link = {
    connection: "on" as const,
    queued: 0,
    offSince: null,
    kept: true,
    unwritten: false,
  };

  test("safe once everything is acknowledged", () => {
    expect(recordHealth(link)).toEqual({ say: "record is safe", ill: false });
    expect(recordHealth({ ...link, queued: 1 }).say).toBe("1 tap on the way");
  });

  test("not written with what waits, while the server cannot write it", () => {
    expect(recordHealth({ ...link, queued: 3, unwritten: true })).toEqual({
      say: "not written, 3 taps waiting",
      ill: true,
    });
  });

  test("offline with what waits, and whether it would outlive the page", () => {
    const off = { ...link, connection: "off" as const, queued: 3 };
    expect(recordHealth(off)).toEqual({ say: "offline, 3 taps waiting", ill: true });
    expect(recordHealth({ ...off, kept: false }).say).toBe("offline, 3 taps, not stored, waiting");
  });
});

describe("the keys of pedals, clickers and macro pads", () => {
  const press = { repeat: false, altered: false, focus: "none" as const };

  test.each(["PageDown", "ArrowRight", "ArrowDown", " ", "Enter"])("%s goes on", (key) => {
    expect(wishOf({ ...press, key })).toBe("advance");
  });

  test.each(["PageUp", "ArrowLeft", "ArrowUp"])("%s undoes", (key) => {
    expect(wishOf({ ...press, key })).toBe("undo");
  });

  test("are ignored when held down, altered, or typed into a field", () => {
    expect(wishOf({ ...press, key: "PageDown", repeat: true })).toBeNull();
    expect(wishOf({ ...press, key: "PageDown", altered: true })).toBeNull();
    expect(wishOf({ ...press, key: "PageDown", focus: "field" })).toBeNull();
    expect(wishOf({ ...press, key: "x" })).toBeNull();
  });

  test("leave space and enter to a focused button, and keep the page keys", () => {
    expect(wishOf({ ...press, key: " ", focus: "button" })).toBeNull();
    expect(wishOf({ ...press, key: "Enter", focus: "button" })).toBeNull();
    expect(wishOf({ ...press, key: "PageDown", focus: "button" })).toBe("advance");
  });
});

describe("times in words", () => {
  test.each([
    [1500, "25\u202fmin left"],
    [601, "11\u202fmin left"],
    [59.2, "60\u202fs left"],
    [1, "1\u202fs left"],
    [-10, "time is up"],
    [-130, "2\u202fmin over"],
  ])("%d s: %s", (seconds, text) => {
    expect(leftText(seconds)).toBe(text);
  });

  test("a clock counts hours", () => {
    expect(clockText(2_892)).toBe("0:48:12");
    expect(clockText(664, true)).toBe("11:04");
    expect(clockText(-5)).toBe("0:00:00");
  });
});
