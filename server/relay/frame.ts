/**
 * A text message as it goes over a WebSocket from a server: one unmasked frame (RFC 6455, section
 * 5.2). Made once, the same bytes are written to everybody.
 */
export function textFrame(text: string): Buffer {
  const payload = Buffer.from(text);
  const { length } = payload;
  const head =
    length < 126
      ? Buffer.from([finalText, length])
      : length < 65_536
        ? Buffer.from([finalText, 126, length >> 8, length & 255])
        : longHead(length);
  return Buffer.concat([head, payload]);
}

const finalText = 0x81;

function longHead(length: number): Buffer {
  const head = Buffer.alloc(10);
  head[0] = finalText;
  head[1] = 127;
  head.writeBigUInt64BE(BigInt(length), 2);
  return head;
}
