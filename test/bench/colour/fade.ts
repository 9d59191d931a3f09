import { fade } from "../../../shared/colour/fade.ts";
import { refused } from "../../../shared/dye/refusal.ts";
import { chance } from "../../record/chance.ts";
import { depthOf, shelfOf } from "./shelf.ts";

/** Step ratios of fades between two or three recipes of up to three dyes, on 3 to 9 skeins of 50 g. */
export function fadeRatios(count: number) {
  const { yarn, shelf } = shelfOf(51, 40);
  const random = chance(52);
  const exact: number[] = [];
  const measurable: number[] = [];
  while (exact.length < count) {
    const dyes = [...new Set([0, 1, 2].map(() => Math.floor(random() * shelf.length)))].flatMap(
      (at) => shelf[at] ?? [],
    );
    const stop = () =>
      Object.fromEntries(dyes.map(({ id }) => [id, random() < 0.3 ? 0 : depthOf(random)]));
    const stops = random() < 0.3 ? [stop(), stop(), stop()] : [stop(), stop()];
    const skeins = 3 + Math.floor(random() * 7);
    const planned = fade({ yarn, dyes, stops, skeins });
    if (refused(planned)) continue;
    exact.push(planned.exactRatio);
    measurable.push(planned.ratio);
  }
  return { exact, measurable };
}
