import { type Look, looker } from "./look.ts";
import type { Decoded } from "./studio.ts";

/** A picture in a worker, so that the page never waits for it. */

const look = looker({
  async decode(file): Promise<Decoded> {
    const bitmap = await upright(file);
    return {
      source: bitmap,
      width: bitmap.width,
      height: bitmap.height,
      close: () => bitmap.close(),
    };
  },
  canvas: (width, height) =>
    new OffscreenCanvas(width, height).getContext("2d", { willReadFrequently: true }),
});

/** Turned as its EXIF says. */
async function upright(file: Blob): Promise<ImageBitmap> {
  try {
    return await createImageBitmap(file, { imageOrientation: "from-image" });
  } catch (error) {
    // Browsers that do not know the word turn pictures without being told.
    if (error instanceof TypeError) return createImageBitmap(file);
    throw error;
  }
}

self.onmessage = async ({ data }: MessageEvent<{ id: number; look: Look }>) => {
  const answer = await look(data.look);
  const transfer = "pixels" in answer ? [answer.pixels.data.buffer] : [];
  postMessage({ id: data.id, answer }, { transfer });
};
