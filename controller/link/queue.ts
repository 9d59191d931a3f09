import {
  type Command,
  type Envelope,
  envelopeSchema,
  type PourWish,
} from "../../shared/session/command.ts";
import type { Id } from "../../shared/session/setup.ts";

/** Where the queue is kept: the browser's own store, or one made for a test. */
export type Store = Pick<Storage, "getItem" | "setItem" | "removeItem" | "key" | "length">;

/**
 * A command that has no answer yet. `say` names it, should it be lost. `follows` is the id of the
 * command that made what this one names by number, while that number is only what the tablet
 * expects it to be.
 */
export type Waiting = { key: string; envelope: Envelope; say: string; follows?: string };

const prefix = "pourside.queue.";

/**
 * Commands on their way, in the order of the taps. Each is an entry of its own in the store, so
 * that two pages of one tablet never write over each other's.
 */
export class Queue {
  private readonly store: Store | null;
  private readonly items: Waiting[];
  private last = 0;
  /** False once the store refused an entry: what waits is then in this page only. */
  kept: boolean;

  constructor(store: Store | null) {
    this.store = store;
    this.kept = store !== null;
    this.items = store === null ? [] : read(store);
    const newest = this.items.at(-1);
    if (newest) this.last = Number(newest.key.slice(prefix.length).split(".")[0]);
  }

  get length(): number {
    return this.items.length;
  }

  get first(): Waiting | undefined {
    return this.items[0];
  }

  all(): readonly Waiting[] {
    return this.items;
  }

  /** @param now the tablet's clock, ms; only the order counts */
  add(envelope: Envelope, say: string, now: number, follows?: string): void {
    this.last = Math.max(this.last + 1, Math.round(now));
    const key = `${prefix}${String(this.last).padStart(15, "0")}.${envelope.id}`;
    const waiting = { key, envelope, say, ...(follows === undefined ? {} : { follows }) };
    this.items.push(waiting);
    this.write(waiting);
  }

  remove(id: string): void {
    const at = this.items.findIndex((item) => item.envelope.id === id);
    const [item] = at < 0 ? [] : this.items.splice(at, 1);
    if (!item || this.store === null) return;
    try {
      this.store.removeItem(item.key);
      // What did not fit before may fit now.
      if (!this.kept) {
        this.kept = true;
        for (const waiting of this.items) this.write(waiting);
      }
    } catch {
      this.kept = false;
    }
  }

  /** Gives those that follow `id` the number that the server gave to what they name. */
  settle(id: string, seq: number): void {
    for (const item of this.items) {
      if (item.follows !== id) continue;
      item.envelope = { ...item.envelope, command: aimedAt(item.envelope.command, seq) };
      delete item.follows;
      this.write(item);
    }
  }

  private write({ key, ...item }: Waiting): void {
    if (this.store === null) return;
    try {
      this.store.setItem(key, JSON.stringify(item));
    } catch {
      this.kept = false;
    }
  }
}

function read(store: Store): Waiting[] {
  const items: Waiting[] = [];
  try {
    const keys: string[] = [];
    for (let i = 0; i < store.length; i++) {
      const key = store.key(i);
      if (key?.startsWith(prefix)) keys.push(key);
    }
    for (const key of keys.sort()) {
      const item = parse(store.getItem(key));
      if (item) items.push({ key, ...item });
    }
  } catch {
    return items;
  }
  return items;
}

function parse(text: string | null): Omit<Waiting, "key"> | null {
  try {
    const json: unknown = JSON.parse(text ?? "");
    if (typeof json !== "object" || json === null || !("envelope" in json)) return null;
    const parsed = envelopeSchema.safeParse(json.envelope);
    if (!parsed.success) return null;
    const follows = "follows" in json && typeof json.follows === "string" ? json.follows : null;
    const say = "say" in json && typeof json.say === "string" ? json.say : "a tap";
    return { envelope: parsed.data, say, ...(follows === null ? {} : { follows }) };
  } catch {
    return null;
  }
}

/** The act or timer that a command names by number, if it does. */
export function namedSeq(command: Command): number | null {
  switch (command.type) {
    case "undo":
      return command.expect;
    case "correct":
      return command.act;
    case "timerExtend":
    case "timerStop": {
      const number = /\.(\d+)$/.exec(command.timer)?.[1];
      return number === undefined ? null : Number(number);
    }
    default:
      return null;
  }
}

/** The same command about another number. */
export function aimedAt(command: Command, seq: number): Command {
  switch (command.type) {
    case "undo":
      return { ...command, expect: seq };
    case "correct":
      return { ...command, act: seq };
    case "timerExtend":
    case "timerStop":
      return { ...command, timer: command.timer.replace(/\.\d+$/, `.${seq}`) };
    default:
      return command;
  }
}

/** The id that a command gives to a new thing, if it makes one. */
export function madeId(command: Command): Id | null {
  switch (command.type) {
    case "mix":
      return command.made ? command.into : null;
    case "skeinNew":
      return command.skein.id;
    case "panNew":
      return command.pan.id;
    case "timerStart":
      return command.timer;
    default:
      return null;
  }
}

/** Ids of the things on the bench that have to be there for a command. */
export function namedIds(command: Command): readonly Id[] {
  switch (command.type) {
    case "pour":
      return idsOf(command.pour);
    case "correct":
      if (command.to === null) return [];
      return command.to.kind === "pour" ? idsOf(command.to.pour) : [command.to.pan];
    case "mix": {
      const parts = command.parts.map(({ vessel }) => vessel);
      return command.made ? parts : [command.into, ...parts];
    }
    case "discard":
    case "read":
      return [command.vessel];
    case "skeinNew":
      return command.skein.pan === undefined ? [] : [command.skein.pan];
    case "skeinMove":
      return command.to === null ? [command.skein] : [command.skein, command.to];
    case "add":
    case "temperature":
    case "look":
    case "bath":
    case "timerStart":
      return [command.pan];
    case "timerExtend":
    case "timerStop":
      return [command.timer];
    default:
      return [];
  }
}

function idsOf({ source, pan, skeins = [] }: PourWish): readonly Id[] {
  return source.from === "vessel" ? [source.vessel, pan, ...skeins] : [pan, ...skeins];
}
