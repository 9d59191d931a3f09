import { type Json, patchOf } from "../../shared/session/mergePatch.ts";
import type { State } from "../../shared/session/state.ts";
import { type PublicView, publicView } from "../../shared/session/views/publicView.ts";
import type { BenchWord, Patch, Snapshot } from "../../shared/session/wire.ts";

/** Patches kept for viewers who come back after a short absence. */
const kept = 256;

/** What viewers are told: the public view of the session on the bench, and how it changes. */
export class Publisher {
  private view: PublicView | null = null;
  private session = "";
  private seq = 0;
  private at = 0;
  private patches: Patch[] = [];
  private readonly listeners: (() => void)[] = [];

  constructor(private readonly clock: () => number) {}

  /** When the view came about, ms. */
  get changedAt(): number {
    return this.at;
  }

  /** Calls whenever there is something new to show. */
  listen(listener: () => void): void {
    this.listeners.push(listener);
  }

  private tell(): void {
    for (const listener of this.listeners) listener();
  }

  /** Another session, or the first one: viewers get a snapshot. */
  begin(state: State): Snapshot {
    this.view = publicView(state);
    this.session = state.session;
    this.seq = state.seq;
    this.at = this.clock();
    this.patches = [];
    this.tell();
    return this.snapshot() as Snapshot;
  }

  /** The patch to the state after more events of the same session. */
  follow(state: State): Patch {
    const view = publicView(state);
    this.at = this.clock();
    const patch: Patch = {
      session: this.session,
      from: this.seq,
      seq: state.seq,
      now: this.at,
      patch: patchOf(this.view as unknown as Json, view as unknown as Json) ?? {},
    };
    this.view = view;
    this.seq = state.seq;
    this.patches.push(patch);
    if (this.patches.length > kept) this.patches.shift();
    this.tell();
    return patch;
  }

  snapshot(): Snapshot | null {
    if (!this.view) return null;
    return { session: this.session, seq: this.seq, now: this.clock(), view: this.view };
  }

  isOn(session: string): boolean {
    return this.view !== null && this.session === session;
  }

  /** The patches since `seq`, or `null` when only a snapshot will do. */
  since(session: string, seq: number): readonly Patch[] | null {
    if (!this.isOn(session) || seq > this.seq) return null;
    if (seq === this.seq) return [];
    const start = this.patches.findIndex((patch) => patch.from === seq);
    return start < 0 ? null : this.patches.slice(start);
  }

  /** What brings somebody who has this much up to now: patches, or the whole view. */
  wordsAfter(has: { session: string; seq: number } | null): readonly BenchWord[] {
    const patches = has && this.since(has.session, has.seq);
    if (patches) {
      return patches.map(({ session, from, seq, now, patch }) => ({
        kind: "patch",
        session,
        from,
        seq,
        at: now,
        patch,
      }));
    }
    const snapshot = this.snapshot();
    if (!snapshot) return [];
    const { session, seq, view } = snapshot;
    return [{ kind: "snapshot", session, seq, at: this.at, view }];
  }
}
