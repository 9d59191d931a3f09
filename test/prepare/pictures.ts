/** Beginnings of picture files, made by their published formats. */

/** PNG signature and IHDR (ISO/IEC 15948); without its checksum, for nothing is decoded of it. */
export function pngHead(width: number, height: number): Uint8Array {
  const bytes = new Uint8Array(64);
  bytes.set([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a, 0, 0, 0, 13, 0x49, 0x48, 0x44, 0x52]);
  const view = new DataView(bytes.buffer);
  view.setUint32(16, width);
  view.setUint32(20, height);
  bytes.set([8, 2], 24);
  return bytes;
}

/** SOI, a comment of `before` bytes where there is one, and SOF0 (ITU-T T.81, B.2). */
export function jpegHead(
  width: number,
  height: number,
  { components = 3, before = 0 }: { components?: number; before?: number } = {},
): Uint8Array {
  const comment = before > 0 ? [0xff, 0xfe, (before + 2) >> 8, (before + 2) & 0xff] : [];
  const frame = [
    ...[0xff, 0xc0, 0, 8 + 3 * components, 8],
    ...[height >> 8, height & 0xff, width >> 8, width & 0xff, components],
    ...Array.from({ length: components }, (_, n) => [n + 1, 0x11, 0]).flat(),
  ];
  return Uint8Array.from([
    ...[0xff, 0xd8],
    ...comment,
    ...new Array<number>(before).fill(0xc0),
    ...frame,
    ...[0xff, 0xda, 0, 12, 3, 1, 0, 2, 0x11, 3, 0x11, 0, 63, 0],
  ]);
}

/** Header and screen of a GIF89a. */
export function gif(width: number, height: number): Uint8Array {
  const bytes = new Uint8Array(32);
  bytes.set([0x47, 0x49, 0x46, 0x38, 0x39, 0x61]);
  const view = new DataView(bytes.buffer);
  view.setUint16(6, width, true);
  view.setUint16(8, height, true);
  return bytes;
}

/**
 * A JPEG with an Exif segment after its beginning that tells how it is to be turned (Exif 2.32,
 * tag 0x0112 in IFD0; 6 is a quarter turn clockwise).
 */
export function turnedJpeg(jpeg: Uint8Array, orientation: number): Uint8Array {
  const exif = [
    ...[0x45, 0x78, 0x69, 0x66, 0, 0],
    ...[0x4d, 0x4d, 0, 0x2a, 0, 0, 0, 8],
    ...[0, 1, 0x01, 0x12, 0, 3, 0, 0, 0, 1, 0, orientation, 0, 0],
    ...[0, 0, 0, 0],
  ];
  const length = exif.length + 2;
  return Uint8Array.from([
    ...jpeg.slice(0, 2),
    ...[0xff, 0xe1, length >> 8, length & 0xff],
    ...exif,
    ...jpeg.slice(2),
  ]);
}
