import type { LinkState } from "../../shared/broadcast/report.ts";
import type { Access } from "./access.ts";
import { type Cause, Line, LineProblem } from "./line.ts";

/**
 * Waits between tries, ms. Someone who is away is looked for often, which costs nothing on one's
 * own machine; a wrong password and a stranger are left in peace for longer each time.
 */
const waits: Record<Cause, { first: number; most: number }> = {
  away: { first: 250, most: 1_000 },
  wrongPassword: { first: 60_000, most: 60_000 },
  stranger: { first: 2_000, most: 30_000 },
  flood: { first: 10_000, most: 60_000 },
};

export type LinkEnds = {
  onUp(line: Line): void;
  onDown(): void;
  onState(state: LinkState): void;
};

/** Keeps a line to the broadcasting software up for as long as there is an address. */
export class Link {
  private access: Access | null = null;
  private line: Line | null = null;
  private timer: NodeJS.Timeout | null = null;
  /** Counts the addresses, so that what an earlier one still brings is passed over. */
  private turn = 0;
  private wait: { cause: Cause; ms: number } | null = null;

  constructor(private readonly ends: LinkEnds) {}

  /** From now on this one, or none. */
  aim(access: Access | null): void {
    this.stop();
    this.access = access;
    this.wait = null;
    if (access === null) {
      this.ends.onState("none");
      return;
    }
    this.ends.onState("connecting");
    void this.dial();
  }

  /** The open line, if there is one. */
  get now(): Line | null {
    return this.line;
  }

  stop(): void {
    this.turn += 1;
    if (this.timer) clearTimeout(this.timer);
    this.timer = null;
    const line = this.line;
    this.line = null;
    line?.hangUp();
    if (line) this.ends.onDown();
  }

  /** The other side has fallen silent, as when its machine sleeps: it is called anew. */
  lost(line: Line): void {
    if (line !== this.line) return;
    this.line = null;
    line.hangUp();
    this.ends.onDown();
    this.again("away");
  }

  private async dial(): Promise<void> {
    const { access, turn } = this;
    if (access === null) return;
    try {
      const line = await Line.dial(access.address, access.password, (cause) => {
        if (turn !== this.turn) return;
        this.line = null;
        this.ends.onDown();
        this.again(cause);
      });
      if (turn !== this.turn) {
        line.hangUp();
        return;
      }
      this.line = line;
      // A flood that comes after each greeting must not begin anew at the shortest wait.
      if (this.wait?.cause !== "flood") this.wait = null;
      this.ends.onState("on");
      this.ends.onUp(line);
    } catch (error) {
      if (turn !== this.turn) return;
      this.again(error instanceof LineProblem ? error.why : "stranger");
    }
  }

  private again(cause: Cause): void {
    const { first, most } = waits[cause];
    const ms = this.wait?.cause === cause ? Math.min(most, this.wait.ms * 2) : first;
    this.wait = { cause, ms };
    this.ends.onState(cause);
    this.timer = setTimeout(() => {
      this.timer = null;
      void this.dial();
    }, ms);
  }
}
