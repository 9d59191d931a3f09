import { difference } from "../colour/difference.ts";
import { type Sighted, sightedOf } from "../colour/seen.ts";
import { type Lab, shownLab } from "../colour/tone.ts";
import { refused } from "../dye/refusal.ts";
import type { Outcome } from "./bench.ts";
import { predictedZones, type Zone } from "./predicted.ts";
import type { Id } from "./setup.ts";
import type { State } from "./state.ts";

/** A skein's colour as it was really seen, for a screen. */
export type SeenColour = { how: "photographed" | "measured"; hex: string };

/** What an outcome shows; `null` where it has no colour, or one that was only judged by eye. */
export function seenColour(outcome: Outcome | undefined): SeenColour | null {
  const seen = outcome?.seen;
  if (seen === undefined || seen.how === "typed") return null;
  const sighted = sightedOf(seen);
  if (refused(sighted)) return null;
  const how = seen.how === "photographed" ? "photographed" : "measured";
  return { how, hex: shownLab(sighted.lab).hex };
}

/** The same for a skein, else for another one of its colourway on the same yarn. */
export function seenOfLot(state: State, id: Id): SeenColour | null {
  const there = state.bench.skeins[id];
  if (!there) return null;
  const own = seenColour(there.outcome);
  const { colourway, base } = there.skein;
  if (own || colourway === undefined) return own;
  for (const { skein, outcome } of Object.values(state.bench.skeins)) {
    if (skein.colourway !== colourway || skein.base !== base) continue;
    const seen = seenColour(outcome);
    if (seen) return seen;
  }
  return null;
}

/** A colour that was seen, held against the prediction for its skein. */
export type Comparison = {
  /** CIEDE2000, from the zone of the skein that comes nearest. */
  difference: number;
  /** The nearest zone, and its place among all of them, from 0; 0 is the ground. */
  zone: Zone;
  place: number;
  zones: number;
  /** How far apart the two may well be when both are right, CIEDE2000. */
  doubt: number;
  fit: "as predicted" | "near" | "off";
  say: string;
};

/** How a skein came out beside its prediction; `null` without a colour or a prediction. */
export function comparison(state: State, id: Id): Comparison | null {
  const seen = state.bench.skeins[id]?.outcome?.seen;
  const sighted = seen === undefined ? null : sightedOf(seen);
  if (sighted === null || refused(sighted)) return null;
  return compared(sighted, predictedZones(state, id));
}

/** A seen colour beside the zones that a skein was predicted to have. */
export function compared(sighted: Sighted, zones: readonly Zone[]): Comparison | null {
  const apart = zones.map(({ lab }) => difference(sighted.lab, lab));
  const least = Math.min(...apart);
  const place = apart.indexOf(least);
  const zone = zones[place];
  if (!zone) return null;
  const doubt = Math.hypot(zone.uncertainty, sighted.uncertainty);
  const fit = least <= doubt ? "as predicted" : least <= 2 * doubt ? "near" : "off";
  const told: Omit<Comparison, "say"> = {
    difference: least,
    zone,
    place,
    zones: zones.length,
    doubt,
    fit,
  };
  return { ...told, say: sayComparison(told, sighted.lab) };
}

function sayComparison(
  { difference, zone, zones, doubt, fit }: Omit<Comparison, "say">,
  seen: Lab,
) {
  const where =
    zones === 1
      ? "the prediction"
      : zone.patch
        ? `the nearest of ${zones} predicted colours, a patch`
        : `the nearest of ${zones} predicted colours, the ground`;
  const much = `${difference.toFixed(1)} CIEDE2000 from ${where}`;
  const way = sayWay(zone.lab, seen);
  switch (fit) {
    case "as predicted":
      return `${much}: as predicted. Up to ${doubt.toFixed(1)} was to be expected.`;
    case "near":
      return `${much}, ${way}: further than the ${doubt.toFixed(1)} to be expected, but no surprise.`;
    case "off":
      return `${much}, ${way}: well off. Up to ${doubt.toFixed(1)} was to be expected.`;
  }
}

/** Which way a colour strays, by its largest part in CIELAB: "darker than predicted". */
function sayWay(predicted: Lab, seen: Lab): string {
  const chroma = (lab: Lab) => Math.hypot(lab.a, lab.b);
  const lighter = seen.l - predicted.l;
  const stronger = chroma(seen) - chroma(predicted);
  const turned = Math.sqrt(
    Math.max(0, (seen.a - predicted.a) ** 2 + (seen.b - predicted.b) ** 2 - stronger ** 2),
  );
  const most = Math.max(Math.abs(lighter), Math.abs(stronger), turned);
  if (most === Math.abs(lighter)) return lighter > 0 ? "lighter" : "darker";
  if (most === Math.abs(stronger)) return stronger > 0 ? "more vivid" : "greyer";
  return "of another hue";
}
