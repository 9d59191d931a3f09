import type { Patch, Picture } from "../../shared/colour/picture.ts";

type Context = CanvasRenderingContext2D | OffscreenCanvasRenderingContext2D;

/** A decoded picture, upright as its camera meant it. */
export type Decoded = {
  readonly source: CanvasImageSource;
  readonly width: number;
  readonly height: number;
  close(): void;
};

/** What decodes and draws: a worker's means, or the page's where there is no worker. */
export type Studio = {
  /** Rejects what it cannot decode. */
  decode(file: Blob): Promise<Decoded>;
  canvas(width: number, height: number): Context | null;
};

/** The longest side of what is shown, and of the copy in which its colours are gathered, px. */
const LONGEST_SIDE = 1_600;
const SMALL_SIDE = 320;

/** The most pixels that are looked at in one marked piece; of a larger one every other and so on. */
const MOST_OF_A_PIECE = 1_000_000;

/** A picture with its whole size, px, and its pixels at a size that any screen can show. */
export type Viewed = { readonly width: number; readonly height: number; readonly pixels: Picture };

/** Decodes a picture and lets go of all but a view of it, and a small copy to find its colours in. */
export async function viewOf(
  studio: Studio,
  file: Blob,
): Promise<{ readonly view: Viewed; readonly small: Picture }> {
  return whileDecoded(studio, file, ({ source, width, height }) => {
    const context = scaled(studio, source, { width, height }, LONGEST_SIDE, "smooth");
    const pixels = pixelsOf(context);
    // Where pixels are mixed, the edge between two colours would come out as a third.
    const small = pixelsOf(scaled(studio, context.canvas, pixels, SMALL_SIDE, "picked"));
    return { view: { width, height, pixels }, small };
  });
}

/** Draws a picture no longer than `longest` px on a side. */
function scaled(
  studio: Studio,
  source: CanvasImageSource,
  { width, height }: { width: number; height: number },
  longest: number,
  how: "smooth" | "picked",
): Context {
  const scale = Math.min(1, longest / Math.max(width, height));
  const across = Math.max(1, Math.round(width * scale));
  const down = Math.max(1, Math.round(height * scale));
  const context = contextOf(studio, across, down);
  context.imageSmoothingEnabled = how === "smooth";
  context.imageSmoothingQuality = "high";
  context.drawImage(source, 0, 0, across, down);
  return context;
}

function pixelsOf(context: Context): Picture {
  const { width, height } = context.canvas;
  return { width, height, data: context.getImageData(0, 0, width, height).data };
}

/** Pieces of a picture below one another in one picture, and where each lies there. */
export type Pieces = { readonly picture: Picture; readonly at: readonly Patch[] };

/** Cuts pieces out of a picture as its camera took them, not out of the scaled view. */
export async function piecesOf(
  studio: Studio,
  file: Blob,
  patches: readonly Patch[],
): Promise<Pieces> {
  return whileDecoded(studio, file, (decoded) => {
    const taken = patches.map((patch) => within(patch, decoded));
    const at = stacked(taken);
    const across = Math.max(...at.map(({ width }) => width));
    const down = at.reduce((sum, { height }) => sum + height, 0);
    const context = contextOf(studio, across, down);
    // A pixel is taken or left, never mixed with its neighbours, so that a burnt one stays burnt.
    context.imageSmoothingEnabled = false;
    taken.forEach((from, order) => {
      const to = at[order] as Patch;
      context.drawImage(
        decoded.source,
        from.x,
        from.y,
        from.width,
        from.height,
        to.x,
        to.y,
        to.width,
        to.height,
      );
    });
    return { picture: context.getImageData(0, 0, across, down), at };
  });
}

/** The part of a patch that lies within a picture, at least one pixel of it. */
export function within(patch: Patch, { width, height }: { width: number; height: number }): Patch {
  const x = Math.min(Math.max(0, Math.round(patch.x)), width - 1);
  const y = Math.min(Math.max(0, Math.round(patch.y)), height - 1);
  return {
    x,
    y,
    width: Math.min(Math.max(1, Math.round(patch.width)), width - x),
    height: Math.min(Math.max(1, Math.round(patch.height)), height - y),
  };
}

/** Where pieces lie below one another, each no larger than is looked at. */
export function stacked(pieces: readonly Patch[]): Patch[] {
  let y = 0;
  return pieces.map(({ width, height }) => {
    const scale = Math.min(1, Math.sqrt(MOST_OF_A_PIECE / (width * height)));
    const piece = {
      x: 0,
      y,
      width: Math.max(1, Math.floor(width * scale)),
      height: Math.max(1, Math.floor(height * scale)),
    };
    y += piece.height;
    return piece;
  });
}

async function whileDecoded<Made>(
  studio: Studio,
  file: Blob,
  make: (decoded: Decoded) => Made,
): Promise<Made> {
  const decoded = await studio.decode(file);
  try {
    return make(decoded);
  } finally {
    decoded.close();
  }
}

function contextOf(studio: Studio, width: number, height: number): Context {
  const context = studio.canvas(width, height);
  if (!context) throw new Error("There is no canvas to draw on.");
  return context;
}
