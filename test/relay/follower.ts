import { WebSocket } from "ws";
import { type Json, merge } from "../../shared/session/mergePatch.ts";
import type { Id } from "../../shared/session/setup.ts";
import type { PublicView } from "../../shared/session/views/publicView.ts";
import { type RelayPlace, type RelayWord, relayLivePath } from "../../shared/session/wire.ts";
import { until } from "../server/house.ts";

type Told = Exclude<RelayWord, { kind: "clock" }>;

/** One who follows over a relay without a screen, and keeps all that was heard, in order. */
export class Follower {
  readonly socket: WebSocket;
  readonly told: Told[] = [];
  readonly clocks: Extract<RelayWord, { kind: "clock" }>[] = [];
  view: PublicView | null = null;
  session = "";
  seq = 0;
  over = false;

  constructor(address: string, has?: { session: Id; seq: number; view: PublicView }) {
    const query = has ? `?session=${has.session}&seq=${has.seq}` : "";
    if (has) ({ view: this.view, session: this.session, seq: this.seq } = has);
    this.socket = new WebSocket(address.replace("http", "ws") + relayLivePath + query);
    this.socket.on("message", (data) => this.hear(JSON.parse(String(data)) as RelayWord));
    this.socket.on("close", () => {
      this.over = true;
    });
    this.socket.on("error", () => {
      this.over = true;
    });
  }

  private hear(word: RelayWord): void {
    if (word.kind === "clock") {
      this.clocks.push(word);
      return;
    }
    this.told.push(word);
    if (word.kind === "snapshot") this.view = word.view;
    else if (this.view && this.seq === word.from && this.session === word.session) {
      this.view = merge(this.view as unknown as Json, word.patch) as unknown as PublicView;
    } else throw new Error(`a patch from ${word.from} came after ${this.seq}`);
    this.session = word.session;
    this.seq = word.seq;
  }

  async sees(seq: number, ms = 5_000): Promise<PublicView> {
    await until(() => this.seq >= seq, `the view after event ${seq} beyond the room`, ms);
    return this.view as PublicView;
  }

  /** Whether every word came at a later place than the one before. */
  inOrder(): boolean {
    return this.told.every((word, at) => {
      const before = this.told[at - 1];
      return before === undefined || after(word, before);
    });
  }

  close(): void {
    this.socket.terminate();
  }
}

function after(a: RelayPlace, b: RelayPlace): boolean {
  return a.line > b.line || (a.line === b.line && a.turn > b.turn);
}
