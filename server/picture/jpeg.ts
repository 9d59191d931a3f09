import { joined } from "./joined.ts";

const SOI = 0xd8;
const EOI = 0xd9;
const SOS = 0xda;
const APP0 = 0xe0;
const APP2 = 0xe2;
const APP14 = 0xee;
const APP15 = 0xef;
const COM = 0xfe;
const TEM = 0x01;

/**
 * A JPEG by its segments (ITU-T T.81, B.1) without comments and application data, where Exif, XMP,
 * IPTC and thumbnails stand, and without what follows its end. Only the colour profile (ICC.1, B.4)
 * and the kind of colour transform (ITU-T T.872, 6.5.3) are kept: without them its colours are others.
 *
 * @returns `null` where it is none, or ends too early
 */
export function plainJpeg(bytes: Uint8Array): Uint8Array | null {
  if (bytes[0] !== 0xff || bytes[1] !== SOI) return null;
  const kept = [bytes.subarray(0, 2)];
  let scans = 0;
  let at = 2;
  while (at < bytes.length) {
    // Any number of fill bytes may stand before a marker (B.1.1.2).
    if (bytes[at] !== 0xff) return null;
    while (bytes[at + 1] === 0xff) at += 1;
    const marker = bytes[at + 1];
    if (marker === undefined || marker === 0) return null;
    if (marker === EOI) {
      kept.push(Uint8Array.of(0xff, EOI));
      return scans > 0 ? joined(kept) : null;
    }
    if (marker === TEM || isRestart(marker)) {
      at += 2;
      continue;
    }
    const [high, low] = bytes.subarray(at + 2, at + 4);
    if (high === undefined || low === undefined) return null;
    const length = (high << 8) | low;
    const end = at + 2 + length;
    if (length < 2 || end > bytes.length) return null;
    const segment = bytes.subarray(at, end);
    if (isSeen(marker, segment)) kept.push(segment);
    at = end;
    if (marker !== SOS) continue;
    scans += 1;
    const from = at;
    at = endOfScan(bytes, at);
    kept.push(bytes.subarray(from, at));
  }
  return null;
}

function isRestart(marker: number): boolean {
  return marker >= 0xd0 && marker <= 0xd7;
}

function isSeen(marker: number, segment: Uint8Array): boolean {
  if (marker === COM) return false;
  if (marker < APP0 || marker > APP15) return true;
  if (marker === APP2) return begins(segment, "ICC_PROFILE\0");
  return marker === APP14 && begins(segment, "Adobe");
}

function begins(segment: Uint8Array, word: string): boolean {
  return [...word].every((letter, n) => segment[4 + n] === letter.charCodeAt(0));
}

/** Where the next marker stands after entropy-coded data, restarts being part of it. */
function endOfScan(bytes: Uint8Array, from: number): number {
  let at = from;
  for (;;) {
    at = bytes.indexOf(0xff, at);
    if (at === -1) return bytes.length;
    const next = bytes[at + 1];
    if (next !== undefined && next !== 0 && !isRestart(next)) return at;
    at += 2;
  }
}
