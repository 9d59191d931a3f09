import type { Patch } from "../../shared/colour/picture.ts";

/** A rectangle marked on a picture, in shares of its width and height. */
export type Frame = {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
};

export type Corner = { readonly x: number; readonly y: number };

/** A frame is not made smaller than this, share of a side. */
const SMALLEST = 0.01;

/** The frame between two corners, however they lie; within the picture. */
export function between(one: Corner, other: Corner): Frame {
  const left = within(Math.min(one.x, other.x), 0, 1 - SMALLEST);
  const top = within(Math.min(one.y, other.y), 0, 1 - SMALLEST);
  return {
    x: left,
    y: top,
    width: within(Math.max(one.x, other.x) - left, SMALLEST, 1 - left),
    height: within(Math.max(one.y, other.y) - top, SMALLEST, 1 - top),
  };
}

/** A frame moved as far as the picture goes. */
export function moved({ x, y, width, height }: Frame, across: number, down: number): Frame {
  return {
    x: within(x + across, 0, 1 - width),
    y: within(y + down, 0, 1 - height),
    width,
    height,
  };
}

/** A frame with its lower right corner moved. */
export function resized({ x, y, width, height }: Frame, across: number, down: number): Frame {
  return {
    x,
    y,
    width: within(width + across, SMALLEST, 1 - x),
    height: within(height + down, SMALLEST, 1 - y),
  };
}

/** A frame after a key: arrows move it, with Shift they stretch it; null for any other key. */
export function keyed(frame: Frame, key: string, shift: boolean, step: number): Frame | null {
  const way = ARROWS[key];
  if (!way) return null;
  const [across, down] = way;
  return (shift ? resized : moved)(frame, across * step, down * step);
}

const ARROWS: Readonly<Record<string, readonly [number, number]>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
};

/** The pixels that a frame marks. */
export function patchOf(frame: Frame, { width, height }: { width: number; height: number }): Patch {
  const x = Math.floor(frame.x * width);
  const y = Math.floor(frame.y * height);
  return {
    x,
    y,
    width: Math.max(1, Math.min(width - x, Math.round(frame.width * width))),
    height: Math.max(1, Math.min(height - y, Math.round(frame.height * height))),
  };
}

function within(value: number, least: number, most: number): number {
  return Math.min(Math.max(value, least), Math.max(least, most));
}
