import type { Anchor } from "../broadcast/anchor.ts";
import { type Run, runsOf, timecodeAt } from "../broadcast/anchor.ts";
import { chaptersOf, type Mark } from "../broadcast/chapters.ts";
import type { Moment } from "../broadcast/moment.ts";
import { captionCues, chapterCues, webVtt } from "../broadcast/webVtt.ts";

/** What a session's video carries: chapters, and two WebVTT files. */
export type Video = { chapters: readonly Mark[]; chaptersVtt: string; captionsVtt: string };

/** The clock of a session: its anchors, and by how much the dyer moved all its times, ms. */
export type VideoClock = { anchors: readonly Anchor[]; offsetMs: number };

/**
 * Chapters and captions in the times of the recording or stream in which most pours were made;
 * `null` where the session has no clock.
 */
export function videoOf(
  name: string,
  moments: readonly Moment[],
  { anchors, offsetMs }: VideoClock,
): Video | null {
  const run = bestRun(moments, anchors);
  if (!run) return null;
  const timecode = (at: number) => timecodeAt(anchors, run.run, at);
  const pours = moments.flatMap(({ shownAt, pouredAt, say }) => {
    const pouredMs = timecode(pouredAt);
    if (pouredMs === null || pouredMs + offsetMs < 0) return [];
    // A pour that came up before the first frame is there from the first frame on.
    const shownMs = Math.max(0, (timecode(shownAt) ?? 0) + offsetMs);
    return [{ shownMs, pouredMs: pouredMs + offsetMs, say }];
  });
  const lengthMs = run.lengthMs === null ? null : run.lengthMs + offsetMs;
  const marks = pours.map(({ shownMs, say }) => ({ atMs: shownMs, title: say }));
  const chapters = chaptersOf(marks, name, lengthMs);
  return {
    chapters,
    chaptersVtt: webVtt(chapterCues(chapters, lengthMs)),
    captionsVtt: webVtt(captionCues(pours)),
  };
}

function bestRun(moments: readonly Moment[], anchors: readonly Anchor[]): Run | null {
  const rank = { record: 2, stream: 1, own: 0 };
  const counted = runsOf(anchors).map((run) => ({
    run,
    pours: moments.filter(({ pouredAt }) => timecodeAt(anchors, run.run, pouredAt) !== null).length,
  }));
  counted.sort((a, b) => b.pours - a.pours || rank[b.run.output] - rank[a.run.output]);
  return counted[0]?.run ?? null;
}
