import type { Point } from "../../shared/draw/polygon.ts";

/** The corners of path data made of M (absolute), l (relative) and Z, one list for each outline. */
export function pathPoints(path: string): Point[][] {
  return path
    .split("M")
    .filter((outline) => outline !== "")
    .map((outline) => {
      const numbers = (outline.match(/-?\d+(\.\d+)?/g) ?? []).map(Number);
      const points: Point[] = [];
      for (let index = 0; index + 1 < numbers.length; index += 2) {
        const last = points.at(-1) ?? { x: 0, y: 0 };
        points.push({ x: last.x + (numbers[index] ?? 0), y: last.y + (numbers[index + 1] ?? 0) });
      }
      return points;
    });
}
