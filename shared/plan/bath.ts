import {
  type Acid,
  type AcidMasses,
  acidPctOnFibre,
  acidUgForPct,
  convertAcid,
  phBeforeYarn,
  titratableMol,
} from "../dye/acid.ts";
import { depthPct, liquorRatio } from "../dye/depth.ts";
import type { DyeClass, Practice } from "../dye/dyeClass.ts";
import { dyeablePct } from "../dye/fibre.ts";
import { totalUg } from "../dye/vessel.ts";
import type { Id, Method } from "../session/setup.ts";
import type { Shelf, ShelfBase } from "../shelf/shelf.ts";
import type { Plan, PlanPan, PlanSkein } from "./plan.ts";
import type { Walk } from "./walk.ts";

/** Usual liquor ratios of a method, mL a gram (common practice, no source). */
export const RATIOS: Readonly<Record<Method, { least: number; most: number }>> = {
  immersion: { least: 10, most: 60 },
  dipped: { least: 10, most: 60 },
  lowWater: { least: 2, most: 8 },
  painted: { least: 0.5, most: 2 },
};

/** The bath of a pan as the plan makes it. Depths are of dye offered, % owf. */
export type Bath = {
  pan: PlanPan;
  skeins: readonly PlanSkein[];
  /** Dry fibre in it and the part of that which takes acid dye, ug. */
  fibreUg: number;
  dyeableUg: number;
  waterUl: number;
  /** The most liquor at any time, and at the end, uL. */
  peakUl: number;
  finalUl: number;
  /** Liquor ratio at the fullest, mL a gram; null without fibre. */
  ratio: number | null;
  acids: AcidMasses;
  /** pH at the first heat, before the yarn, and the protons that titration finds, mol; null for a dry pan. */
  ph: number | null;
  titratableMol: number;
  saltUg: number;
  classes: readonly DyeClass[];
  practice: Practice;
  depthPct: number;
  pours: number;
  /** Acetic acid by weight of fibre that is usual for its dyes, ug, and citric in its place. */
  usualAceticUg: number;
  usualCitricUg: { atPhUg: number; titratableUg: number };
};

/** A skein's depth as the pours add up, beside what it is meant to reach, % owf. */
export type Depths = {
  skein: PlanSkein;
  depthPct: number;
  /** Of the fibre that takes acid dye; null where none of it does. */
  dyeablePct: number | null;
  targetPct: number | null;
  /** Deepest where one pour touches it. */
  localPct: number;
};

/** The baths of a plan that was walked, pan by pan in its order. */
export function bathsOf(plan: Plan, shelf: Shelf, walked: Walk): Bath[] {
  const bases = basesOf(shelf);
  return plan.pans.flatMap((pan) => {
    const there = walked.pans.get(pan.id);
    if (!there) return [];
    const { skeins, fibreUg, heatedAt, acids, practice } = there;
    const dyeableUg = skeins.reduce((sum, skein) => sum + dyeableUgOf(skein, bases), 0);
    const { alkalinityMgPerL } = plan.workroom;
    const alkaline = alkalinityMgPerL === undefined ? {} : { alkalinityMgPerL };
    const usualAceticUg = acidUgForPct(practice.aceticPct, fibreUg);
    return [
      {
        pan,
        skeins,
        fibreUg,
        dyeableUg,
        waterUl: there.waterUl,
        peakUl: there.peakUl,
        finalUl: there.finalUl,
        ratio: fibreUg > 0 ? liquorRatio(there.peakUl, fibreUg) : null,
        acids,
        ph: heatedAt
          ? phBeforeYarn({ volumeUl: heatedAt.bathUl, acids: heatedAt.acids, ...alkaline })
          : null,
        titratableMol: titratableMol(acids),
        saltUg: there.saltUg,
        classes: there.classes,
        practice,
        depthPct: fibreUg > 0 ? depthPct(totalUg(there.dyes), fibreUg) : 0,
        pours: there.pours,
        usualAceticUg,
        usualCitricUg: convertAcid(usualAceticUg, "acetic", "citric", practice.targetPh),
      },
    ];
  });
}

/** The depths of a plan's skeins, in its order. */
export function depthsOf(plan: Plan, shelf: Shelf, walked: Walk): Depths[] {
  const bases = basesOf(shelf);
  return plan.skeins.map((skein) => {
    const there = walked.skeins.get(skein.id);
    const dyeUg = totalUg(there?.dyes ?? {});
    const dyeableUg = dyeableUgOf(skein, bases);
    return {
      skein,
      depthPct: depthPct(dyeUg, skein.massUg),
      dyeablePct: dyeableUg > 0 ? depthPct(dyeUg, dyeableUg) : null,
      targetPct: skein.targetPct ?? null,
      localPct: there?.localPct ?? 0,
    };
  });
}

/** The acid in a bath as per cent of its fibre, each by itself; empty without fibre. */
export function acidPcts(bath: Bath): Partial<Record<Acid, number>> {
  if (bath.fibreUg === 0) return {};
  const pcts: Partial<Record<Acid, number>> = {};
  for (const [acid, ug] of Object.entries(bath.acids)) {
    if (ug > 0) pcts[acid as Acid] = acidPctOnFibre(ug, bath.fibreUg);
  }
  return pcts;
}

export function basesOf(shelf: Shelf): ReadonlyMap<Id, ShelfBase> {
  return new Map(shelf.bases.map((base) => [base.id, base]));
}

function dyeableUgOf(skein: PlanSkein, bases: ReadonlyMap<Id, ShelfBase>): number {
  const base = bases.get(skein.base);
  return base ? Math.round((skein.massUg * Math.min(100, dyeablePct(base.fibres))) / 100) : 0;
}
