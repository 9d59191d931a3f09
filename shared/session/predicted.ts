import { keptFor, keptWith } from "../colour/kept.ts";
import { type Dose, dosesOf, type Prediction, predict, yarnOfBase } from "../colour/predict.ts";
import { type Laid, predictSkein, type SkeinZones } from "../colour/skein.ts";
import { type Known, knownTo } from "../colour/swatch.ts";
import type { Lab } from "../colour/tone.ts";
import { depthPct } from "../dye/depth.ts";
import { type DyeMasses, totalUg } from "../dye/vessel.ts";
import type { Base, Dye, Id, Pour } from "./setup.ts";
import type { State } from "./state.ts";

/** A predicted colour for a screen. */
export type Tint = {
  /** `#rrggbb`, the nearest that a screen has. */
  hex: string;
  /** How far the yarn may well be from it, CIEDE2000, to a tenth. */
  uncertainty: number;
  /** False where no screen has the colour itself. */
  inGamut: boolean;
};

/** The share of a skein that a pour touched, and the colour it has there. */
export type Patch = Tint & {
  coverage: number;
  /** True where it fell as specks all over rather than on one part. */
  specks: boolean;
};

/** A skein as it is expected to look, dry and rinsed: a prediction, never a measurement. */
export type SkeinColour = {
  /** Where only what covers the whole skein went. */
  ground: Tint;
  /** Pours that did not cover it, in their order, at most six. */
  patches: readonly Patch[];
  /** How well the least known of these is known. */
  known: Known;
};

/** What a yarn without a base is taken for. */
export const undyed = "#f3ecdf";

/** What one pour brought a skein, ug per dye. */
export type PourOn = Pick<Pour, "coverage" | "technique" | "placement"> & {
  /** Bottle, jug or powder. */
  source: Id;
  dyes: DyeMasses;
};

/**
 * Predicts a skein of so much fibre from all the dye that it was offered and the pours which brought
 * part of that to part of it; what no pour accounts for, such as the dye of a bath, is everywhere.
 *
 * @param dyes dyes by short name
 * @param all ug per dye, all pours counted in
 */
export function predictedSkein(
  base: Base | undefined,
  massUg: number,
  dyes: Readonly<Record<Id, Dye>>,
  all: DyeMasses,
  pours: readonly PourOn[],
): SkeinColour {
  const zones = zonesOf(base, massUg, dyes, all, pours);
  if (!zones) return { ground: unread(base), patches: [], known: "roughly" };
  const patches = zones.patches.map(({ coverage, technique, colour }) => ({
    coverage,
    specks: technique === "speckled",
    ...tintOf(colour),
  }));
  const tint = tintOf(zones.ground);
  const worst = Math.max(tint.uncertainty, ...patches.map(({ uncertainty }) => uncertainty));
  return { ground: tint, patches, known: knownTo(worst) };
}

/** Doses of pours that were made, which stay as they are while others come after them. */
const broughtBy = keptWith<readonly Dose[]>();

function zonesOf(
  base: Base | undefined,
  massUg: number,
  dyes: Readonly<Record<Id, Dye>>,
  all: DyeMasses,
  pours: readonly PourOn[],
): SkeinZones | null {
  const yarn = yarnOfBase(base ?? { hex: undyed });
  if (!yarn) return null;
  const ground: Record<Id, number> = { ...all };
  const laid: Laid[] = [];
  for (const { coverage, technique, placement, source, dyes: own } of pours) {
    if (coverage >= 1) continue;
    for (const [dye, ug] of Object.entries(own)) ground[dye] = Math.max(0, (ground[dye] ?? 0) - ug);
    const brought = broughtBy(own, [dyes, massUg], () => doses(dyes, own, massUg));
    laid.push({ coverage, technique, placement, source, doses: brought });
  }
  return predictSkein(yarn, doses(dyes, ground, massUg), laid);
}

function unread(base: Base | undefined): Tint {
  return { hex: base?.hex ?? undyed, uncertainty: 0, inGamut: true };
}

function doses(
  dyes: Readonly<Record<Id, Dye>>,
  masses: DyeMasses,
  massUg: number,
): readonly Dose[] {
  return dosesOf(
    Object.entries(masses).flatMap(([id, ug]) => {
      const swatch = Object.hasOwn(dyes, id) ? dyes[id] : undefined;
      return swatch && ug > 0 ? [{ swatch, depthPct: depthPct(ug, massUg) }] : [];
    }),
  );
}

function tintOf({ hex, uncertainty, inGamut }: Prediction): Tint {
  return { hex, uncertainty: Math.round(uncertainty * 10) / 10, inGamut };
}

/*
 * Viewers are told at every event, and an event changes a skein or two. A skein on the bench is made
 * anew whenever something is poured on it, so its colour is kept with it.
 */
const skeins = keptWith<SkeinColour>();

/** Predicted colour of a skein of a session with what it was offered so far. */
export function skeinColour(state: State, id: Id): SkeinColour {
  const { bench, setup } = state;
  const there = bench.skeins[id];
  if (!there) return { ground: unread(undefined), patches: [], known: "roughly" };
  const { base, massUg } = there.skein;
  return skeins(there, [setup], () =>
    predictedSkein(setup.bases[base], massUg, setup.dyes, there.dyes, poursOn(state, id)),
  );
}

/** What a pour came from, by which one from the same is known. */
export function sourceOf({ source }: Pick<Pour, "source">): string {
  return source.from === "vessel" ? `bottle ${source.vessel}` : `powder ${source.dye}`;
}

/** The pours that reached only part of a skein, in their order. */
function poursOn({ bench }: State, id: Id): PourOn[] {
  return bench.poured.flatMap(({ pour, doses }): PourOn[] => {
    const dose = doses.find(({ skein }) => skein === id);
    if (!dose || pour.coverage >= 1) return [];
    const { coverage, technique, placement } = pour;
    return [
      {
        coverage,
        technique,
        ...(placement === undefined ? {} : { placement }),
        source: sourceOf(pour),
        dyes: dose.dyes,
      },
    ];
  });
}

/** Where a skein shows a colour: on its ground, or in a patch that is so large a share of it. */
export type Zone = { coverage: number; patch: boolean; lab: Lab; hex: string; uncertainty: number };

/** The predicted colours of a skein in CIELAB, its ground first, for holding a measured one against. */
export function predictedZones(state: State, id: Id): Zone[] {
  const there = state.bench.skeins[id];
  if (!there) return [];
  const { bases, dyes } = state.setup;
  const { base, massUg } = there.skein;
  const zones = zonesOf(bases[base], massUg, dyes, there.dyes, poursOn(state, id));
  if (!zones) return [];
  const { ground, patches } = zones;
  const zone = ({ lab, hex, uncertainty }: Prediction) => ({ lab, hex, uncertainty });
  return [
    { coverage: 1, patch: false, ...zone(ground) },
    ...patches.map(({ coverage, colour }) => ({ coverage, patch: true, ...zone(colour) })),
  ];
}

const mostLiquors = 500;
const liquors = keptWith<ReturnType<typeof keptFor<Tint>>>();
const wholeParts = 100_000;

/** Predicted colour of a liquor as 1 % of it would dye the session's first base. */
export function liquorTint(state: State, masses: DyeMasses): Tint {
  const { bases, dyes } = state.setup;
  const [base] = Object.values(bases);
  const parts = partsOf(masses);
  const ofSetup = liquors(state.setup, [], () => keptFor<Tint>(mostLiquors));
  return ofSetup(JSON.stringify(parts), () => liquorOn(base, dyes, parts));
}

/**
 * Predicted colour of a liquor as 1 % of it would dye a yarn.
 *
 * @param dyes dyes by short name
 * @param masses ug per dye, or any parts
 */
export function liquorOn(
  base: Base | undefined,
  dyes: Readonly<Record<Id, Dye>>,
  masses: DyeMasses,
): Tint {
  const parts = partsOf(masses);
  const yarn = yarnOfBase(base ?? { hex: undyed });
  if (!yarn || totalUg(parts) === 0) return unread(base);
  // So much fibre that all the dye together is 1 % of it.
  return tintOf(predict(yarn, doses(dyes, parts, wholeParts * 100)));
}

/** A colour is of the proportions alone; by whole parts it is the same however a bottle empties. */
function partsOf(masses: DyeMasses): DyeMasses {
  const all = totalUg(masses);
  const parts: Record<Id, number> = {};
  if (all === 0) return parts;
  for (const [id, ug] of Object.entries(masses)) parts[id] = Math.round((ug / all) * wholeParts);
  return parts;
}

const chips = keptWith<Tint>();

/** A dye as its swatches show it at the depth of its first one, on that one's yarn. */
export function dyeTint(dye: Dye): Tint {
  return chips(dye, [], () => {
    const yarn = yarnOfBase({ hex: dye.swatchBaseHex });
    const own = dosesOf([{ swatch: dye, depthPct: dye.swatchDepthPct }]);
    const seen = yarn ? tintOf(predict(yarn, own)) : unread(undefined);
    // Where nothing but the typed colour is known, it is shown as it was typed.
    return dye.swatches?.length ? seen : { ...seen, hex: dye.hex, inGamut: true };
  });
}
