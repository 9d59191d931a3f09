import type { Picture } from "../../shared/colour/picture.ts";

/** A place in a picture, as shares of its width and height. */
export type Spot = { readonly x: number; readonly y: number };

/** Clear pixels, which have less than this of their alpha, show nothing. */
const CLEAR = 128;

/** Where a picture has a colour: the nearest of a grid of places, so that a mark can stand on it. */
export function spotOf(picture: Picture, hex: string): Spot {
  const wanted = [1, 3, 5].map((at) => Number.parseInt(hex.slice(at, at + 2), 16));
  const { width, height, data } = picture;
  const step = Math.max(1, Math.floor(Math.max(width, height) / 100));
  const apartAt = (x: number, y: number) => {
    const column = Math.min(width - 1, Math.max(0, x));
    const row = Math.min(height - 1, Math.max(0, y));
    const at = 4 * (row * width + column);
    return wanted.reduce((sum, channel, c) => sum + (channel - (data[at + c] as number)) ** 2, 0);
  };
  // Its surroundings count as well, so that a mark stands inside of a colour, not at its edge.
  const far = 2 * step;
  const around = [
    [0, 0],
    [far, 0],
    [-far, 0],
    [0, far],
    [0, -far],
  ] as const;
  let best = { x: 0.5, y: 0.5 };
  let least = Number.POSITIVE_INFINITY;
  const rim = Math.min(far, Math.floor(Math.min(width, height) / 4));
  for (let y = rim; y < height - rim; y += step) {
    for (let x = rim; x < width - rim; x += step) {
      if ((data[4 * (y * width + x) + 3] as number) < CLEAR) continue;
      const apart = around.reduce((sum, [dx, dy]) => sum + apartAt(x + dx, y + dy), 0);
      if (apart >= least) continue;
      least = apart;
      best = { x: (x + 0.5) / width, y: (y + 0.5) / height };
    }
  }
  return best;
}

/** The mean colour of a small square of a picture around a place, `#rrggbb`; null where it is clear. */
export function hexAt(picture: Picture, spot: Spot): string | null {
  const { width, height, data } = picture;
  const cx = Math.min(width - 1, Math.max(0, Math.floor(spot.x * width)));
  const cy = Math.min(height - 1, Math.max(0, Math.floor(spot.y * height)));
  const reach = Math.min(3, Math.floor(Math.max(width, height) / 100));
  const sums = [0, 0, 0];
  let count = 0;
  for (let y = Math.max(0, cy - reach); y <= Math.min(height - 1, cy + reach); y++) {
    for (let x = Math.max(0, cx - reach); x <= Math.min(width - 1, cx + reach); x++) {
      const at = 4 * (y * width + x);
      if ((data[at + 3] as number) < CLEAR) continue;
      count++;
      for (let c = 0; c < 3; c++) sums[c] = (sums[c] as number) + (data[at + c] as number);
    }
  }
  if (count === 0) return null;
  const digits = sums.map((sum) =>
    Math.round(sum / count)
      .toString(16)
      .padStart(2, "0"),
  );
  return `#${digits.join("")}`;
}
