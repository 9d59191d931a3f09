import { type TextPart, textParts, wordsOf } from "../../shared/broadcast/words.ts";
import type { State } from "../../shared/session/state.ts";
import { publicView } from "../../shared/session/views/publicView.ts";
import type { Line } from "./line.ts";
import { type Placed, placeTexts, setText, textsThere } from "./placing.ts";

const empty: Record<TextPart, string> = { stock: "", volume: "", depth: "", caution: "" };

/** Keeps the four texts in step with what viewers may see. */
export class Texts {
  private line: Line | null = null;
  private there: readonly TextPart[] = [];
  private wanted = empty;
  private readonly said = new Map<TextPart, string>();
  private busy = false;

  async up(line: Line): Promise<void> {
    this.line = line;
    this.said.clear();
    try {
      this.there = await textsThere(line);
    } catch {
      this.there = [];
    }
    void this.say();
  }

  down(): void {
    this.line = null;
    this.there = [];
  }

  follow(state: State | null): void {
    if (state) this.wanted = wordsOf(publicView(state));
    void this.say();
  }

  async place(line: Line): Promise<Placed> {
    const placed = await placeTexts(line, this.wanted);
    if (placed.ok) await this.up(line);
    return placed;
  }

  /** One at a time, and always the newest words: a slow broadcaster falls behind without a queue. */
  private async say(): Promise<void> {
    if (this.busy) return;
    this.busy = true;
    try {
      for (let part = this.stale(); part && this.line; part = this.stale()) {
        const text = this.wanted[part];
        this.said.set(part, text);
        await setText(this.line, part, text);
      }
    } catch {
      // A text that was taken away under us is no longer kept; placing it again brings it back.
      this.there = this.there.filter((part) => this.said.get(part) !== this.wanted[part]);
    } finally {
      this.busy = false;
    }
  }

  private stale(): TextPart | undefined {
    return textParts.find(
      (part) => this.there.includes(part) && this.said.get(part) !== this.wanted[part],
    );
  }
}
