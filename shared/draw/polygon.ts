/** A point in drawing units (CSS px), y downwards. */
export interface Point {
  readonly x: number;
  readonly y: number;
}

/** A number as a path writes it: two decimals at most, never an exponent. */
export function coordinate(value: number): string {
  return String(Math.round(value * 100) / 100 || 0);
}

/** A closed outline as path data; empty for fewer than three points. */
export function closedPath(points: readonly Point[]): string {
  return points.length < 3 ? "" : `${openPath(points)}Z`;
}

/**
 * A line through points as path data: the first point, then steps to a tenth of a pixel, each
 * taken from where the last one really ended so that rounding does not add up.
 */
export function openPath(points: readonly Point[]): string {
  let path = "";
  let stepped = false;
  let x = 0;
  let y = 0;
  points.forEach((point, index) => {
    const toX = Math.round(point.x * 10);
    const toY = Math.round(point.y * 10);
    if (index === 0) path = `M${tenths(toX)} ${tenths(toY)}`;
    else if (toX !== x || toY !== y) {
      path += `${stepped ? " " : "l"}${tenths(toX - x)} ${tenths(toY - y)}`;
      stepped = true;
    }
    x = toX;
    y = toY;
  });
  return path;
}

function tenths(count: number): string {
  return String(count / 10);
}

/** Area inside a closed outline, in square units, whichever way round it runs. */
export function area(points: readonly Point[]): number {
  let twice = 0;
  points.forEach((point, index) => {
    const next = points[(index + 1) % points.length] ?? point;
    twice += point.x * next.y - next.x * point.y;
  });
  return Math.abs(twice) / 2;
}

/** The part of an outline at or below a level (y >= level). Sutherland-Hodgman, one edge. */
export function below(points: readonly Point[], level: number): Point[] {
  return halved(points, (point) => point.y - level);
}

/** The part of an outline at or above a level (y <= level). */
export function above(points: readonly Point[], level: number): Point[] {
  return halved(points, (point) => level - point.y);
}

function halved(points: readonly Point[], inside: (point: Point) => number): Point[] {
  const kept: Point[] = [];
  points.forEach((point, index) => {
    const next = points[(index + 1) % points.length] ?? point;
    const here = inside(point);
    const there = inside(next);
    if (here >= 0) kept.push(point);
    if ((here < 0 && there > 0) || (here > 0 && there < 0)) {
      const share = here / (here - there);
      kept.push({
        x: point.x + (next.x - point.x) * share,
        y: point.y + (next.y - point.y) * share,
      });
    }
  });
  return kept.length < 3 ? [] : kept;
}
