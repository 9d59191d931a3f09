import { randomBytes } from "node:crypto";
import { connect, type Socket } from "node:net";

/** Who does harm, and how many of each there are at any time. */
export type HarmAsked = { port: number; halfOpen: number; flooders: number; slow: number };
/** How many were there at once, and how many a relay has ended by now. */
export type HarmWord = { there: number; ended: number };

const gapMs = 5;
let there = 0;
let ended = 0;

process.on("message", (asked: HarmAsked | { tell: true }) => {
  if ("tell" in asked) {
    process.send?.({ there, ended } satisfies HarmWord);
    return;
  }
  const { port, halfOpen, flooders, slow } = asked;
  for (let n = 0; n < halfOpen; n++) keep(port, beHalfOpen);
  for (let n = 0; n < flooders; n++) keep(port, flood);
  for (let n = 0; n < slow; n++) keep(port, readNothing);
});
process.once("disconnect", () => process.exit(0));

/** One connection that does harm, and comes again when it was ended. */
function keep(port: number, harm: (socket: Socket) => void): void {
  const socket = connect(port, "127.0.0.1", () => {
    there += 1;
    harm(socket);
  });
  socket.on("error", () => {});
  socket.on("close", () => {
    there -= 1;
    ended += 1;
    setTimeout(() => keep(port, harm), 100 + Math.random() * 400);
  });
}

/** Half of them say nothing at all, the others half a request. */
function beHalfOpen(socket: Socket): void {
  if (Math.random() < 0.5) socket.write("GET /live HTTP/1.1\r\nHost: a");
}

function enter(socket: Socket): void {
  socket.write(
    `GET /live HTTP/1.1\r\nHost: a\r\nUpgrade: websocket\r\nConnection: Upgrade\r\nSec-WebSocket-Version: 13\r\nSec-WebSocket-Key: ${randomBytes(16).toString("base64")}\r\n\r\n`,
  );
}

function flood(socket: Socket): void {
  enter(socket);
  // A masked text frame of 100 bytes.
  const frame = Buffer.concat([
    Buffer.from([0x81, 0x80 | 100, 0, 0, 0, 0]),
    Buffer.alloc(100, "x"),
  ]);
  const flooding = setInterval(() => socket.write(frame), gapMs);
  socket.on("close", () => clearInterval(flooding));
  socket.resume();
}

function readNothing(socket: Socket): void {
  enter(socket);
  socket.pause();
}
