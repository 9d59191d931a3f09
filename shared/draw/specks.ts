import { grain } from "./grain.ts";
import { closedPath, type Point } from "./polygon.ts";

/** More specks than this cannot be told apart, and take long to draw. */
const MOST = 180;
const CORNERS = 6;

/**
 * Specks scattered by chance that together cover about a share of an area; where they would be too
 * many they are larger. Path data.
 *
 * @param coverage 0 to 1
 * @param whole the area, px squared
 * @param radius of a speck, px
 * @param place where the next one lies
 */
export function specksPath(
  seed: string,
  coverage: number,
  whole: number,
  radius: number,
  place: (next: () => number) => Point,
): string {
  const next = grain(`${seed} specks`);
  const smallest = Math.max(0.8, radius);
  const share = Math.max(0, Math.min(1, coverage));
  const wanted = (share * whole) / (Math.PI * smallest * smallest);
  const count = Math.min(MOST, Math.max(share > 0 ? 3 : 0, Math.round(wanted)));
  const size = smallest * Math.sqrt(Math.max(1, wanted / MOST));
  let path = "";
  for (let index = 0; index < count; index += 1) {
    const { x, y } = place(next);
    const turn = next() * Math.PI;
    const reach = size * (0.7 + 0.6 * next());
    const outline = Array.from({ length: CORNERS }, (_, corner): Point => {
      const angle = turn + (corner / CORNERS) * 2 * Math.PI;
      const out = reach * (0.75 + 0.5 * next());
      return { x: x + Math.cos(angle) * out, y: y + Math.sin(angle) * out };
    });
    path += closedPath(outline);
  }
  return path;
}
