/**
 * The least server that keeps a record and acknowledges over a socket, and that acknowledges before
 * the event is kept, as no server may: the reader of the system-call trace has to see it.
 */
import { createServer } from "node:http";
import { Server } from "socket.io";
import { openRecord } from "../../server/record/record.ts";
import type { Answer } from "../../shared/session/wire.ts";

const [folder, port] = process.argv.slice(2);
if (folder === undefined) throw new Error("name the data folder");

const record = openRecord(folder);
const http = createServer((_, response) => {
  response.end("{}");
});
const sockets = new Server(http);
let seq = 0;

sockets.of("/bench").on("connection", (socket) => {
  socket.on("command", (envelope: { id: string }, answer: (answer: Answer) => void) => {
    answer({ ok: true, session: "dusk", seq: seq + 1 });
    setTimeout(() => {
      const now = Date.now();
      const kept: Answer = { ok: true, session: "dusk", seq: seq + 1 };
      record.append("dusk", seq, envelope.id, now, now, [envelope], kept);
      seq += 1;
    }, 5);
  });
});

http.listen(Number(port), "127.0.0.1");
