import { imageDimensionsFromData } from "image-dimensions";
import { MOST_PIXELS } from "../../shared/colour/mostPixels.ts";
import { type Refusal, refuse } from "../../shared/dye/refusal.ts";
import { plainJpeg } from "./jpeg.ts";
import { plainPng } from "./png.ts";
import { plainWebp } from "./webp.ts";

/** Kinds of pictures that are kept, by what their first bytes say. */
export const PICTURES = { jpeg: "image/jpeg", png: "image/png", webp: "image/webp" } as const;

export type PictureKind = keyof typeof PICTURES;

/** A picture without anything but what is seen of it; sizes in px. */
export type PlainPicture = {
  readonly kind: PictureKind;
  readonly width: number;
  readonly height: number;
  readonly bytes: Uint8Array;
};

const makePlain: Readonly<Record<PictureKind, (bytes: Uint8Array) => Uint8Array | null>> = {
  jpeg: plainJpeg,
  png: plainPng,
  webp: plainWebp,
};

/**
 * What is seen of a picture, and its colour profile; place, time, camera, comments, small copies and
 * whatever hangs behind its end are left out. The kind is read from the content, never from a name.
 * A turn that only the metadata told is lost with it.
 *
 * @returns a refusal for what is no JPEG, PNG or WebP, is broken, moves, or has over 64 megapixels
 */
export function plainPicture(bytes: Uint8Array): PlainPicture | Refusal {
  const header = imageDimensionsFromData(bytes);
  if (!header) return noPicture;
  const { type: kind, width, height } = header;
  if (kind !== "jpeg" && kind !== "png" && kind !== "webp") {
    return refuse(
      "picture.kind",
      `This is a picture of the kind ${kind.toUpperCase()}. Save it as JPEG, PNG or WebP.`,
    );
  }
  if (!(width > 0) || !(height > 0)) return noPicture;
  if (width * height > MOST_PIXELS) {
    return refuse(
      "picture.tooLarge",
      `This picture has ${width} by ${height} pixels, over ${MOST_PIXELS / 1e6} megapixels. Save it smaller.`,
    );
  }
  const plain = makePlain[kind](bytes);
  return plain ? { kind, width, height, bytes: plain } : noPicture;
}

const noPicture: Refusal = refuse(
  "picture.none",
  "This is not a picture that can be read, whatever its name says. Choose a JPEG, PNG or WebP.",
);
