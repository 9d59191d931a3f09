import { showDepth } from "../dye/display.ts";
import { difference } from "./difference.ts";
import { type Dose, type Prediction, predict } from "./predict.ts";
import type { Yarn } from "./seen.ts";

/** A nep of another colour in a yarn. */
export type Fleck = {
  readonly name: string;
  readonly colour: Yarn;
  /** True where it takes dye as the yarn does; neps of other fibre may keep their colour. */
  readonly takesDye: boolean;
};

/** How a fleck stands out from the ground around it. */
export type FleckLook = {
  readonly name: string;
  readonly colour: Prediction;
  /** CIEDE2000 between the fleck and the ground. */
  readonly difference: number;
  readonly look: "shows" | "faint" | "sinks";
};

export type FleckReport = {
  readonly ground: Prediction;
  readonly flecks: readonly FleckLook[];
  readonly say: string;
  /** What to change so that every fleck shows; absent when all do, or nothing would. */
  readonly change?: { readonly times: number; readonly totalPct: number; readonly say: string };
};

/** From this CIEDE2000 a fleck shows, and under that it sinks: a fleck is small. No source. */
const SHOWS = 8;
const SINKS = 4;

/** Paler and deeper grounds that are tried, as shares of the doses, the nearest to them first. */
const TRIED = [0.9, 1.1, 0.8, 1.25, 0.7, 1.5, 0.6, 0.5, 2, 0.4, 0.3, 0.2, 3, 0.1, 4, 0.05] as const;

/** Predicts which flecks of a yarn still show on the ground that doses give, and what would help. */
export function flecksOn(
  yarn: Yarn,
  doses: readonly Dose[],
  flecks: readonly Fleck[],
): FleckReport {
  const ground = predict(yarn, doses);
  const looks = looksOf(yarn, doses, flecks);
  const lost = looks.filter(({ look }) => look !== "shows");
  if (lost.length === 0) {
    return { ground, flecks: looks, say: looks.length > 0 ? "Every fleck shows." : "No flecks." };
  }
  const say = looks.map(({ name, look, difference: d }) => `${name} ${look} (${d.toFixed(0)})`);
  const times = TRIED.find((share) =>
    looksOf(yarn, scaled(doses, share), flecks).every(({ look }) => look === "shows"),
  );
  const total = doses.reduce((sum, { depthPct }) => sum + depthPct, 0);
  return {
    ground,
    flecks: looks,
    say: `${say.join(", ")}: CIEDE2000 from the ground.`,
    ...(times === undefined || total === 0
      ? {}
      : { change: { times, totalPct: total * times, say: sayChange(times, total * times) } }),
  };
}

/** How the worst fleck stands out on a ground; 0 where there are none. */
export function faintest(yarn: Yarn, doses: readonly Dose[], flecks: readonly Fleck[]): number {
  const looks = looksOf(yarn, doses, flecks);
  return looks.length === 0 ? 0 : Math.min(...looks.map(({ difference: d }) => d));
}

function looksOf(yarn: Yarn, doses: readonly Dose[], flecks: readonly Fleck[]): FleckLook[] {
  const ground = predict(yarn, doses);
  return flecks.map(({ name, colour, takesDye }) => {
    const dyed = predict(colour, takesDye ? doses : []);
    const apart = difference(dyed.lab, ground.lab);
    const look = apart >= SHOWS ? "shows" : apart < SINKS ? "sinks" : "faint";
    return { name, colour: dyed, difference: apart, look };
  });
}

function scaled(doses: readonly Dose[], times: number): Dose[] {
  return doses.map(({ dye, depthPct }) => ({ dye, depthPct: depthPct * times }));
}

function sayChange(times: number, totalPct: number): string {
  const way = times < 1 ? "paler" : "deeper";
  return `A ${way} ground, ${showDepth(totalPct)} in all, would let every fleck show.`;
}
