import type { Held } from "../live/held.ts";

/**
 * Shows what was received only after the wait that the dyer set, so that nobody reads a pour before
 * the stream shows it. A view waits from the moment that it came about at the bench, so that what
 * was on its way for some time does not wait for that time again; and the wait that was received
 * last holds for all that wait.
 *
 * The wait is the page's and not the server's, because a page that loses its connection then goes
 * on to show what it had received; a page that is opened begins with a view that its server chose
 * to be old enough.
 */
export class HeldBack {
  private waiting: { at: number; held: Held }[] = [];
  private waking: ReturnType<typeof setTimeout> | undefined;

  constructor(
    private readonly show: (held: Held) => void,
    private readonly clock: () => number = Date.now,
  ) {}

  /** @param ageMs how long ago it came about */
  take(held: Held, ageMs: number): void {
    this.waiting.push({ at: this.clock() - ageMs, held });
    this.showDue();
  }

  close(): void {
    clearTimeout(this.waking);
    this.waiting = [];
  }

  private showDue(): void {
    clearTimeout(this.waking);
    const last = this.waiting.at(-1);
    if (last === undefined) return;
    const waitMs = (last.held.view.session.holdBackSeconds ?? 0) * 1_000;
    const now = this.clock();
    let due: Held | undefined;
    for (const { at, held } of this.waiting) {
      if (at + waitMs > now) break;
      due = held;
    }
    if (due !== undefined) {
      const shown = due;
      this.waiting = this.waiting.slice(this.waiting.findIndex(({ held }) => held === shown) + 1);
      this.show(shown);
    }
    const [next] = this.waiting;
    if (next !== undefined) {
      this.waking = setTimeout(() => this.showDue(), next.at + waitMs - now);
    }
  }
}
