import { createHash } from "node:crypto";
import { brotliCompressSync, constants, gzipSync } from "node:zlib";
import { type Json, merge } from "../../shared/session/mergePatch.ts";
import type { PublicView } from "../../shared/session/views/publicView.ts";
import type { BenchWord, RelayPlace, RelayView } from "../../shared/session/wire.ts";
import { textFrame } from "./frame.ts";
import { isView } from "./lineWords.ts";

/** Changes kept for those who come back after a short absence, and their bytes at most. */
const kept = 256;
const mostKeptBytes = 8 * 1024 * 1024;

export type Told = RelayPlace & BenchWord;
type KeptPatch = { session: string; from: number; seq: number; frame: Buffer };
export type Body = { etag: string; plain: Buffer; gzip: Buffer; br: Buffer };

/** Whether one place comes after another in the order of all that was told. */
export function after(a: RelayPlace, b: RelayPlace): boolean {
  return a.line > b.line || (a.line === b.line && a.turn > b.turn);
}

/**
 * The view that a relay shows, and how it came about. Everything that is sent is encoded once per
 * change, however many it is sent to, and only when somebody needs it.
 */
export class Stage {
  private view: RelayView | null = null;
  private patches: KeptPatch[] = [];
  private patchBytes = 0;
  /** The view has no more bytes than this. */
  private viewBytes = 0;
  private framed: Buffer | null = null;
  private bodied: Body | null = null;
  private readonly listeners: (() => void)[] = [];

  /** @param mostViewBytes bytes that a view may have as it is sent */
  constructor(private readonly mostViewBytes = Number.POSITIVE_INFINITY) {}

  /** Calls whenever there is another view. */
  listen(listener: () => void): void {
    this.listeners.push(listener);
  }

  shown(): RelayView | null {
    return this.view;
  }

  place(): RelayPlace {
    return this.view ?? { line: 0, turn: 0 };
  }

  /**
   * Takes what was told and returns it as everybody gets it, or says that it is not new, or that
   * something before it is missing.
   *
   * @throws RangeError for a patch that is nested too deeply to be merged, or leaves no view
   *   behind, and for a view that is too large
   */
  take(told: Told): Buffer | "old" | "gap" {
    if (this.view && !after(told, this.view)) return "old";
    if (told.kind === "patch") {
      const { view } = this;
      if (view?.session !== told.session || view.seq !== told.from) return "gap";
      const merged = merge(view.view as unknown as Json, told.patch) as unknown as PublicView;
      if (!isView(merged)) throw new RangeError("a patch that leaves no view behind");
      const frame = textFrame(JSON.stringify(told));
      const { line, turn, session, from, seq, at } = told;
      const next: RelayView = { line, turn, kind: "snapshot", session, seq, at, view: merged };
      // A patch makes a view larger by no more than its own bytes, so counting anew is seldom needed.
      let viewBytes = this.viewBytes + frame.length;
      if (viewBytes > this.mostViewBytes) viewBytes = this.measured(next).length;
      this.hold(next);
      this.viewBytes = viewBytes;
      this.patches.push({ session, from, seq, frame });
      this.patchBytes += frame.length;
      while (this.patches.length > kept || this.patchBytes > mostKeptBytes) {
        this.patchBytes -= this.patches.shift()?.frame.length ?? 0;
      }
      return frame;
    }
    const frame = this.measured(told);
    this.patches = [];
    this.patchBytes = 0;
    this.hold(told);
    this.viewBytes = frame.length;
    this.framed = frame;
    return frame;
  }

  private measured(view: RelayView): Buffer {
    const frame = textFrame(JSON.stringify(view));
    if (frame.length > this.mostViewBytes) throw new RangeError("a view that is too large");
    return frame;
  }

  private hold(view: RelayView): void {
    this.view = view;
    this.framed = null;
    this.bodied = null;
    for (const listener of this.listeners) listener();
  }

  snapshotFrame(): Buffer | null {
    if (this.view) this.framed ??= textFrame(JSON.stringify(this.view));
    return this.framed;
  }

  /** What is missing after `seq` of a session, or the whole view where only that will do. */
  framesSince(has: { session: string; seq: number } | null): readonly Buffer[] {
    const { view } = this;
    if (!view) return [];
    if (has?.session === view.session) {
      if (has.seq === view.seq) return [];
      const start = this.patches.findIndex(({ from }) => from === has.seq);
      if (start >= 0) return this.patches.slice(start).map(({ frame }) => frame);
    }
    return [this.snapshotFrame() as Buffer];
  }

  /** The view as those get it who ask for it, compressed once per change. */
  body(): Body | null {
    if (!this.view) return null;
    if (this.bodied) return this.bodied;
    const plain = Buffer.from(JSON.stringify(this.view));
    this.bodied = {
      etag: `"${createHash("sha256").update(plain).digest("base64url").slice(0, 22)}"`,
      plain,
      gzip: gzipSync(plain),
      br: brotliCompressSync(plain, { params: { [constants.BROTLI_PARAM_QUALITY]: 5 } }),
    };
    return this.bodied;
  }
}
