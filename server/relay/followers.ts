import type { IncomingMessage } from "node:http";
import type { BlockList } from "node:net";
import type { Duplex } from "node:stream";
import { WebSocket, WebSocketServer } from "ws";
import { textFrame } from "./frame.ts";
import {
  beatMs,
  beatsPerAnswer,
  mostBehindMs,
  mostFollowerBytes,
  mostFollowerMessages,
  mostFollowers,
  mostPerAddress,
  mostWaitingBytes,
} from "./limits.ts";
import type { Stage } from "./stage.ts";
import { trustedProxies, viewerAddress } from "./viewerAddress.ts";

/** How often some of all are told of the clock, ms. */
const tickMs = 25;

/** One who follows. What is needed of each is on the object itself, so that many take little. */
class Follower extends WebSocket {
  line: Duplex | null = null;
  from = "";
  said = 0;
  /** How many beats it was told of. */
  beats = 0;
  answered = true;
  /** Since when this reader did not keep up; 0 while it does. */
  behindSince = 0;
}

/**
 * All who follow over this process. They say nothing and are sent the same bytes; nothing about
 * them is kept but how many come from one address while they are there.
 */
export class Followers {
  private readonly all = new Set<Follower>();
  private readonly perAddress = new Map<string, number>();
  private readonly sockets = new WebSocketServer({
    noServer: true,
    clientTracking: false,
    perMessageDeflate: false,
    maxPayload: mostFollowerBytes,
    WebSocket: Follower,
  });
  private readonly beating: NodeJS.Timeout;
  /** Those who have not been told of the clock in this round, and how many of them are due. */
  private round = this.all.values();
  private due = 0;

  constructor(
    private readonly stage: Stage,
    private readonly clock: () => number,
    /** The word about the clock and the bench, as it is now. */
    private readonly clockWord: () => string,
    private readonly limits = { followers: mostFollowers, perAddress: mostPerAddress },
    private readonly trusted = trustedProxies([]) as BlockList,
  ) {
    this.beating = setInterval(() => this.beat(), tickMs);
    this.beating.unref();
  }

  get count(): number {
    return this.all.size;
  }

  /** Lets one in, or answers why not. */
  welcome(request: IncomingMessage, socket: Duplex, head: Buffer): void {
    const from = viewerAddress(request, this.trusted);
    const here = this.perAddress.get(from) ?? 0;
    // A proxy that does not say for whom it speaks must not be taken for one viewer.
    const crowded = from !== "" && here >= this.limits.perAddress;
    if (crowded || this.all.size >= this.limits.followers) {
      const status = crowded ? "429 Too Many Requests" : "503 Service Unavailable";
      socket.end(`HTTP/1.1 ${status}\r\nRetry-After: 10\r\nConnection: close\r\n\r\n`);
      return;
    }
    const has = hasOf(request.url ?? "");
    this.sockets.handleUpgrade(request, socket, head, (follower) => {
      follower.line = socket;
      follower.from = from;
      this.perAddress.set(from, (this.perAddress.get(from) ?? 0) + 1);
      this.all.add(follower);
      follower.on("message", tooMuchSaid);
      follower.on("pong", answered);
      follower.on("error", ended);
      follower.on("close", this.onClose);
      socket.write(textFrame(this.clockWord()));
      for (const frame of this.stage.framesSince(has)) socket.write(frame);
    });
  }

  /** The same bytes to everybody who keeps up. */
  send(frame: Buffer): void {
    for (const follower of this.all) this.sendTo(follower, frame);
  }

  private sendTo(follower: Follower, frame: Buffer): void {
    const { line } = follower;
    if (follower.behindSince > 0 || line === null) return;
    if (line.writableLength > mostWaitingBytes) follower.behindSince = this.clock();
    else line.write(frame);
  }

  /** Tells everybody at once how the bench is. */
  tellClock(): void {
    this.send(textFrame(this.clockWord()));
  }

  close(): void {
    clearInterval(this.beating);
    for (const follower of this.all) follower.terminate();
  }

  /** Tells a few at a time of the clock, each once in a beat, so that no change waits for thousands. */
  private beat(): void {
    this.due += (this.all.size * tickMs) / beatMs;
    if (this.due < 1) return;
    const now = this.clock();
    const frame = textFrame(this.clockWord());
    for (; this.due >= 1; this.due -= 1) {
      let next = this.round.next();
      if (next.done) {
        this.round = this.all.values();
        next = this.round.next();
      }
      if (next.done) {
        this.due = 0;
        return;
      }
      this.beatOf(next.value, now, frame);
    }
  }

  private beatOf(follower: Follower, now: number, frame: Buffer): void {
    follower.beats += 1;
    const ask = follower.beats % beatsPerAnswer === 0;
    if (ask && !follower.answered) {
      follower.terminate();
      return;
    }
    if (follower.behindSince > 0) this.bringRight(follower, now);
    else if (ask) {
      follower.answered = false;
      follower.ping();
    }
    this.sendTo(follower, frame);
  }

  /** A slow reader gets one whole view when it has read what it had; one that never reads goes. */
  private bringRight(follower: Follower, now: number): void {
    const { line } = follower;
    if (line !== null && line.writableLength === 0) {
      follower.behindSince = 0;
      const frame = this.stage.snapshotFrame();
      if (frame) line.write(frame);
    } else if (now - follower.behindSince > mostBehindMs) follower.terminate();
  }

  private readonly onClose = onClose(this.all, this.perAddress);
}

// Shared by all, so that no follower has functions of its own.
function tooMuchSaid(this: WebSocket): void {
  if (this instanceof Follower && ++this.said > mostFollowerMessages) this.terminate();
}

function answered(this: WebSocket): void {
  if (this instanceof Follower) this.answered = true;
}

function ended(this: WebSocket): void {
  this.terminate();
}

function onClose(all: Set<Follower>, perAddress: Map<string, number>) {
  return function (this: WebSocket): void {
    if (!(this instanceof Follower) || !all.delete(this)) return;
    const left = (perAddress.get(this.from) ?? 1) - 1;
    if (left > 0) perAddress.set(this.from, left);
    else perAddress.delete(this.from);
  };
}

function hasOf(url: string): { session: string; seq: number } | null {
  const query = new URLSearchParams(url.slice(url.indexOf("?") + 1));
  const session = query.get("session");
  const seq = Number(query.get("seq"));
  return session !== null && Number.isSafeInteger(seq) ? { session, seq } : null;
}
