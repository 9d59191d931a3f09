import * as z from "zod";
import {
  type Anchor,
  anchorOf,
  type Output,
  type Run,
  runsOf,
  timecodeAt,
} from "../../shared/broadcast/anchor.ts";
import type { SessionRecord } from "../record/record.ts";
import { keep, kept } from "./keep.ts";
import { type Line, noAnswer, Refused } from "./line.ts";

/** How often an output is asked for its timecode, ms. */
const readMs = 2_000;
/** More anchors than a session of a week has; the oldest of them go first. */
const mostAnchors = 5_000;
/**
 * How far the timecode that is said is behind the frame that is made, before it has been measured,
 * ms. Encoders look ahead: 0.6 s were seen with x264.
 */
const usualLagMs = 500;

const anchorSchema: z.ZodType<Anchor> = z.object({
  output: z.enum(["record", "stream", "own"]),
  run: z.string(),
  at: z.number(),
  timecodeMs: z.number(),
  next: z.enum(["runs", "paused", "ended"]),
  seen: z.enum(["live", "later"]),
});
const keptSchema = z.object({ anchors: z.array(anchorSchema), offsetMs: z.number() });
type Kept = z.infer<typeof keptSchema>;

const statusSchema = z.object({
  outputActive: z.boolean(),
  outputDuration: z.number().nonnegative(),
  outputPaused: z.boolean().optional(),
});
const changeSchema = z.object({ outputState: z.string() });

const ownRun = "own";
const lagKey = "broadcast.lagMs";

/**
 * Anchors between the server's clock and the timecodes of recording and stream, kept in the record
 * for each session. Nothing at the bench waits for them.
 */
export class Clock {
  private readonly kept = new Map<string, Kept>();
  private session: string | null = null;
  private line: Line | null = null;
  private timer: NodeJS.Timeout | null = null;
  /** When the line was last known to stand, server's ms. */
  private lastHeardAt = 0;
  /** Runs whose first frame was witnessed, by which the lag can be measured. */
  private readonly witnessed = new Set<string>();
  private lagMs: number;

  constructor(
    private readonly record: SessionRecord,
    private readonly now: () => number,
    private readonly onChange: () => void,
  ) {
    const lag = kept(record, lagKey);
    this.lagMs = typeof lag === "number" && lag > 0 ? lag : usualLagMs;
  }

  /** From now on events belong to this session; an output that runs is anchored in it too. */
  turnTo(session: string): void {
    if (session === this.session) return;
    const before = this.session;
    this.session = session;
    if (before === null) return;
    const at = this.now();
    for (const output of ["record", "stream", "own"] as const) {
      const open = this.openRun(before, output);
      const timecodeMs = open && timecodeAt(this.of(before).anchors, open.run, at);
      if (!open || timecodeMs === null || timecodeMs === undefined) continue;
      this.add({ ...open, at, timecodeMs, seen: "live" });
    }
  }

  /** `onSilent` is told when the other side no longer answers, though nobody hung up. */
  up(line: Line, onSilent: () => void): void {
    this.line = line;
    line.on("RecordStateChanged", changeSchema, ({ outputState }) =>
      this.changed("record", outputState),
    );
    line.on("StreamStateChanged", changeSchema, ({ outputState }) =>
      this.changed("stream", outputState),
    );
    const read = () => void this.readAll(line, onSilent);
    read();
    this.timer = setInterval(read, readMs);
  }

  down(): void {
    if (this.timer) clearInterval(this.timer);
    this.timer = null;
    this.line = null;
  }

  /** "We are live now": a clock without a broadcaster begins at this moment. */
  liveNow(session: string): void {
    const { anchors } = this.of(session);
    const at = this.now();
    const anchor: Anchor = {
      output: "own",
      run: ownRun,
      at,
      timecodeMs: 0,
      next: "runs",
      seen: "live",
    };
    this.keep(session, { anchors: [...anchors.filter(({ run }) => run !== ownRun), anchor] });
  }

  /** Moves the beginning of the dyer's own clock; a positive shift makes all its times later. */
  shiftOwn(session: string, shiftMs: number): boolean {
    const { anchors } = this.of(session);
    if (!anchors.some(({ run }) => run === ownRun)) return false;
    this.keep(session, {
      anchors: anchors.map((anchor) =>
        anchor.run === ownRun ? { ...anchor, at: anchor.at - shiftMs } : anchor,
      ),
    });
    return true;
  }

  offsetMs(session: string): number {
    return this.of(session).offsetMs;
  }

  setOffset(session: string, offsetMs: number): void {
    this.keep(session, { offsetMs });
  }

  runs(session: string): Run[] {
    return runsOf(this.of(session).anchors);
  }

  /** Timecode of a moment, without the offset, ms. */
  timecode(session: string, run: string, at: number): number | null {
    return timecodeAt(this.of(session).anchors, run, at);
  }

  /** Whether a recording runs now, as far as is known. */
  recording(): boolean {
    return this.session !== null && this.openRun(this.session, "record")?.next === "runs";
  }

  private changed(output: Output, state: string): void {
    const { session } = this;
    if (session === null) return;
    const at = this.now();
    const open = this.openRun(session, output);
    switch (state) {
      case "OBS_WEBSOCKET_OUTPUT_STARTED": {
        this.close(session, output);
        const run = this.freshName(session, output);
        this.witnessed.add(run);
        this.add({ output, run, at, timecodeMs: 0, next: "runs", seen: "live" });
        return;
      }
      case "OBS_WEBSOCKET_OUTPUT_PAUSED":
      case "OBS_WEBSOCKET_OUTPUT_RESUMED":
      case "OBS_WEBSOCKET_OUTPUT_STOPPING":
      case "OBS_WEBSOCKET_OUTPUT_STOPPED": {
        if (!open) return;
        const timecodeMs = timecodeAt(this.of(session).anchors, open.run, at);
        const next = state.endsWith("PAUSED")
          ? "paused"
          : state.endsWith("RESUMED")
            ? "runs"
            : "ended";
        if (timecodeMs !== null) this.add({ ...open, at, timecodeMs, next, seen: "live" });
        return;
      }
    }
  }

  private async readAll(line: Line, onSilent: () => void): Promise<void> {
    const answered = await Promise.all([this.read(line, "record"), this.read(line, "stream")]);
    if (line === this.line && !answered.includes(true)) onSilent();
  }

  /** False when there was no answer at all; the next reading corrects what this one missed. */
  private async read(line: Line, output: "record" | "stream"): Promise<boolean> {
    const name = output === "record" ? "GetRecordStatus" : "GetStreamStatus";
    const askedAt = this.now();
    try {
      const status = await line.ask(name, undefined, statusSchema);
      if (line !== this.line || this.session === null) return true;
      const at = (askedAt + this.now()) / 2;
      this.take(this.session, output, at, status);
      this.lastHeardAt = at;
      return true;
    } catch (error) {
      if (!(error instanceof Refused)) throw error;
      return error.code !== noAnswer;
    }
  }

  private take(
    session: string,
    output: "record" | "stream",
    at: number,
    status: z.infer<typeof statusSchema>,
  ): void {
    const open = this.openRun(session, output);
    if (!status.outputActive) {
      if (open) this.close(session, output);
      return;
    }
    const paused = status.outputPaused === true;
    // Nothing has come out of the encoder yet, so nothing can be told from it.
    if (status.outputDuration === 0) return;
    const foretold = open && timecodeAt(this.of(session).anchors, open.run, at);
    if (open && this.witnessed.has(open.run) && !paused && open.next === "runs" && foretold) {
      this.measure(foretold - status.outputDuration);
    }
    if (paused && open?.next === "paused") return;
    const timecodeMs = status.outputDuration + this.lagMs;
    const reading = { output, at, timecodeMs, paused };
    const fresh = this.freshName(session, output);
    const anchor = anchorOf(this.of(session).anchors, reading, fresh);
    if (!anchor) return;
    if (open && anchor.run !== open.run) this.close(session, output);
    this.add(anchor);
  }

  /** Keeps how far behind this broadcaster's timecode is, for links that are made late. */
  private measure(lagMs: number): void {
    if (lagMs < 0 || lagMs > 5_000 || Math.abs(lagMs - this.lagMs) < 50) return;
    this.lagMs = Math.round(lagMs);
    keep(this.record, lagKey, this.lagMs);
  }

  /** Ends a run whose end was not witnessed, at the moment when it was last heard of. */
  private close(session: string, output: Output): void {
    const open = this.openRun(session, output);
    if (!open) return;
    const at = Math.max(open.at, Math.min(this.now(), this.lastHeardAt));
    const timecodeMs = timecodeAt(this.of(session).anchors, open.run, at) ?? open.timecodeMs;
    this.add({ ...open, at, timecodeMs, next: "ended", seen: "later" });
  }

  private openRun(session: string, output: Output): Anchor | null {
    const last = this.of(session)
      .anchors.filter((anchor) => anchor.output === output)
      .at(-1);
    return last && last.next !== "ended" ? last : null;
  }

  private freshName(session: string, output: Output): string {
    const count = this.runs(session).filter((run) => run.output === output).length;
    return `${output}-${count + 1}`;
  }

  private add(anchor: Anchor): void {
    if (this.session === null) return;
    const { anchors } = this.of(this.session);
    this.keep(this.session, { anchors: [...anchors, anchor].slice(-mostAnchors) });
  }

  private of(session: string): Kept {
    const known = this.kept.get(session);
    if (known) return known;
    const read = clockKept(this.record, session);
    this.kept.set(session, read);
    return read;
  }

  private keep(session: string, change: Partial<Kept>): void {
    const next = { ...this.of(session), ...change };
    this.kept.set(session, next);
    keep(this.record, keyOf(session), next);
    this.onChange();
  }
}

/** The clock of a session as the record keeps it. */
export function clockKept(record: SessionRecord, session: string): Kept {
  const stored = keptSchema.safeParse(kept(record, keyOf(session)));
  return stored.success ? stored.data : { anchors: [], offsetMs: 0 };
}

const keyOf = (session: string) => `broadcast.clock.${session}`;
