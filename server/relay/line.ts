import { WebSocket } from "ws";
import * as z from "zod";
import { type Refusal, refuse, refused } from "../../shared/dye/refusal.ts";
import type { RelayReport } from "../../shared/session/wire.ts";
import type { Publisher } from "../live/publisher.ts";
import { newBench, type RelayAccess, RelayAccessFile, relayAddressOf } from "./access.ts";
import {
  benchBeatMs,
  benchSilenceMs,
  halfOpenMs,
  keyPath,
  keyPattern,
  linePath,
  lineVersion,
} from "./limits.ts";
import { type ToBench, toBenchSchema } from "./lineWords.ts";

/** So much may be on its way to the relay; after that nothing is sent until it has been taken. */
const mostOutBytes = 512 * 1024;
/** The largest message of a relay, bytes, and how many it may send in a second. */
const mostRelayBytes = 16 * 1024;
const mostRelayPerSecond = 50;
/** Until the relay is dialled again: after a break, and after a refusal, ms. */
const redialMs = 1_000;
const refusedMs = 10_000;
const drainMs = 50;
const askMs = 8_000;
const mostAnswerBytes = 4 * 1024;

export type RelayLineOptions = {
  /** Folder of the record. */
  data: string;
  publisher: Pick<Publisher, "listen" | "wordsAfter">;
  clock: () => number;
  /** Relay and key that the program was started with. */
  given?: { address: string; key: string };
};

/**
 * The bench's way to its relay. The bench dials, sends its public view, and never waits: what the
 * relay has not taken is not queued but left out, and made up by what is missing when it can be.
 */
export class RelayLine {
  private readonly file: RelayAccessFile;
  private access: RelayAccess | null = null;
  private socket: WebSocket | null = null;
  private state: RelayReport["state"] = "off";
  private say: string | null = null;
  private followers = 0;
  /** Whether this relay has let this bench in since it was set. */
  private linked = false;
  private sent: { session: string; seq: number } | null = null;
  private pumping = false;
  private redialling: NodeJS.Timeout | null = null;
  private readonly listeners: (() => void)[] = [];
  private closed = false;

  constructor(private readonly options: RelayLineOptions) {
    this.file = new RelayAccessFile(options.data);
  }

  /** Dials where a relay is known. */
  begin(): void {
    const { given, publisher } = this.options;
    const kept = this.file.read();
    this.access = kept === "unreadable" ? null : kept;
    if (given) {
      const bench = this.access?.bench ?? newBench();
      const same = this.access?.address === given.address;
      // A key that was renewed since is newer than the one in the start command.
      if (!same) this.access = { ...given, bench };
      if (!same && this.access) this.file.keep(this.access);
    }
    publisher.listen(() => this.pumpSoon());
    if (this.access) this.dial();
    else if (kept === "unreadable") this.become("refused", sentences.unreadable);
  }

  listen(listener: () => void): void {
    this.listeners.push(listener);
  }

  report(): RelayReport {
    const { state, say, followers, access } = this;
    return { state, say, followers, address: access?.address ?? null };
  }

  /**
   * Where viewers follow; `null` until the relay has let this bench in. It stays while the line is
   * broken, for the relay still shows what it has.
   */
  followAddress(): string | null {
    return this.access && this.linked ? `${this.access.address}/follow` : null;
  }

  /** Takes another relay, or another key. */
  settle(typed: string, key: string): Refusal | null {
    const address = relayAddressOf(typed);
    if (refused(address)) return address;
    const plain = key.trim();
    if (!keyPattern.test(plain)) {
      return refuse(
        "key",
        "This is no relay key. Paste the one that the relay printed, and nothing before or after it.",
      );
    }
    this.linked &&= this.access?.address === address;
    this.access = { address, key: plain, bench: this.access?.bench ?? newBench() };
    this.file.keep(this.access);
    this.become("dialling", null);
    this.dial();
    return null;
  }

  forget(): void {
    this.access = null;
    this.linked = false;
    this.file.forget();
    this.hangUp();
    this.become("off", null);
  }

  /** Asks the relay for a new key; the old one, whoever has it, is no longer good. */
  async renew(): Promise<Refusal | null> {
    const { access } = this;
    if (!access) return refuse("noRelay", "No relay is set.");
    const lost =
      "The relay gave no new key. Try again; if it then refuses this bench, start it with --new-relay-key.";
    try {
      const response = await fetch(access.address + keyPath, {
        method: "POST",
        headers: { Authorization: `Bearer ${access.key}` },
        redirect: "error",
        signal: AbortSignal.timeout(askMs),
      });
      if (response.status === 401) return refuse("key", sentences.key);
      const { key } = z
        .object({ key: z.string().regex(keyPattern) })
        .parse(JSON.parse(await shortText(response)));
      if (this.access !== access) return null;
      this.access = { ...access, key };
      this.file.keep(this.access);
      this.become("dialling", null);
      this.dial();
      return null;
    } catch {
      return refuse("lost", lost);
    }
  }

  close(): void {
    this.closed = true;
    this.hangUp();
  }

  private become(state: RelayReport["state"], say: string | null): void {
    const followers = state === "on" ? this.followers : 0;
    if (this.state === state && this.say === say && this.followers === followers) return;
    this.state = state;
    this.say = say;
    this.followers = followers;
    this.tell();
  }

  private tell(): void {
    for (const listener of this.listeners) listener();
  }

  private hangUp(): void {
    if (this.redialling) clearTimeout(this.redialling);
    this.redialling = null;
    const { socket } = this;
    this.socket = null;
    this.sent = null;
    socket?.terminate();
  }

  private dial(): void {
    this.hangUp();
    const { access } = this;
    if (!access || this.closed) return;
    if (this.state !== "refused") this.become("dialling", this.say);
    const socket = dialled(access);
    if (socket === null) {
      this.become("refused", sentences.unreadable);
      return;
    }
    this.socket = socket;
    const mine = () => this.socket === socket;
    let refusal: string | null = null;
    let heardAt = performance.now();
    let second = 0;
    let said = 0;
    const send = (word: object) => {
      if (socket.readyState === WebSocket.OPEN) socket.send(JSON.stringify(word));
    };
    const beating = setInterval(() => {
      if (performance.now() - heardAt > benchSilenceMs) socket.terminate();
      else if (socket.bufferedAmount < mostOutBytes)
        send({ kind: "clock", now: this.options.clock() });
    }, benchBeatMs);
    socket.on("open", () => {
      heardAt = performance.now();
      const { clock } = this.options;
      send({ kind: "hello", version: lineVersion, bench: access.bench, now: clock() });
    });
    socket.on("unexpected-response", (asked, response) => {
      const { statusCode = 0 } = response;
      if (statusCode === 401) refusal = sentences.key;
      else if (statusCode < 500) refusal = sentences.notRelay;
      asked.destroy();
      // A request that was destroyed does not say so to its socket.
      socket.terminate();
    });
    socket.on("error", () => {});
    socket.on("close", () => {
      clearInterval(beating);
      if (!mine()) return;
      this.hangUp();
      if (refusal === null) this.become("dialling", sentences.gone);
      else this.become("refused", refusal);
      this.redialling = setTimeout(() => this.dial(), refusal === null ? redialMs : refusedMs);
      this.redialling.unref();
    });
    socket.on("message", (data, binary) => {
      if (!mine()) return;
      heardAt = performance.now();
      const now = Math.floor(heardAt / 1000);
      said = now === second ? said + 1 : 1;
      second = now;
      const word = binary || said > mostRelayPerSecond ? null : readWord(String(data));
      if (word === null) {
        refusal = sentences.strange;
        socket.terminate();
      } else if (word.kind === "refused") {
        refusal = word.say;
        socket.terminate();
      } else if (word.kind === "welcome" && word.version !== lineVersion) {
        refusal = sentences.version;
        socket.terminate();
      } else this.hear(word);
    });
  }

  private hear(word: Exclude<ToBench, { kind: "refused" }>): void {
    switch (word.kind) {
      case "welcome":
        this.sent = word.has;
        this.linked = true;
        this.become("on", null);
        this.pumpSoon();
        break;
      case "again":
        this.sent = null;
        this.pumpSoon();
        break;
      case "notice":
        this.become(this.state, word.say);
        break;
      case "followers":
        if (this.state !== "on" || this.followers === word.count) break;
        this.followers = word.count;
        this.tell();
    }
  }

  /** After whatever is being done: a tap is answered before the relay is thought of. */
  private pumpSoon(): void {
    if (this.pumping || this.state !== "on") return;
    this.pumping = true;
    setImmediate(() => {
      this.pumping = false;
      this.pump();
    });
  }

  /** Once the relay has had time to take some of what it was sent. */
  private pumpLater(): void {
    if (this.pumping) return;
    this.pumping = true;
    setTimeout(() => {
      this.pumping = false;
      this.pump();
    }, drainMs).unref();
  }

  private pump(): void {
    const { socket, sent } = this;
    if (this.state !== "on" || socket?.readyState !== WebSocket.OPEN) return;
    for (const word of this.options.publisher.wordsAfter(sent)) {
      if (socket.bufferedAmount > mostOutBytes) {
        this.pumpLater();
        return;
      }
      socket.send(JSON.stringify(word));
      this.sent = { session: word.session, seq: word.seq };
    }
  }
}

/** `null` where address and key make no request. */
function dialled({ address, key }: RelayAccess): WebSocket | null {
  try {
    return new WebSocket(address.replace(/^http/, "ws") + linePath, {
      headers: { Authorization: `Bearer ${key}` },
      handshakeTimeout: halfOpenMs,
      perMessageDeflate: false,
      maxPayload: mostRelayBytes,
      followRedirects: false,
    });
  } catch {
    return null;
  }
}

const sentences = {
  unreadable: "The relay's address and key that were kept cannot be used. Paste both again.",
  key: "The relay does not know this key. Type the newest one.",
  notRelay: "At this address is no relay of Pourside. Look at the address again.",
  gone: "The relay does not answer. It is dialled again and again; the room goes on without it.",
  strange:
    "What answers at this address does not speak as a relay does. Look at the address again.",
  version: "The relay runs another version of Pourside. Run the same one on both.",
} as const;

function readWord(text: string): ToBench | null {
  try {
    const read = toBenchSchema.safeParse(JSON.parse(text));
    return read.success ? read.data : null;
  } catch {
    return null;
  }
}

/** An answer of a few bytes; more is not read. */
async function shortText(response: Response): Promise<string> {
  const parts: Uint8Array[] = [];
  let length = 0;
  for await (const part of response.body ?? []) {
    length += part.byteLength;
    if (length > mostAnswerBytes) throw new Error("the answer is too long");
    parts.push(part);
  }
  return Buffer.concat(parts).toString();
}
