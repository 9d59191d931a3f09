import { type Mark, oneLine } from "./chapters.ts";

/** A line of text over a stretch of the video, ms from its first frame. */
export type Cue = { fromMs: number; toMs: number; text: string };

/** The shortest and the longest a recipe caption stands, ms. */
const briefMs = 2_000;
const longMs = 12_000;

/** How long the last chapter lasts in a video whose length is not known, ms. */
const openEndMs = 60_000;

/**
 * A WebVTT file (W3C, "WebVTT: The Web Video Text Tracks Format"): cues in order, none of no
 * length, text without markup and without the arrow that stands between the times.
 */
export function webVtt(cues: readonly Cue[]): string {
  const body = [...cues]
    .filter(({ fromMs, toMs }) => toMs > fromMs)
    .sort((a, b) => a.fromMs - b.fromMs)
    .map(({ fromMs, toMs, text }, i) => {
      return `${i + 1}\n${timestamp(fromMs)} --> ${timestamp(toMs)}\n${escaped(text)}\n`;
    });
  return ["WEBVTT\n", ...body].join("\n");
}

/** Chapters as cues: each lasts until the next begins. */
export function chapterCues(chapters: readonly Mark[], lengthMs: number | null): Cue[] {
  return chapters.map(({ atMs, title }, i) => ({
    fromMs: atMs,
    toMs: chapters[i + 1]?.atMs ?? lengthMs ?? atMs + openEndMs,
    text: title,
  }));
}

/**
 * The recipe as captions: what is poured stands from the moment at which it comes up, long enough
 * to be read and no longer than until the next.
 */
export function captionCues(
  pours: readonly { shownMs: number; pouredMs: number; say: string }[],
): Cue[] {
  const inOrder = [...pours].sort((a, b) => a.shownMs - b.shownMs);
  return inOrder.map(({ shownMs, pouredMs, say }, i) => {
    const wished = Math.min(Math.max(pouredMs, shownMs + briefMs), shownMs + longMs);
    const next = inOrder[i + 1]?.shownMs ?? Number.POSITIVE_INFINITY;
    return { fromMs: shownMs, toMs: Math.min(wished, next), text: say };
  });
}

/** "00:04:07.250" */
function timestamp(ms: number): string {
  const whole = Math.max(0, Math.round(ms));
  const two = (value: number) => String(value).padStart(2, "0");
  const hours = Math.floor(whole / 3_600_000);
  const minutes = Math.floor(whole / 60_000) % 60;
  const seconds = Math.floor(whole / 1000) % 60;
  return `${two(hours)}:${two(minutes)}:${two(seconds)}.${String(whole % 1000).padStart(3, "0")}`;
}

function escaped(text: string): string {
  return oneLine(text).replaceAll("&", "&amp;").replaceAll("<", "&lt;").replaceAll(">", "&gt;");
}
