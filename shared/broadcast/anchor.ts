/** What a timecode counts in: a recording, a stream, or the dyer's own "we are live now". */
export type Output = "record" | "stream" | "own";

/**
 * A moment on both clocks. From here on the output `runs`, is `paused`, or has `ended`; `seen` says
 * that the moment was not witnessed but read off later, so that what lies between it and the anchor
 * before it may hold a pause that nobody saw.
 */
export type Anchor = {
  output: Output;
  /** Which recording or stream: one name from its start to its end. */
  run: string;
  /** Server's clock, ms since 1970. */
  at: number;
  /** Time since the output's first frame, pauses left out, ms. */
  timecodeMs: number;
  next: "runs" | "paused" | "ended";
  seen: "live" | "later";
};

/** One recording or stream as the anchors tell it. */
export type Run = {
  run: string;
  output: Output;
  /** Moment of its first frame, ms since 1970; reckoned where the link was made later. */
  startedAt: number;
  /** Its length, ms; `null` while it goes on. */
  lengthMs: number | null;
};

/** How far a prediction may be off before an anchor is set that corrects it, ms. */
export const driftMs = 400;

/** The runs, in the order in which they began. */
export function runsOf(anchors: readonly Anchor[]): Run[] {
  const runs = new Map<string, Anchor[]>();
  for (const anchor of anchors) {
    const known = runs.get(anchor.run);
    if (known) known.push(anchor);
    else runs.set(anchor.run, [anchor]);
  }
  return [...runs.values()].flatMap((own) => {
    const first = own[0];
    const last = own.at(-1);
    if (!first || !last) return [];
    return [
      {
        run: first.run,
        output: first.output,
        startedAt: first.at - first.timecodeMs,
        lengthMs: last.next === "ended" ? last.timecodeMs : null,
      },
    ];
  });
}

/**
 * The timecode of a moment in a run, ms, or `null` where it lies before its first frame or after
 * its end. Within a pause it is the timecode at which the pause began.
 *
 * Between two anchors time runs on from the earlier one and never passes the later one, so that
 * events on both sides of a pause that nobody saw stay in order. Before the first anchor of a link
 * made late, the output is taken to have run without a pause.
 */
export function timecodeAt(anchors: readonly Anchor[], run: string, at: number): number | null {
  const own = anchors.filter((anchor) => anchor.run === run);
  const first = own[0];
  if (!first) return null;
  if (at < first.at) {
    const timecodeMs = first.timecodeMs - (first.at - at);
    return timecodeMs < 0 ? null : timecodeMs;
  }
  const before = own.filter((anchor) => anchor.at <= at).at(-1) ?? first;
  const after = own[own.indexOf(before) + 1];
  if (before.next === "ended") return at === before.at ? before.timecodeMs : null;
  if (before.next === "paused") return before.timecodeMs;
  const onward = before.timecodeMs + (at - before.at);
  return after ? Math.min(onward, after.timecodeMs) : onward;
}

/** What an output says of itself at a moment; `timecodeMs` is where its next frame goes. */
export type Reading = { output: Output; at: number; timecodeMs: number; paused: boolean };

/**
 * What has to be kept of a reading, or `null` where the anchors foretold it. A timecode that is
 * behind what was counted already belongs to a new run, whose name is `name`, where one can have
 * begun since; on a busy machine it may be an encoder that lags by seconds.
 */
export function anchorOf(
  anchors: readonly Anchor[],
  reading: Reading,
  name: string,
): Anchor | null {
  const { output, at, timecodeMs, paused } = reading;
  const last = anchors.filter((anchor) => anchor.output === output).at(-1);
  const next = paused ? "paused" : "runs";
  const fresh: Anchor = { output, run: name, at, timecodeMs, next, seen: "later" };
  if (!last || last.next === "ended") return fresh;
  // A run that began since cannot be longer than that is ago; else its timecode only lags.
  const sinceMs = at - last.at;
  if (timecodeMs < last.timecodeMs - driftMs && timecodeMs <= sinceMs + driftMs) return fresh;
  const foretold = timecodeAt(anchors, last.run, at);
  if (foretold !== null && timecodeMs > foretold + 10 * driftMs) return fresh;
  if (last.next === next && foretold !== null && Math.abs(timecodeMs - foretold) <= driftMs) {
    return null;
  }
  return { ...fresh, run: last.run, timecodeMs: Math.max(timecodeMs, last.timecodeMs) };
}
