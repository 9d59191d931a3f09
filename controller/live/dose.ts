import { depthPct, localDepthPct } from "../../shared/dye/depth.ts";
import { depthParts, showDepth, showStrength } from "../../shared/dye/display.ts";
import { strengthPct } from "../../shared/dye/strength.ts";
import { totalUg } from "../../shared/dye/vessel.ts";
import type { Id, Pour, Technique } from "../../shared/session/setup.ts";
import type { State } from "../../shared/session/state.ts";

/** What a pour would do to one skein, % owf, all dyes summed. */
export type Change = { skein: Id; beforePct: number; afterPct: number; localPct: number };

/** What a pour would do to each of its skeins, at the bottle's strength now. */
export function changesOf(state: State, pour: Pour): Change[] {
  const { source, shares, coverage } = pour;
  const vessel = source.from === "vessel" ? state.bench.vessels[source.vessel]?.vessel : undefined;
  const dyeUg =
    source.from === "powder"
      ? source.amount.massUg
      : vessel && vessel.madeUl > 0
        ? (totalUg(vessel.madeUg) * source.amount.volumeUl) / vessel.madeUl
        : 0;
  const parts = shares.reduce((sum, share) => sum + share.parts, 0);
  return shares.flatMap((share) => {
    const there = state.bench.skeins[share.skein];
    if (!there) return [];
    const mine = (dyeUg * share.parts) / parts;
    const fibreUg = there.skein.massUg;
    const beforePct = depthPct(totalUg(there.dyes), fibreUg);
    return [
      {
        skein: share.skein,
        beforePct,
        afterPct: beforePct + depthPct(mine, fibreUg),
        localPct: localDepthPct(mine, fibreUg, coverage),
      },
    ];
  });
}

/** Skeins whose depth goes the same way are told together. */
export type Told = { skeins: Id[]; before: string; after: string };

export function toldTogether(changes: readonly Change[]): Told[] {
  const told = new Map<string, Told>();
  for (const { skein, beforePct, afterPct } of changes) {
    const before = depthParts(beforePct).figure;
    const after = showDepth(afterPct);
    const key = `${before} ${after}`;
    const same = told.get(key);
    if (same) same.skeins.push(skein);
    else told.set(key, { skeins: [skein], before, after });
  }
  return [...told.values()];
}

const techniques: Readonly<Record<Technique, string>> = {
  immersion: "into the bath",
  lowWater: "low water",
  painted: "painted",
  dripped: "dripped",
  speckled: "speckled dry",
};

export function sayTechnique(technique: Technique): string {
  return techniques[technique];
}

/** How a pour meets the yarn where that is worth saying: "painted on 60 %: far half of the skein". */
export function sayPlacing({ technique, coverage, placement }: Pour): string {
  const plain = (technique === "immersion" || technique === "lowWater") && coverage >= 1;
  const how = plain
    ? ""
    : coverage >= 1
      ? sayTechnique(technique)
      : `${sayTechnique(technique)} on ${Math.round(coverage * 1000) / 10}\u202f%`;
  return [how, placement ?? ""].filter((text) => text !== "").join(": ");
}

/** Strength of a bottle or jug as it stands, "1 %". */
export function sayStrength(state: State, vessel: Id): string {
  const held = state.bench.vessels[vessel];
  if (!held) return "";
  return showStrength(strengthPct(totalUg(held.vessel.madeUg), held.vessel.madeUl));
}
