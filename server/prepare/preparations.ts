import { randomUUID } from "node:crypto";
import { refused } from "../../shared/dye/refusal.ts";
import { type Pace, paceOf } from "../../shared/plan/pace.ts";
import type { Prepare, PrepareEnvelope } from "../../shared/prepare/change.ts";
import {
  nothingPrepared,
  type Preparation,
  type Prepared,
  prepare,
} from "../../shared/prepare/preparation.ts";
import type { PreparationWord, PrepareAnswer } from "../../shared/prepare/word.ts";
import { wordOf } from "../../shared/prepare/word.ts";
import { BrokenRecord } from "../../shared/session/state.ts";
import { answered } from "../record/answered.ts";
import { preparationStream, type SessionRecord } from "../record/record.ts";
import type { Sessions } from "../session/sessions.ts";

/** The last past sessions from which the dyer's pace is taken. */
const sessionsForPace = 10;

/**
 * The single writer of shelf and plans. They are kept as sessions are: a request is checked, written
 * down, and only then told of.
 */
export class Preparations {
  private preparation: Preparation;
  private readonly listeners: ((seq: number) => void)[] = [];
  private pace: { sessions: string; pace: Pace; from: number } | null = null;

  constructor(
    private readonly record: SessionRecord,
    private readonly sessions: Sessions,
    private readonly clock: () => number,
  ) {
    this.preparation = record.events(preparationStream).reduce((before, { seq, body }) => {
      const next = follow(before, body as Prepare);
      if (next === null) {
        throw new BrokenRecord(`Entry ${seq} of the preparation cannot follow what is before it.`);
      }
      return next;
    }, nothingPrepared);
  }

  listen(listener: (seq: number) => void): void {
    this.listeners.push(listener);
  }

  get seq(): number {
    return this.preparation.seq;
  }

  get prepared(): Prepared {
    return this.preparation.prepared;
  }

  word(): PreparationWord {
    const plan = this.sessions.onBench()?.plan;
    const { pace, from } = this.hand();
    return wordOf(this.preparation, { pace, paceFrom: from, onBench: plan ?? null });
  }

  /** How long the dyer takes by hand, from her last sessions that are closed. */
  paceNow(): Pace {
    return this.hand().pace;
  }

  private hand(): { pace: Pace; from: number } {
    const closed = this.sessions.list().filter(({ phase }) => phase === "closed");
    const ids = closed.slice(-sessionsForPace).map(({ id }) => id);
    const key = ids.join(" ");
    if (this.pace?.sessions !== key) {
      const acts = ids.map((id) => this.sessions.state(id)?.acts ?? []);
      this.pace = { sessions: key, pace: paceOf(acts), from: ids.length };
    }
    return this.pace;
  }

  /** A repeated id changes nothing and gets its first answer. When this is `ok`, it is on disk. */
  handle({ id, prepare: request }: PrepareEnvelope): PrepareAnswer {
    return answered(() => this.take(id, request));
  }

  private take(id: string, request: Prepare): PrepareAnswer {
    const answer = this.record.answer(id);
    if (answer) return answer.ok ? { ok: true, seq: answer.seq, say: "" } : answer;
    if (request.type === "change" && request.change.change === "remove") {
      const used = this.usedBySession(request.change.part, request.change.id);
      if (used !== null) return this.refuse(id, "shelf.used", used);
    }
    const next = prepare(this.preparation, request);
    if (refused(next)) return this.refuse(id, next.code, next.say);
    const now = this.clock();
    const { seq } = next.preparation;
    const kept = { ok: true as const, session: preparationStream, seq };
    this.record.append(preparationStream, seq - 1, id, now, now, [request], kept);
    this.preparation = next.preparation;
    for (const listener of this.listeners) listener(seq);
    return { ok: true, seq, say: next.say };
  }

  /** Makes a change of the server's own. */
  make(change: Extract<Prepare, { type: "change" }>["change"]): PrepareAnswer {
    return this.handle({ id: randomUUID(), prepare: { type: "change", change } });
  }

  private refuse(id: string, code: string, say: string): PrepareAnswer {
    const answer = { ok: false as const, code, say };
    this.record.refuse(preparationStream, id, answer);
    return answer;
  }

  /** Nothing that a session used leaves the shelf, so that the next one from it finds everything. */
  private usedBySession(part: string, id: string): string | null {
    if (part !== "dyes" && part !== "bases" && part !== "stocks") return null;
    for (const line of this.sessions.list()) {
      const setup = this.sessions.state(line.id)?.setup;
      if (setup && Object.hasOwn(setup[part], id)) {
        return `The session ${line.name} used this. Retire it instead: it stays in the record.`;
      }
    }
    return null;
  }
}

function follow(before: Preparation, request: Prepare): Preparation | null {
  try {
    const next = prepare(before, request);
    return refused(next) ? null : next.preparation;
  } catch {
    return null;
  }
}
