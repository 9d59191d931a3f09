import { joined } from "./joined.ts";

/** Flags of the extended header that stand for Exif and for XMP. */
const EXIF_AND_XMP = 0x08 | 0x04;

/** Chunks that say what is seen of a picture that does not move. */
const SEEN: ReadonlySet<string> = new Set(["VP8 ", "VP8L", "VP8X", "ALPH", "ICCP"]);

/**
 * A WebP by its chunks (RFC 9649, 2) with those alone that say what is seen, and without what follows
 * its end.
 *
 * @returns `null` where it is none, moves, or ends too early
 */
export function plainWebp(bytes: Uint8Array): Uint8Array | null {
  if (bytes.length < 12 || wordAt(bytes, 0) !== "RIFF" || wordAt(bytes, 8) !== "WEBP") return null;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const whole = 8 + view.getUint32(4, true);
  if (whole > bytes.length) return null;
  const kept: Uint8Array[] = [];
  let pixels = 0;
  let at = 12;
  while (at + 8 <= whole) {
    const kind = wordAt(bytes, at);
    const length = view.getUint32(at + 4, true);
    // A chunk of an odd length is followed by one byte of nothing.
    const end = at + 8 + length + (length % 2);
    if (end > whole) return null;
    if (kind === "VP8 " || kind === "VP8L") pixels += 1;
    if (SEEN.has(kind)) kept.push(kind === "VP8X" ? bare(bytes, at, end) : bytes.slice(at, end));
    at = end;
  }
  if (pixels !== 1) return null;
  const body = joined(kept);
  const head = new Uint8Array(12);
  head.set(bytes.subarray(0, 12));
  new DataView(head.buffer).setUint32(4, 4 + body.length, true);
  return joined([head, body]);
}

/** The extended header without its word that there are Exif and XMP. */
function bare(bytes: Uint8Array, at: number, end: number): Uint8Array {
  const chunk = bytes.slice(at, end);
  chunk[8] = (chunk[8] ?? 0) & ~EXIF_AND_XMP;
  return chunk;
}

function wordAt(bytes: Uint8Array, at: number): string {
  return String.fromCharCode(...bytes.subarray(at, at + 4));
}
