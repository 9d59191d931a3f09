import type { Snapshot } from "../../shared/session/wire.ts";

/**
 * What viewers who come may see: where the dyer holds phones back behind the bench, the newest view
 * that is at least so old, so that nobody reads ahead of the stream by opening the page anew.
 */
export class AgedView {
  private views: { at: number; snapshot: Snapshot }[] = [];

  /** A view as it came, at `at` ms. */
  take(snapshot: Snapshot | null, at: number): void {
    if (snapshot === null) return;
    const last = this.views.at(-1);
    if (last?.snapshot.view === snapshot.view) return;
    this.views.push({ at, snapshot });
    this.forget(at);
  }

  /** The newest view that is old enough at `now`, ms; the oldest known where none is. */
  at(now: number): Snapshot | null {
    this.forget(now);
    const [first] = this.views;
    return first === undefined ? null : { ...first.snapshot, now };
  }

  /** Lets go of every view that a newer one, itself old enough, has taken the place of. */
  private forget(now: number): void {
    const last = this.views.at(-1);
    if (last === undefined) return;
    const waitMs = (last.snapshot.view.session.holdBackSeconds ?? 0) * 1_000;
    let oldEnough = 0;
    this.views.forEach(({ at }, place) => {
      if (at + waitMs <= now) oldEnough = place;
    });
    this.views = this.views.slice(oldEnough);
  }
}
