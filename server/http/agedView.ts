import type { Snapshot } from "../../shared/session/wire.ts";

/** So many views at most wait at about the same time. */
const mostViews = 64;

function waitMsOf({ view }: Snapshot): number {
  return (view.session.holdBackSeconds ?? 0) * 1_000;
}

export type Aging = {
  /** What is shown at the bench now. */
  snapshot(): Snapshot | null;
  /** When that came about, ms on the bench's clock. */
  changedAt(): number;
  /** Calls whenever there is another view. */
  listen(changed: () => void): void;
  /** The bench's clock, ms. */
  clock(): number;
};

/** Takes in every change from now on; what is returned says what viewers who come may see. */
export function agedBy({ snapshot, changedAt, listen, clock }: Aging): () => Snapshot | null {
  const aged = new AgedView();
  const take = () => aged.take(snapshot(), changedAt());
  take();
  listen(take);
  return () => aged.at(clock());
}

/**
 * What viewers who come may see: where the dyer holds phones back behind the bench, the newest view
 * that is at least so old, so that nobody reads ahead of the stream by opening the page anew.
 */
export class AgedView {
  private views: { at: number; snapshot: Snapshot }[] = [];

  /** A view that came about at `at`, ms; it is taken in at its `now`. */
  take(snapshot: Snapshot | null, at: number): void {
    if (snapshot === null) return;
    const last = this.views.at(-1);
    if (last?.snapshot.view === snapshot.view) return;
    // Of views in quick succession the later one is kept, so that they never become many.
    const before = this.views.at(-2);
    if (last && before && last.at - before.at < waitMsOf(last.snapshot) / mostViews) {
      this.views.pop();
    }
    this.views.push({ at: Math.min(at, snapshot.now), snapshot });
    this.forget(snapshot.now);
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
    const waitMs = waitMsOf(last.snapshot);
    let oldEnough = 0;
    this.views.forEach(({ at }, place) => {
      if (at + waitMs <= now) oldEnough = place;
    });
    this.views = this.views.slice(oldEnough);
  }
}
