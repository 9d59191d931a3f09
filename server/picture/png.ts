import { crc32 } from "node:zlib";
import { joined } from "./joined.ts";

const SIGNATURE = Uint8Array.of(0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a);

/** Chunks that say what is seen; text, Exif, time and those that nobody knows are not among them. */
const SEEN: ReadonlySet<string> = new Set([
  "IHDR",
  "PLTE",
  "tRNS",
  "IDAT",
  "IEND",
  "gAMA",
  "cHRM",
  "sRGB",
  "iCCP",
  "sBIT",
  "cICP",
]);

/**
 * A PNG by its chunks (ISO/IEC 15948, 5) with those alone that say what is seen, and without what
 * follows its end.
 *
 * @returns `null` where it is none, a chunk's checksum is wrong, or it ends too early
 */
export function plainPng(bytes: Uint8Array): Uint8Array | null {
  if (SIGNATURE.some((byte, n) => bytes[n] !== byte)) return null;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const kept: Uint8Array[] = [SIGNATURE];
  let pixels = false;
  let at = SIGNATURE.length;
  while (at + 12 <= bytes.length) {
    const length = view.getUint32(at);
    const end = at + 12 + length;
    if (end > bytes.length) return null;
    const kind = String.fromCharCode(...bytes.subarray(at + 4, at + 8));
    if (crc32(bytes.subarray(at + 4, end - 4)) !== view.getUint32(end - 4)) return null;
    if (kept.length === 1 && kind !== "IHDR") return null;
    if (kind === "IDAT") pixels = true;
    if (SEEN.has(kind)) kept.push(bytes.subarray(at, end));
    if (kind === "IEND") return pixels ? joined(kept) : null;
    at = end;
  }
  return null;
}
