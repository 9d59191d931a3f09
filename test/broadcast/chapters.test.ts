import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { type Anchor, anchorOf, runsOf, timecodeAt } from "../../shared/broadcast/anchor.ts";
import { chaptersOf, descriptionOf, type Mark, timeText } from "../../shared/broadcast/chapters.ts";
import { captionCues, chapterCues, webVtt } from "../../shared/broadcast/webVtt.ts";

const marks = (...seconds: number[]): Mark[] =>
  seconds.map((second, i) => ({ atMs: second * 1000, title: `pour ${i + 1}` }));
const lines = (text: unknown) => (typeof text === "string" ? text.trimEnd().split("\n") : text);

// The published rule of the large video sites: the first timestamp is 00:00, at least three
// timestamps in ascending order, each chapter at least 10 seconds long.
describe("the chapter list for a video's description", () => {
  test("begins at 0:00 with the opening, in ascending order", () => {
    const text = descriptionOf(chaptersOf(marks(75, 30, 3700.9), "Harbour at dusk", null));
    expect(lines(text)).toEqual([
      "0:00 Harbour at dusk",
      "0:30 pour 2",
      "1:15 pour 1",
      "1:01:40 pour 3",
    ]);
  });

  test("says pours that are too close under the first of them", () => {
    const chapters = chaptersOf(marks(4, 30, 35, 39.9, 41, 90, 94), "Opening", null);
    expect(chapters.map(({ title }) => title)).toEqual([
      "pour 1",
      "pour 2, and 2 more",
      "pour 5",
      "pour 6, then pour 7",
    ]);
  });

  test("gives a pour in the last ten seconds to the chapter before", () => {
    const chapters = chaptersOf(marks(20, 40, 55), "Opening", 60_000);
    expect(chapters.map(({ title }) => title)).toEqual([
      "Opening",
      "pour 1",
      "pour 2, then pour 3",
    ]);
  });

  test("is refused with a sentence when there are fewer than three", () => {
    expect(descriptionOf(chaptersOf(marks(20), "Opening", null))).toMatchObject({ code: "tooFew" });
  });

  test("keeps the rules for any marks", () => {
    const times = fc.array(fc.integer({ min: -5_000, max: 4_000_000 }), { maxLength: 60 });
    const length = fc.option(fc.integer({ min: 0, max: 4_000_000 }));
    fc.assert(
      fc.property(times, length, (atMs, lengthMs) => {
        const chapters = chaptersOf(
          atMs.map((at) => ({ atMs: at, title: "p" })),
          "o",
          lengthMs,
        );
        const seconds = chapters.map((chapter) => Math.floor(chapter.atMs / 1000));
        expect(seconds[0]).toBe(0);
        for (let i = 1; i < seconds.length; i++) {
          expect((seconds[i] ?? 0) - (seconds[i - 1] ?? 0)).toBeGreaterThanOrEqual(10);
        }
        const last = seconds.at(-1) ?? 0;
        if (lengthMs !== null && seconds.length > 1) {
          expect(lengthMs - last * 1000).toBeGreaterThanOrEqual(10_000);
        }
      }),
    );
  });

  test.each([
    [0, "0:00"],
    [59_999, "0:59"],
    [600_000, "10:00"],
    [3_600_000, "1:00:00"],
    [36_061_000, "10:01:01"],
  ])("writes %i ms as %s", (ms, text) => expect(timeText(ms)).toBe(text));
});

// W3C, "WebVTT: The Web Video Text Tracks Format": signature, blank line, cues with
// hh:mm:ss.ttt --> hh:mm:ss.ttt, & < > escaped in cue text.
describe("WebVTT", () => {
  test("has the signature, times in full and text without markup", () => {
    expect(webVtt([{ fromMs: 3_661_007, toMs: 3_662_000, text: "a <b> & \n--> c" }])).toBe(
      "WEBVTT\n\n1\n01:01:01.007 --> 01:01:02.000\na &lt;b&gt; &amp; --&gt; c\n",
    );
  });

  test("has chapters that follow one another without a gap", () => {
    const cues = chapterCues(chaptersOf(marks(20, 40), "o", 70_000), 70_000);
    expect(cues.map(({ fromMs, toMs }) => [fromMs, toMs])).toEqual([
      [0, 20_000],
      [20_000, 40_000],
      [40_000, 70_000],
    ]);
  });

  test("has captions that never stand over one another", () => {
    const cues = captionCues([
      { shownMs: 0, pouredMs: 60_000, say: "a" },
      { shownMs: 60_000, pouredMs: 60_100, say: "b" },
      { shownMs: 61_000, pouredMs: 65_000, say: "c" },
    ]);
    expect(cues.map(({ fromMs, toMs }) => [fromMs, toMs])).toEqual([
      [0, 12_000],
      [60_000, 61_000],
      [61_000, 65_000],
    ]);
  });
});

describe("a moment's timecode", () => {
  const at = (at: number, timecodeMs: number, next: Anchor["next"] = "runs"): Anchor => ({
    output: "record",
    run: "record-1",
    at,
    timecodeMs,
    next,
    seen: "live",
  });

  test("runs on from an anchor, stands still in a pause and ends with the run", () => {
    const anchors = [
      at(1_000, 0),
      at(5_000, 4_000, "paused"),
      at(9_000, 4_000),
      at(12_000, 7_000, "ended"),
    ];
    const code = (moment: number) => timecodeAt(anchors, "record-1", moment);
    expect([500, 1_000, 3_000, 7_000, 10_000, 12_000, 13_000].map(code)).toEqual([
      null,
      0,
      2_000,
      4_000,
      5_000,
      7_000,
      null,
    ]);
    expect(runsOf(anchors)).toMatchObject([{ startedAt: 1_000, lengthMs: 7_000 }]);
  });

  test("is reckoned back from a link that was made late, and never before the first frame", () => {
    const anchors = [at(100_000, 60_000)];
    expect(timecodeAt(anchors, "record-1", 70_000)).toBe(30_000);
    expect(timecodeAt(anchors, "record-1", 30_000)).toBe(null);
  });

  test("stays in order over a pause that nobody saw", () => {
    const anchors = [at(0, 0), at(60_000, 20_000)];
    const codes = [10_000, 20_000, 40_000, 60_000, 61_000].map((moment) =>
      timecodeAt(anchors, "record-1", moment),
    );
    expect(codes).toEqual([10_000, 20_000, 20_000, 20_000, 21_000]);
  });

  test("needs no anchor while the output says what was foretold", () => {
    const reading = { output: "record" as const, at: 10_000, timecodeMs: 9_100, paused: false };
    expect(anchorOf([at(1_000, 0)], reading, "record-2")).toBe(null);
  });

  test("takes an output that has fallen behind what it said before for another run", () => {
    const reading = { output: "record" as const, at: 90_000, timecodeMs: 3_000, paused: false };
    const anchor = anchorOf([at(1_000, 0), at(50_000, 49_000)], reading, "record-2");
    expect(anchor).toMatchObject({ run: "record-2", timecodeMs: 3_000 });
  });

  test("takes an output that lags, where no run can have begun since, for the same run", () => {
    const reading = { output: "record" as const, at: 52_000, timecodeMs: 46_000, paused: false };
    const anchor = anchorOf([at(1_000, 0), at(50_000, 49_000)], reading, "record-2");
    expect(anchor).toMatchObject({ run: "record-1", timecodeMs: 49_000 });
  });

  test("takes an output that stood still unseen for the same run", () => {
    const reading = { output: "record" as const, at: 90_000, timecodeMs: 60_000, paused: false };
    const anchor = anchorOf([at(0, 0), at(50_000, 50_000)], reading, "record-2");
    expect(anchor).toMatchObject({ run: "record-1", timecodeMs: 60_000, seen: "later" });
  });
});
