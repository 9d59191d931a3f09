import type { Server as HttpServer, IncomingMessage } from "node:http";
import type { Duplex } from "node:stream";
import { type RelayWord, relayLivePath } from "../../shared/session/wire.ts";
import type { SessionRecord } from "../record/record.ts";
import { Followers } from "../relay/followers.ts";
import { Stage } from "../relay/stage.ts";
import { foreign } from "./origin.ts";
import type { Publisher } from "./publisher.ts";

/** How often it is looked whether somebody came or went, ms. */
const countMs = 500;
/** Under this the record keeps the last line. */
const lineKey = "followLine";

export type FollowLine = {
  /** What those get who ask instead of listening. */
  stage: Stage;
  /** Lets viewers in over this server. */
  open(http: HttpServer, names: readonly string[], onCount: (followers: number) => void): void;
  close(): void;
};

/**
 * The bench's own line to follow pages. It speaks as a relay does, in plain messages, so that the
 * page needs one way only and no library for it.
 */
export function followLine(
  publisher: Publisher,
  record: Pick<SessionRecord, "setting" | "setSetting">,
  clock: () => number,
): FollowLine {
  const stage = new Stage();
  // A bench that was started again comes after the one that it was, also where its clock was set back.
  const line = Math.max(Number(record.setting(lineKey) ?? 0) + 1, clock());
  record.setSetting(lineKey, String(line));
  let turn = 0;
  const clockWord = () =>
    JSON.stringify({ kind: "clock", now: clock(), bench: true } satisfies RelayWord);
  const followers = new Followers(stage, clock, clockWord);
  const tell = () => {
    for (const word of publisher.wordsAfter(stage.shown())) {
      turn += 1;
      const frame = stage.take({ line, turn, ...word });
      if (typeof frame !== "string") followers.send(frame);
    }
  };
  tell();
  publisher.listen(tell);
  let counting: NodeJS.Timeout | undefined;
  return {
    stage,
    open: (http, names, onCount) => {
      http.on("upgrade", (request: IncomingMessage, socket: Duplex, head: Buffer) => {
        if ((request.url ?? "").split("?")[0] !== relayLivePath) return;
        if (foreign(request.headers, names) === null) followers.welcome(request, socket, head);
        else socket.end("HTTP/1.1 403 Forbidden\r\nConnection: close\r\n\r\n");
      });
      let told = 0;
      counting = setInterval(() => {
        if (followers.count === told) return;
        told = followers.count;
        onCount(told);
      }, countMs);
      counting.unref();
    },
    close: () => {
      clearInterval(counting);
      followers.close();
    },
  };
}
