import { randomBytes } from "node:crypto";
import { connect, type Socket } from "node:net";

/** What a crowd is told to do: let so many in, spread over so long; or tell how it went. */
export type CrowdAsked =
  | { join: number; port: number; path: string; overMs: number }
  | { tell: true };
export type CrowdWord =
  | { joined: number; snapshotMs: readonly number[] }
  | { tookMs: readonly number[]; orderly: boolean };

// Followers that do as little as can be, so that many fit into one process: each reads its frames
// and notes the sentAt of a change against this machine's clock.
const mark = Buffer.from('"sentAt":');
const seqMark = Buffer.from('"turn":');
const tookMs: number[] = [];
let orderly = true;

process.on("message", (asked: CrowdAsked) => {
  if ("tell" in asked) {
    process.send?.({ tookMs: tookMs.splice(0), orderly } satisfies CrowdWord);
    return;
  }
  const { join, port, path, overMs } = asked;
  const snapshotMs: number[] = [];
  const began = performance.now();
  let left = join;
  const one = () => {
    const from = performance.now();
    let shown = false;
    enter(port, path, () => {
      if (shown) return;
      shown = true;
      snapshotMs.push(performance.now() - from);
      left -= 1;
      if (left === 0) process.send?.({ joined: join, snapshotMs } satisfies CrowdWord);
    });
  };
  let entered = 0;
  const letIn = setInterval(() => {
    const due = Math.min(join, Math.ceil((join * (performance.now() - began)) / overMs));
    while (entered < due) {
      entered += 1;
      one();
    }
    if (entered === join) clearInterval(letIn);
  }, 10);
});
process.once("disconnect", () => process.exit(0));

/** One follower; `onView` is called with each view or change. */
function enter(port: number, path: string, onView: () => void): void {
  const socket: Socket = connect(port, "127.0.0.1");
  socket.setNoDelay(true);
  let open = false;
  let rest: Buffer = Buffer.alloc(0);
  let turn = -1;
  socket.write(
    `GET ${path} HTTP/1.1\r\nHost: 127.0.0.1:${port}\r\nUpgrade: websocket\r\nConnection: Upgrade\r\nSec-WebSocket-Version: 13\r\nSec-WebSocket-Key: ${randomBytes(16).toString("base64")}\r\n\r\n`,
  );
  const read = (part: Buffer) => {
    rest = rest.length === 0 ? part : Buffer.concat([rest, part]);
    if (!open) {
      const end = rest.indexOf("\r\n\r\n");
      if (end < 0) return;
      if (!rest.subarray(0, 12).toString().endsWith("101"))
        throw new Error("a follower was refused");
      open = true;
      rest = rest.subarray(end + 4);
    }
    for (;;) {
      const frame = frameOf(rest);
      if (!frame) break;
      rest = rest.subarray(frame.end);
      if (frame.code === 9) {
        socket.write(Buffer.from([0x8a, 0x80, 0, 0, 0, 0]));
        continue;
      }
      const at = frame.payload.lastIndexOf(mark);
      if (at < 0) continue;
      const sentAt = Number.parseFloat(
        frame.payload.toString("latin1", at + mark.length, at + mark.length + 20),
      );
      if (sentAt > 0) tookMs.push(performance.timeOrigin + performance.now() - sentAt);
      const seqAt = frame.payload.lastIndexOf(seqMark);
      if (seqAt >= 0) {
        const next = Number.parseInt(
          frame.payload.toString("latin1", seqAt + seqMark.length, seqAt + seqMark.length + 12),
          10,
        );
        if (next <= turn) orderly = false;
        turn = next;
      }
      onView();
    }
    // What is left over must not hold a large block of memory.
    if (rest.length === 0) rest = nothing;
  };
  socket.on("data", read);
  socket.on("error", (error) => {
    throw error;
  });
}

const nothing: Buffer = Buffer.alloc(0);

function frameOf(bytes: Buffer): { code: number; payload: Buffer; end: number } | null {
  if (bytes.length < 2) return null;
  const code = (bytes[0] ?? 0) & 15;
  const short = (bytes[1] ?? 0) & 127;
  const head = short === 126 ? 4 : short === 127 ? 10 : 2;
  if (bytes.length < head) return null;
  const length =
    short === 126
      ? bytes.readUInt16BE(2)
      : short === 127
        ? Number(bytes.readBigUInt64BE(2))
        : short;
  const end = head + length;
  return bytes.length < end ? null : { code, payload: bytes.subarray(head, end), end };
}
