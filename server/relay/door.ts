import type { IncomingMessage } from "node:http";
import type { Duplex } from "node:stream";
import { type WebSocket, WebSocketServer } from "ws";
import type { BenchWord, RelayPlace } from "../../shared/session/wire.ts";
import { fits } from "./key.ts";
import {
  benchBeatMs,
  benchSilenceMs,
  halfOpenMs,
  lineVersion,
  mostBenchBytes,
  mostBenchPerSecond,
} from "./limits.ts";
import { type ToBench, toRelaySchema } from "./lineWords.ts";
import type { BenchAt, Common } from "./processes.ts";

/** What the door does with what comes in. */
export type Inside = {
  clock(): number;
  /** Takes a word of the bench at its place; false when something before it is missing. */
  take(word: BenchWord & RelayPlace): boolean;
  has(): { session: string; seq: number } | null;
  /** Takes what other processes know by now. */
  catchUp(): Promise<void>;
  benchIs(word: BenchAt): void;
  followers(): number;
};

export const wrongKey = {
  code: "key",
  say: "The relay does not know this key. Give the one that it printed at its first start, or the newest.",
};

/** The key that a request brings along. */
export function keyOf(request: IncomingMessage): string {
  return /^Bearer (\S{1,200})$/.exec(request.headers.authorization ?? "")?.[1] ?? "";
}

/** Where the one bench of a relay comes in. */
export class Door {
  private readonly sockets = new WebSocketServer({
    noServer: true,
    perMessageDeflate: false,
    maxPayload: mostBenchBytes,
  });
  private bench: { socket: WebSocket; line: number } | null = null;
  private closed = false;

  constructor(
    private readonly common: Common,
    private readonly inside: Inside,
  ) {}

  async welcome(request: IncomingMessage, socket: Duplex, head: Buffer): Promise<void> {
    const onError = () => socket.destroy();
    socket.on("error", onError);
    const key = await this.common.key().catch(() => null);
    if (!key || !fits(keyOf(request), key.hash)) {
      const body = JSON.stringify(wrongKey);
      socket.end(
        `HTTP/1.1 401 Unauthorized\r\nContent-Type: application/json\r\nContent-Length: ${Buffer.byteLength(body)}\r\nConnection: close\r\n\r\n${body}`,
      );
      return;
    }
    socket.off("error", onError);
    if (this.closed) {
      socket.destroy();
      return;
    }
    this.sockets.handleUpgrade(request, socket, head, (bench) => this.hear(bench));
  }

  /** Ends the line that is there, if it is older than this one. */
  taken(line: number): void {
    if (this.bench && this.bench.line < line) {
      this.bench.socket.close(4001, "another line");
      this.bench = null;
    }
  }

  /** Ends the line, as its key is no longer good. */
  dismiss(): void {
    if (!this.bench) return;
    this.bench.socket.close(4003, "another key");
    this.gone();
  }

  private gone(): void {
    this.bench = null;
    this.inside.benchIs({ now: Number.NaN, there: false });
  }

  /** Ends every line, also of those who have not said yet who they are. */
  close(): void {
    this.closed = true;
    for (const socket of this.sockets.clients) socket.terminate();
  }

  private hear(socket: WebSocket): void {
    const say = (word: ToBench) => socket.send(JSON.stringify(word));
    const refuse = (code: string, sentence: string) => {
      say({ kind: "refused", code, say: sentence });
      socket.close(4000, code);
    };
    let own: { bench: string; line: number; turn: number } | null = null;
    let greeted = false;
    let heardAt = this.inside.clock();
    let second = 0;
    let said = 0;
    const late = setTimeout(() => socket.terminate(), halfOpenMs);
    const beating = setInterval(() => {
      if (this.inside.clock() - heardAt > benchSilenceMs) {
        socket.terminate();
        return;
      }
      if (!own) return;
      // Where the common store does not answer this process goes on alone.
      this.common.hold(own.bench, own.line).then(
        (holds) => {
          if (!holds && this.bench?.socket === socket) this.dismiss();
        },
        () => {},
      );
      // A bench that does not read its count does not get it again and again.
      if (socket.bufferedAmount < 4096) say({ kind: "followers", count: this.inside.followers() });
    }, benchBeatMs);
    socket.on("error", () => socket.terminate());
    socket.on("close", () => {
      clearTimeout(late);
      clearInterval(beating);
      if (!own || this.bench?.socket !== socket) return;
      this.common.release(own.bench).catch(() => {});
      this.gone();
    });
    const greet = async (bench: string, now: number) => {
      const line = await this.common.claim(bench);
      if (line === null) {
        this.tellOfAnother();
        refuse(
          "second",
          "Another bench is on this relay with the same key. Stop it, or take a new key if it is not yours.",
        );
        return;
      }
      await this.inside.catchUp();
      if (socket.readyState !== socket.OPEN) {
        await this.common.release(bench);
        return;
      }
      this.taken(line);
      own = { bench, line, turn: 0 };
      this.bench = { socket, line };
      clearTimeout(late);
      this.inside.benchIs({ now, there: true });
      say({ kind: "welcome", version: lineVersion, has: this.inside.has() });
      say({ kind: "followers", count: this.inside.followers() });
    };
    socket.on("message", (data, binary) => {
      heardAt = this.inside.clock();
      const now = Math.floor(heardAt / 1000);
      said = now === second ? said + 1 : 1;
      second = now;
      if (said > mostBenchPerSecond) {
        refuse("flood", "This bench says more than a bench can. It was cut off.");
        socket.terminate();
        return;
      }
      const word = binary ? null : readWord(String(data));
      if (word === null) {
        refuse(
          "unreadable",
          "The relay cannot read what this bench says. Run the same Pourside on both.",
        );
      } else if (word.kind === "hello") {
        if (greeted) return;
        greeted = true;
        if (word.version !== lineVersion) {
          refuse(
            "version",
            `The relay speaks version ${lineVersion} and this bench version ${word.version}. Run the same Pourside on both.`,
          );
        } else {
          greet(word.bench, word.now).catch(() =>
            refuse(
              "store",
              "The relay's Redis does not answer. Look after it on the relay's host.",
            ),
          );
        }
      } else if (!own || this.bench?.socket !== socket) {
        if (!greeted) refuse("hello", "This bench did not say who it is.");
      } else if (word.kind === "clock") {
        this.inside.benchIs({ now: word.now, there: true });
      } else if (word.kind === "snapshot" || word.kind === "patch") {
        own.turn += 1;
        try {
          if (!this.inside.take({ line: own.line, turn: own.turn, ...word })) {
            say({ kind: "again" });
          }
        } catch {
          refuse("unreadable", "The relay cannot make a view of what this bench says.");
        }
      }
    });
  }

  /** The bench that is on hears that another one tried. */
  private tellOfAnother(): void {
    const word: ToBench = {
      kind: "notice",
      say: "Another bench tried to come onto the relay with this key. If it is not yours, take a new key.",
    };
    this.bench?.socket.send(JSON.stringify(word));
  }
}

function readWord(text: string) {
  try {
    const read = toRelaySchema.safeParse(JSON.parse(text));
    return read.success ? read.data : null;
  } catch {
    return null;
  }
}
