import { refused } from "../../shared/dye/refusal.ts";
import type { Change, Prepare, PrepareEnvelope } from "../../shared/prepare/change.ts";
import { changed, type Prepared } from "../../shared/prepare/preparation.ts";
import type { PreparationWord, PrepareAnswer } from "../../shared/prepare/word.ts";
import { newId } from "../link/id.ts";

/** What is said of the last thing done. */
export type PrepareSaid = { tone: "done" | "refused"; say: string };

/** The preparation as a tablet has it at one moment. */
export type Preparing = {
  /** Shelf and plans with all that is on its way to the server in them; `null` until they came. */
  prepared: Prepared | null;
  word: PreparationWord | null;
  /** `away`: what was changed is kept here and goes out once the server answers. */
  saving: "saved" | "saving" | "away";
  said: PrepareSaid | null;
};

/** Where requests go to, so that tests need no server. */
export type PrepareLine = {
  fetch(): Promise<PreparationWord | null>;
  send(envelope: PrepareEnvelope): Promise<PrepareAnswer | null>;
};

/** How long to wait for a server that does not answer, ms. */
const againMs = 1_500;

type Waiting = { envelope: PrepareEnvelope; done: (answer: PrepareAnswer) => void };

/**
 * Shelf and plans on a tablet: a change is shown at once and kept until the server has written it
 * down. Requests go out one after another, in the order in which they were made.
 */
export class PreparationStore {
  private word: PreparationWord | null = null;
  private waiting: Waiting[] = [];
  private said: PrepareSaid | null = null;
  private away = false;
  private busy = false;
  private closed = false;
  private timer: ReturnType<typeof setTimeout> | null = null;
  private readonly listeners = new Set<() => void>();
  private current: Preparing = { prepared: null, word: null, saving: "saved", said: null };

  constructor(private readonly line: PrepareLine) {
    void this.refetch();
  }

  value(): Preparing {
    return this.current;
  }

  subscribe(listener: () => void): () => void {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  }

  close(): void {
    this.closed = true;
    if (this.timer) clearTimeout(this.timer);
  }

  /** Another tablet changed something: the server says up to which number. */
  heard(seq: number): void {
    if (!this.busy && this.waiting.length === 0 && seq > (this.word?.seq ?? 0)) void this.refetch();
  }

  /** Shown at once; settles once it is written down, or refused. Never rejects. */
  change(change: Change): Promise<PrepareAnswer> {
    const { prepared } = this.current;
    if (prepared === null) return Promise.resolve(notYet);
    const next = changed(prepared, change);
    if (refused(next)) {
      this.speak({ tone: "refused", say: next.say });
      return Promise.resolve({ ok: false, ...next });
    }
    this.said = { tone: "done", say: next.say };
    return this.ask({ type: "change", change });
  }

  async undo(): Promise<void> {
    await this.turn("undo");
  }

  async redo(): Promise<void> {
    await this.turn("redo");
  }

  hush(): void {
    this.speak(null);
  }

  private async turn(type: "undo" | "redo"): Promise<void> {
    // What is still on its way has no number yet.
    await this.idle();
    const turnable = this.word?.[type];
    if (!turnable) {
      this.speak({ tone: "refused", say: `There is nothing to ${type}.` });
      return;
    }
    await this.ask({ type, expect: turnable.seq });
  }

  private idle(): Promise<void> {
    if (this.waiting.length === 0) return Promise.resolve();
    return new Promise((resolve) => {
      const end = this.subscribe(() => {
        if (this.waiting.length > 0) return;
        end();
        resolve();
      });
    });
  }

  private ask(prepare: Prepare): Promise<PrepareAnswer> {
    return new Promise((done) => {
      this.waiting.push({ envelope: { id: newId(), prepare }, done });
      this.changed();
      void this.send();
    });
  }

  private async send(): Promise<void> {
    if (this.busy || this.closed) return;
    this.busy = true;
    for (let first = this.waiting[0]; first && !this.closed; first = this.waiting[0]) {
      const answer = await this.line.send(first.envelope);
      if (answer === null) {
        this.wait();
        break;
      }
      this.away = false;
      await this.landed(first, answer);
    }
    this.busy = false;
  }

  private async landed({ envelope, done }: Waiting, answer: PrepareAnswer): Promise<void> {
    const { prepare } = envelope;
    const { word } = this;
    const mine = answer.ok && word !== null && answer.seq === word.seq + 1;
    if (!answer.ok) this.said = { tone: "refused", say: answer.say };
    else if (prepare.type !== "change") this.said = { tone: "done", say: answer.say };
    const next = mine && prepare.type === "change" ? changed(word, prepare.change) : null;
    if (word && answer.ok && next && !refused(next)) {
      const undo = { seq: answer.seq, say: next.say };
      this.word = { ...word, ...next.prepared, seq: answer.seq, undo, redo: null };
    } else {
      const fresh = await this.line.fetch();
      if (fresh) this.word = fresh;
    }
    this.waiting.shift();
    this.changed();
    done(answer);
  }

  private async refetch(): Promise<void> {
    const word = await this.line.fetch();
    if (this.closed) return;
    if (word === null) {
      this.wait();
      return;
    }
    this.away = false;
    // A later change may have come back before an earlier fetch did.
    if (this.word === null || word.seq >= this.word.seq) this.word = word;
    this.changed();
  }

  private wait(): void {
    this.away = true;
    this.changed();
    if (this.timer) clearTimeout(this.timer);
    this.timer = setTimeout(() => {
      if (this.word === null) void this.refetch();
      void this.send();
    }, againMs);
  }

  private speak(said: PrepareSaid | null): void {
    this.said = said;
    this.changed();
  }

  private changed(): void {
    let prepared: Prepared | null = this.word;
    for (const { envelope } of this.waiting) {
      if (prepared === null || envelope.prepare.type !== "change") continue;
      const next = changed(prepared, envelope.prepare.change);
      if (!refused(next)) prepared = next.prepared;
    }
    const waits = this.waiting.length > 0;
    this.current = {
      prepared,
      word: this.word,
      saving: this.away ? "away" : waits ? "saving" : "saved",
      said: this.said,
    };
    for (const listener of [...this.listeners]) listener();
  }
}

const notYet: PrepareAnswer = {
  ok: false,
  code: "notYet",
  say: "Shelf and plans have not come from the server yet. Wait a moment.",
};
