import type { RelayPlace, RelayView } from "../../shared/session/wire.ts";
import type { KeptKey } from "./key.ts";
import { benchSilenceMs } from "./limits.ts";
import type { Told } from "./stage.ts";

/** The bench's clock, ms, and whether the bench is there. */
export type BenchAt = { now: number; there: boolean };

/** What relay processes hear from each other. */
export type Hearing = {
  told(told: Told): void;
  /** Whether something up to this place is missing here. */
  behind(place: RelayPlace): boolean;
  /** A view that was missed, or may have been. */
  caughtUp(view: RelayView): void;
  /** The bench has come in on this line; older ones are over. */
  lineTaken(line: number): void;
  bench(word: BenchAt): void;
  keyChanged(): void;
};

/** What the processes of one relay have in common. */
export type Common = {
  key(): Promise<KeptKey | null>;
  /** Puts a key in force; whoever came in with the old one holds the line no longer. */
  setKey(key: KeptKey): Promise<void>;
  /** A new line for this bench; `null` while another bench holds the last one. */
  claim(bench: string): Promise<number | null>;
  /** Says that the bench is still there; false where its line is over, for another one or another key. */
  hold(bench: string, line: number): Promise<boolean>;
  release(bench: string): Promise<void>;
  latest(): Promise<RelayView | null>;
  tell(told: Told, view: RelayView): void;
  tellBench(word: BenchAt): void;
  /** Says how many follow here; returns how many follow elsewhere. */
  count(here: number): number;
  close(): Promise<void>;
};

/** One process on its own: key and last line are on its disk, all else is gone when it ends. */
export class Alone implements Common {
  private line: number;
  private holder: { bench: string; until: number } | null = null;

  constructor(
    private readonly keyFile: { read(): KeptKey | null; keep(key: KeptKey): void },
    private readonly lineFile: { read(): number; keep(line: number): void },
    private readonly clock: () => number,
  ) {
    this.line = lineFile.read();
  }

  async key() {
    return this.keyFile.read();
  }

  async setKey(key: KeptKey) {
    this.keyFile.keep(key);
    this.holder = null;
  }

  async claim(bench: string) {
    const now = this.clock();
    if (this.holder && this.holder.bench !== bench && this.holder.until > now) return null;
    this.holder = { bench, until: now + benchSilenceMs };
    // Begins with the time, so that a relay whose folder was lost does not begin at one again.
    this.line = Math.max(this.line + 1, now);
    this.lineFile.keep(this.line);
    return this.line;
  }

  async hold(bench: string, line: number) {
    if (this.holder?.bench !== bench || this.line !== line) return false;
    this.holder.until = this.clock() + benchSilenceMs;
    return true;
  }

  async release(bench: string) {
    if (this.holder?.bench === bench) this.holder = null;
  }

  async latest() {
    return null;
  }

  tell() {}
  tellBench() {}

  count() {
    return 0;
  }

  async close() {}
}
