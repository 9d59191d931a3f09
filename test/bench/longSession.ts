import type { VolumeAmount } from "../../shared/dye/amount.ts";
import type { Act } from "../../shared/session/act.ts";
import type { RecordedEvent, SessionEvent } from "../../shared/session/event.ts";
import type { Pour, Setup, Share } from "../../shared/session/setup.ts";
import { chance } from "../record/chance.ts";
import { setupOf } from "../scenario/desk.ts";

const stocks = ["lantern", "slipway", "saltmarsh", "gullwing"];
const pans = ["A", "B"];
const bottleUl = 2_000_000;

/**
 * A long session of `count` events, the same at every call: planned and unplanned pours over the
 * two skeins of a pan, every fourth one estimated, 1 % corrections, 2 % undos, and the adjusting,
 * mixing, heating and noting that goes with them.
 */
export function longSession(count: number): readonly RecordedEvent[] {
  return new Season(count).events;
}

/** Two pans of two skeins, four bottles and as many steps as the session has use for. */
function seasonSheet(steps: number) {
  return {
    pourSheet: 1,
    name: "A season of pours",
    dyes: stocks.map((id) => ({ id, name: id, swatch: { hex: "#2e6e86", depthPct: 1 } })),
    bases: [{ id: "quay", name: "Quay", fibres: [{ fibre: "wool", pct: 100 }], superwash: true }],
    stocks: stocks.map((id) => ({
      id,
      name: id,
      mL: bottleUl / 1000,
      dyes: [{ dye: id, strengthPct: 1 }],
    })),
    pans: pans.map((id) => ({ id, name: id, capacityMl: 90_000, waterMl: 1500 })),
    skeins: ["1", "2", "3", "4"].map((id, at) => ({
      id,
      name: id,
      base: "quay",
      g: at % 2 === 0 ? 50 : 100,
      pan: pans[Math.floor(at / 2)],
    })),
    steps: Array.from({ length: steps }, (_, at) => ({
      kind: "pour",
      stock: stocks[at % stocks.length],
      pan: pans[at % pans.length],
      amount: { mL: 1 + (at % 12) },
    })),
  };
}

class Season {
  readonly events: RecordedEvent[] = [];
  private readonly setup: Setup;
  private readonly random = chance(4707);
  /** Acts in force, as undo sees them. */
  private readonly acts: { seq: number; act: Act }[] = [];
  private readonly corrected = new Set<number>();
  /** Steps still to come, the next one last. */
  private readonly steps: string[];
  /** At least this much is in the bottle. */
  private readonly heldUl = new Map(stocks.map((stock) => [stock, bottleUl]));
  private timer: string | null = null;
  private at = Date.UTC(2031, 4, 17, 18);

  constructor(count: number) {
    this.setup = setupOf(seasonSheet(Math.min(1500, Math.ceil(count / 8))));
    this.steps = this.setup.steps.map(({ id }) => id).reverse();
    this.write({ type: "opened", setup: this.setup });
    this.write({ type: "wentLive" });
    while (this.events.length < count) this.next(this.whole(1, 100));
  }

  private write(event: SessionEvent): void {
    this.at += this.whole(1, 60) * 1000;
    const seq = this.events.length + 1;
    this.events.push({ seq, at: this.at, serverAt: this.at + 3, event });
    if (event.type === "acted") this.acts.push({ seq, act: event.act });
  }

  private act(act: Act, advances = false): void {
    this.write({ type: "acted", act, advances });
  }

  private next(of100: number): void {
    const low = stocks.find((stock) => (this.heldUl.get(stock) ?? 0) < 200_000);
    const pan = this.one(pans);
    if (low) this.topUp(low);
    else if (of100 <= 1) this.correct();
    else if (of100 <= 3) this.undo();
    else if (of100 <= 13) this.adjust();
    else if (of100 <= 16) {
      const seen = this.one(["public", "private"] as const);
      this.act({ kind: "note", text: `Pan ${pan} looks even, ${this.whole(1, 9)} of 9`, seen });
    } else if (of100 <= 18) this.mixJug();
    else if (of100 <= 20) this.turnTimer(pan);
    else if (of100 <= 22) this.act({ kind: "temperature", pan, celsius: this.whole(20, 95) });
    else if (of100 <= 23) {
      this.act({ kind: "look", pan, look: this.one(["clear", "tinted", "strong"] as const) });
    } else if (of100 <= 24) {
      const amount = { volumeUl: 5000 };
      this.act({ kind: "add", pan, what: "acid", label: "white vinegar 5 %", amount });
    } else if (of100 <= 38 && this.steps.length > 0) this.advance();
    else this.act({ kind: "pour", pour: this.pour(this.one(stocks), pan, this.amount()) });
  }

  private pour(vessel: string, pan: string, amount: VolumeAmount): Pour {
    this.heldUl.set(vessel, (this.heldUl.get(vessel) ?? 0) - amount.volumeUl);
    return {
      source: { from: "vessel", vessel, amount },
      pan,
      shares: this.sharesOf(pan),
      technique: this.one(["immersion", "painted"] as const),
      coverage: this.one([1, 0.6, 0.25]),
    };
  }

  private sharesOf(pan: string): Share[] {
    return Object.values(this.setup.skeins)
      .filter((skein) => skein.pan === pan)
      .map(({ id, massUg }) => ({ skein: id, parts: massUg }));
  }

  private amount(): VolumeAmount {
    const volumeUl = this.whole(1, 30) * 500;
    return this.whole(1, 4) === 1
      ? { how: "estimated", volumeUl, plusMinusUl: Math.round(volumeUl / 10) }
      : { how: "measured", volumeUl, plusMinusUl: 0 };
  }

  private advance(): void {
    const id = this.steps.pop();
    const step = this.setup.steps.find((step) => step.id === id);
    if (step?.kind !== "pour" || step.pour.source.from !== "vessel") return;
    const pour = this.pour(step.pour.source.vessel, step.pour.pan, this.amount());
    this.act({ kind: "pour", step: step.id, pour }, true);
  }

  private adjust(): void {
    const step = this.steps.at(-1);
    if (step === undefined) return;
    this.write({ type: "adjusted", step, amount: { of: "volume", amount: this.amount() } });
  }

  private undo(): void {
    const last = this.acts.at(-1);
    // A top-up stays, so that the bottles keep what is counted on.
    if (!last || last.act.kind === "mix") return;
    this.acts.pop();
    this.write({ type: "undone", act: last.seq });
    const { act } = last;
    if (act.kind === "correct") this.corrected.delete(act.act);
    if (act.kind === "pour" && act.step !== undefined) this.steps.push(act.step);
    if (act.kind === "timerStart") this.timer = null;
    if (act.kind === "timerStop") this.timer = act.timer;
  }

  private correct(): void {
    const pours = this.acts.slice(-40).filter(({ act }) => act.kind === "pour");
    const entry = pours[this.whole(0, pours.length - 1)];
    if (!entry || this.corrected.has(entry.seq)) return;
    const { act: written } = entry;
    if (written.kind !== "pour") return;
    const { source, pan } = written.pour;
    if (source.from !== "vessel") return;
    this.corrected.add(entry.seq);
    const to = { ...written, pour: this.pour(source.vessel, pan, this.amount()) };
    this.act({ kind: "correct", act: entry.seq, to, reason: "read again from the cylinder" });
  }

  private topUp(stock: string): void {
    const waterUl = 1_500_000;
    this.heldUl.set(stock, (this.heldUl.get(stock) ?? 0) + waterUl);
    const powder = [{ dye: stock, massUg: 15_000_000 }];
    this.act({ kind: "mix", into: stock, parts: [], powder, waterUl });
  }

  private mixJug(): void {
    const parts = [this.one(stocks), this.one(stocks)].map((vessel) => {
      this.heldUl.set(vessel, (this.heldUl.get(vessel) ?? 0) - 5000);
      return { vessel, volumeUl: 5000 };
    });
    const made = { name: "Grey-green jug", as: "jug" as const };
    this.act({ kind: "mix", into: "jug", made, parts, powder: [], waterUl: 50_000 });
  }

  private turnTimer(pan: string): void {
    if (this.timer !== null) {
      this.act({ kind: "timerStop", timer: this.timer });
      this.timer = null;
      return;
    }
    this.timer = `timer-${this.events.length}`;
    this.act({
      kind: "timerStart",
      timer: this.timer,
      how: "rest",
      pan,
      seconds: this.whole(1, 40) * 60,
      waitingFor: "the dye to strike",
      wait: false,
    });
  }

  private whole(from: number, to: number): number {
    return from + Math.floor(this.random() * (to - from + 1));
  }

  private one<T>(of: readonly T[]): T {
    return of[this.whole(0, of.length - 1)] as T;
  }
}
