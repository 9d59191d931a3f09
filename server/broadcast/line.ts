import {
  EventSubscription,
  type OBSEventTypes,
  type OBSRequestTypes,
  OBSWebSocket,
  OBSWebSocketError,
} from "obs-websocket-js/json";
import type * as z from "zod";

/** Why there is no line to the broadcasting software. */
export type Cause = "away" | "wrongPassword" | "stranger" | "flood";

export class LineProblem extends Error {
  constructor(readonly why: Cause) {
    super(why);
  }
}

/** A request that the broadcasting software refused or did not answer. `code` is the protocol's. */
export class Refused extends Error {
  constructor(
    readonly code: number,
    message: string,
  ) {
    super(message);
  }
}

/** The protocol's codes that mean something to us. */
export const codes = { notReady: 207, noSource: 600, wrongKind: 602, badKind: 605 } as const;
/** Our own, for a request that got no answer, and for one whose answer is none. */
export const noAnswer = -1;
const badAnswer = -2;

/** How long the other side may take to be reached and to greet, and to answer a request, ms. */
const greetMs = 3_000;
const answerMs = 8_000;

/** More than the broadcasting software ever says: above this it is a stranger that floods. */
const mostMessages = 1_000;
const mostCharacters = 64 * 1024 * 1024;
/** A still of the whole canvas as text has about 10 MB; the largest message taken in, characters. */
const longestMessage = 32 * 1024 * 1024;

const wanted =
  EventSubscription.General |
  EventSubscription.Config |
  EventSubscription.Scenes |
  EventSubscription.Inputs |
  EventSubscription.Outputs |
  EventSubscription.Ui;

/** The library's connection, which hangs up on whoever floods. */
class Guarded extends OBSWebSocket {
  flooded = false;
  private second = 0;
  private messages = 0;
  private characters = 0;

  protected override async decodeMessage(data: string) {
    // A binary message is no part of the text protocol; it is counted as too long.
    const size = typeof data === "string" ? data.length : longestMessage + 1;
    const second = Math.floor(performance.now() / 1000);
    if (second !== this.second) {
      this.second = second;
      this.messages = 0;
      this.characters = 0;
    }
    this.messages += 1;
    this.characters += size;
    if (size > longestMessage || this.messages > mostMessages || this.characters > mostCharacters) {
      this.flooded = true;
      this.cut();
      throw new Error("flood");
    }
    return super.decodeMessage(data);
  }

  /** Ends the connection without waiting for the other side to agree. */
  cut(): void {
    const socket: unknown = this.socket;
    if (hasTerminate(socket)) socket.terminate();
  }
}

function hasTerminate(socket: unknown): socket is { terminate(): void } {
  return typeof socket === "object" && socket !== null && "terminate" in socket;
}

/** One open line to the broadcasting software. */
export class Line {
  private waiting = new Set<(reason: Error) => void>();
  private open = true;

  private constructor(
    private readonly socket: Guarded,
    /** Requests that this build answers. */
    readonly can: ReadonlySet<string>,
  ) {}

  /**
   * Reaches, greets and identifies.
   *
   * @throws LineProblem
   */
  static async dial(address: string, password: string, onEnd: (cause: Cause) => void) {
    const socket = new Guarded();
    let line: Line | null = null;
    socket.on("ConnectionClosed", () => {
      if (!line?.open) return;
      line.end();
      onEnd(socket.flooded ? "flood" : "away");
    });
    let late: NodeJS.Timeout | undefined;
    let reached = false;
    socket.on("ConnectionOpened", () => {
      reached = true;
    });
    try {
      const silence = new Promise<never>((_resolve, reject) => {
        late = setTimeout(() => {
          // One that has greeted properly and then falls silent is no stranger.
          reject(new LineProblem(reached && !socket.identified ? "stranger" : "away"));
        }, greetMs);
      });
      const greeted = async () => {
        await socket.connect(address, password, { rpcVersion: 1, eventSubscriptions: wanted });
        const version = await socket.call("GetVersion");
        if (!Array.isArray(version?.availableRequests)) throw new LineProblem("stranger");
        return new Set(version.availableRequests.map(String));
      };
      const work = greeted();
      // What comes of it after its time is no longer of interest.
      work.catch(() => {});
      line = new Line(socket, await Promise.race([work, silence]));
      return line;
    } catch (error) {
      socket.cut();
      if (socket.flooded) throw new LineProblem("flood");
      throw error instanceof LineProblem ? error : new LineProblem(causeOf(error));
    } finally {
      clearTimeout(late);
    }
  }

  /**
   * Asks and reads the answer.
   *
   * @throws Refused, also where the line ends before the answer or the answer cannot be read
   */
  async ask<Name extends keyof OBSRequestTypes, T>(
    name: Name,
    data: OBSRequestTypes[Name] | undefined,
    answer: z.ZodType<T>,
  ): Promise<T> {
    if (!this.open) throw new Refused(badAnswer, "The line is closed.");
    let give: (reason: Error) => void = () => {};
    let late: NodeJS.Timeout | undefined;
    try {
      const ended = new Promise<never>((_resolve, reject) => {
        give = reject;
        late = setTimeout(() => reject(new Refused(noAnswer, "It did not answer.")), answerMs);
      });
      this.waiting.add(give);
      const asked = this.socket.call(name, data);
      asked.catch(() => {});
      const read = answer.safeParse(await Promise.race([asked, ended]));
      if (!read.success) throw new Refused(badAnswer, `Its answer to ${name} cannot be read.`);
      return read.data;
    } catch (error) {
      if (error instanceof Refused) throw error;
      if (error instanceof OBSWebSocketError) throw new Refused(error.code, error.message ?? "");
      throw new Refused(badAnswer, "The line is closed.");
    } finally {
      clearTimeout(late);
      this.waiting.delete(give);
    }
  }

  /** Listens to an event; what cannot be read is passed over. */
  on<Name extends keyof OBSEventTypes, T>(
    name: Name,
    schema: z.ZodType<T>,
    listener: (data: T) => void,
  ): void {
    const take = (data: unknown) => {
      const read = schema.safeParse(data);
      if (read.success && this.open) listener(read.data);
    };
    this.socket.on(name, take as never);
  }

  hangUp(): void {
    this.end();
    this.socket.cut();
  }

  private end(): void {
    this.open = false;
    for (const give of this.waiting) give(new Refused(badAnswer, "The line is closed."));
    this.waiting.clear();
    this.socket.removeAllListeners();
  }
}

const authenticationFailed = 4009;

/** A refused or unreachable port is someone who is away; all else that answers is a stranger. */
function causeOf(error: unknown): Cause {
  if (!(error instanceof OBSWebSocketError)) return "stranger";
  if (error.code === authenticationFailed) return "wrongPassword";
  if (
    /ECONNREFUSED|ENOTFOUND|EAI_AGAIN|EHOSTUNREACH|ENETUNREACH|ETIMEDOUT|ECONNRESET/.test(
      error.message,
    )
  ) {
    return "away";
  }
  return "stranger";
}
