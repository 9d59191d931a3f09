import { imageDimensionsFromData } from "image-dimensions";
import { MOST_PIXELS } from "../../shared/colour/mostPixels.ts";
import { type Refusal, refuse } from "../../shared/dye/refusal.ts";

/** What the first bytes of a picture say of it; sizes in px, as it is stored. */
export type Header = {
  readonly type: "png" | "jpeg" | "gif" | "webp" | "avif" | "heic";
  readonly width: number;
  readonly height: number;
};

/** A side shorter than this, px, leaves nothing to mark. */
const SHORTEST_SIDE = 16;

/**
 * Reads a picture's kind and size from its first bytes, before anything is decoded.
 *
 * @returns a refusal for what is no picture, is too small to sample or too large to hold, and for
 *   colours of printing inks, which are not those of a photograph
 */
export function headerOf(bytes: Uint8Array): Header | Refusal {
  const header = imageDimensionsFromData(bytes);
  const components = header?.type === "jpeg" ? componentsOf(bytes) : 3;
  if (!header || !(header.width > 0) || !(header.height > 0) || components === undefined) {
    return refuse(
      "picture.none",
      "This is not a picture that can be read, whatever its name says. Choose a JPEG, PNG or WebP.",
    );
  }
  const { type, width, height } = header;
  const size = `${width} by ${height} pixels`;
  if (width * height > MOST_PIXELS) {
    return refuse(
      "picture.tooLarge",
      `This picture has ${size}, ${Math.round((width * height) / 1e6)} megapixels: more than a tablet can hold. Save it smaller, up to ${MOST_PIXELS / 1e6} megapixels.`,
    );
  }
  if (Math.min(width, height) < SHORTEST_SIDE) {
    return refuse(
      "picture.tooSmall",
      `This picture has ${size}: too few to see a colour in. Take one of ${SHORTEST_SIDE} by ${SHORTEST_SIDE} or more.`,
    );
  }
  if (components === 4) {
    return refuse(
      "picture.inks",
      "The colours of this JPEG are printing inks (CMYK), not light. Save it as an RGB JPEG or PNG.",
    );
  }
  return { type, width, height };
}

/** Components of a JPEG's frame: 1 grey, 3 colour, 4 inks (ITU-T T.81, B.2.2). */
function componentsOf(bytes: Uint8Array): number | undefined {
  let at = 2;
  while (at + 9 < bytes.length) {
    const marker = bytes[at + 1] as number;
    // Decoders pass over whatever stands before a marker.
    if (bytes[at] !== 0xff || marker === 0xff) at += 1;
    else if (isFrame(marker)) return bytes[at + 9];
    else at += 2 + (((bytes[at + 2] as number) << 8) | (bytes[at + 3] as number));
  }
  return undefined;
}

/** SOF0 to SOF15, without DHT, JPG and DAC, which lie between. */
function isFrame(marker: number): boolean {
  return marker >= 0xc0 && marker <= 0xcf && ![0xc4, 0xc8, 0xcc].includes(marker);
}
