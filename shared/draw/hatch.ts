import { coordinate } from "./polygon.ts";

/**
 * Slanting lines that fill a box, cut to it, as path data: the mark of an amount that was
 * estimated. Made of plain lines so that it needs no pattern and no id on the page.
 * @param gap between lines, px along the box
 */
export function hatchPath(
  left: number,
  top: number,
  width: number,
  height: number,
  gap: number,
): string {
  if (width <= 0 || height <= 0) return "";
  let path = "";
  for (let start = -height + gap / 2; start < width; start += gap) {
    const from = Math.max(0, start);
    const to = Math.min(width, start + height);
    if (to <= from) continue;
    path +=
      `M${coordinate(left + from)} ${coordinate(top + height - (from - start))}` +
      `L${coordinate(left + to)} ${coordinate(top + height - (to - start))}`;
  }
  return path;
}
