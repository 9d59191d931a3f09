import { showDepth } from "../dye/display.ts";
import { type Refusal, refuse, refused } from "../dye/refusal.ts";
import { type Curve, curveThrough, unitKs } from "./curve.ts";
import { difference } from "./difference.ts";
import { ksOf, reflectanceOf } from "./kubelkaMunk.ts";
import { xyzOfReflectance } from "./observer.ts";
import { type Seen, type Sighted, sightedOf, type Yarn, yarnOf } from "./seen.ts";
import { type Sight, unitKsOf } from "./smooth.ts";
import { BANDS, type Spectrum } from "./spectrum.ts";
import { labOfXyz } from "./tone.ts";

/** A dye seen on a yarn at one depth. */
export type Swatch = {
  /** Depth of shade, % owf, above 0. */
  readonly depthPct: number;
  readonly seen: Seen;
  /** The yarn it was dyed on, as it was before. */
  readonly yarn: Seen;
  /** Tells the yarn from another of the same colour. */
  readonly yarnId?: string;
  /** Sampled while wet; it dries lighter. */
  readonly wet?: boolean;
};

/** What has to be known about a swatch; `swatch` counts from 0 in the order given. */
export type Remark = Refusal & { readonly swatch: number };

/** How well a colour is known, in a word. */
export type Known = "well" | "fairly" | "roughly";

/** How well a dye is known at a depth at which it was seen. */
export type Surety = {
  /** % owf, above 0. */
  readonly depthPct: number;
  /** How far from the truth its colour may well be there on one of these yarns, CIEDE2000. */
  readonly uncertainty: number;
  readonly yarns: readonly Yarn[];
};

/** A dye as its swatches show it. */
export type Dye = {
  readonly curve: Curve;
  /** Depths at which it was seen, % owf, rising. */
  readonly depthsPct: readonly number[];
  /** How well it is known at each of them. */
  readonly sureties: readonly Surety[];
  /** True when every swatch is a reflectance, so that nothing had to be guessed. */
  readonly spectral: boolean;
  /** How far from the truth its colour may well be at its swatches' depths on their yarns, CIEDE2000. */
  readonly uncertainty: number;
  readonly known: Known;
  /** How well it is known, and from what. */
  readonly say: string;
  /** Swatches that were left out, clamped, or contradict each other. */
  readonly remarks: readonly Remark[];
};

/** A swatch comes back within this, CIEDE2000, or it is said that it does not. */
const SAME = 0.1;

/** A swatch that misses what dye can do by more is left out where there are others, CIEDE2000. */
const FAR_OFF = 3;

/** Depths closer than this share of each other are one depth. */
const SAME_DEPTH_SHARE = 0.01;

/** A deeper swatch may add this share less K/S before the two contradict each other. */
const LESS_BY_NOISE = 0.05;

/** Reflectances under this hide what the dye does, share. */
const BLACK_Y = 0.004;

/** Uncertainty up to which a dye is known well, or fairly, CIEDE2000; no source. */
const WELL = 1;
const FAIRLY = 2.5;

/** The least that a contradiction or a clamped swatch adds, CIEDE2000; no source. */
const LEAST_DOUBT = 2;

type Usable = { at: number; depthPct: number; sighted: Sighted; yarn: Yarn };

/**
 * Calibrates a dye from its swatches: the K/S that it adds to a yarn at each depth. One swatch is
 * enough and makes K/S straight in the depth; several show how it flattens. From a reflectance the
 * K/S is the swatch's less the yarn's (single-constant theory, as in SDC and AATCC texts on colour
 * measurement) and gives it back exactly; from a colour it is the smoothest that gives exactly that
 * colour. A swatch that is lighter than its yarn is clamped to what dye can do.
 *
 * @returns a refusal only when no swatch can be used
 */
export function calibrate(swatches: readonly Swatch[]): Dye | Refusal {
  const remarks: Remark[] = [];
  const usable: Usable[] = [];
  for (const [at, swatch] of swatches.entries()) {
    const read = usableOf(swatch, at);
    if (refused(read)) remarks.push({ ...read, swatch: at });
    else usable.push(read);
  }
  if (usable.length === 0) {
    return (
      remarks[0] ?? refuse("swatch.none", "Dye a swatch first: a depth, and the colour it gave.")
    );
  }
  usable.sort((a, b) => a.depthPct - b.depthPct || a.at - b.at);
  const { nodes, leftOut } = nodesOf(byDepth(usable));
  for (const { at, miss } of leftOut) {
    remarks.push({
      swatch: at,
      code: "swatch.leftOut",
      say: `This swatch is lighter than its yarn, which dye cannot do, and ${miss.toFixed(0)} CIEDE2000 from what it can: it is left out.`,
    });
  }
  for (const [n, node] of nodes.entries()) {
    remarks.push(...remarksOn(node), ...contradictions(node, nodes[n - 1]));
  }
  const used = nodes.flatMap(({ group }) => group);
  const sureties = nodes.map(suretyOf);
  const uncertainty =
    Math.hypot(...sureties.map((one) => one.uncertainty)) / Math.sqrt(nodes.length);
  const known = knownTo(uncertainty);
  return {
    curve: curveThrough(nodes),
    depthsPct: nodes.map(({ depthPct }) => depthPct),
    sureties,
    spectral: used.every(({ sighted }) => sighted.reflectance),
    uncertainty,
    known,
    say: sayKnown(known, used, uncertainty),
    remarks: remarks.sort((a, b) => a.swatch - b.swatch),
  };
}

/** The word for an uncertainty, CIEDE2000. */
export function knownTo(uncertainty: number): Known {
  return uncertainty <= WELL ? "well" : uncertainty <= FAIRLY ? "fairly" : "roughly";
}

/** K/S per % of depth of a dye with one swatch, or with several where it only begins to colour. */
export function unitKsOfSwatches(swatches: readonly Swatch[]): Spectrum | Refusal {
  const dye = calibrate(swatches);
  return refused(dye) ? dye : unitKs(dye.curve);
}

/** True for the same yarn: by its name where both have one, else by its colour. */
export function isSameYarn(a: Yarn, b: Yarn): boolean {
  if (a.id !== undefined && b.id !== undefined) return a.id === b.id;
  return difference(a.lab, b.lab) < 1;
}

function usableOf({ depthPct, seen, yarn, yarnId, wet }: Swatch, at: number): Usable | Refusal {
  if (!Number.isFinite(depthPct) || depthPct <= 0) {
    return refuse(
      "swatch.noDepth",
      "A swatch at 0 % is only the yarn: give the depth of shade it was dyed to.",
    );
  }
  if (wet) {
    return refuse(
      "swatch.wet",
      "A wet swatch is darker than it will be: let it dry and take its colour again.",
    );
  }
  const sighted = sightedOf(seen);
  if (refused(sighted)) return sighted;
  const before = yarnOf(yarn, yarnId);
  return refused(before) ? before : { at, depthPct, sighted, yarn: before };
}

function byDepth(usable: readonly Usable[]): Usable[][] {
  const groups: Usable[][] = [];
  for (const one of usable) {
    const group = groups.at(-1);
    const lowest = group?.[0];
    if (group && lowest && one.depthPct <= lowest.depthPct * (1 + SAME_DEPTH_SHARE))
      group.push(one);
    else groups.push([one]);
  }
  return groups;
}

function meanDepth(group: readonly Usable[]): number {
  return group.reduce((sum, { depthPct }) => sum + depthPct, 0) / group.length;
}

type Node = {
  group: readonly Usable[];
  depthPct: number;
  ks: Spectrum;
  measured: boolean;
  /** What contradicts or had to be clamped adds to its uncertainty, CIEDE2000. */
  doubt: number;
};

function doubt(node: Node, by: number): void {
  node.doubt = Math.hypot(node.doubt, Math.max(LEAST_DOUBT, by));
}

/**
 * K/S that the dye adds at each depth. Swatches that are lighter than their yarn are worked out by
 * themselves, so that they do not spoil the shape of the others, and left out when they are far off.
 */
function nodesOf(groups: readonly (readonly Usable[])[]): {
  nodes: Node[];
  leftOut: readonly { at: number; miss: number }[];
} {
  const leftOut: { at: number; miss: number }[] = [];
  const nodes: Node[] = [];
  const spared: Node[] = [];
  const together: { node: Node; sight: Sight }[] = [];
  for (const group of groups) {
    const depthPct = meanDepth(group);
    const measured = group.flatMap(({ sighted, yarn }) =>
      sighted.reflectance
        ? [sighted.reflectance.map((r, i) => Math.max(0, ksOf(r) - (yarn.ks[i] as number)))]
        : [],
    );
    if (measured.length > 0) {
      nodes.push({ group, depthPct, ks: mean(measured), measured: true, doubt: 0 });
      continue;
    }
    const sight = sightOf(group);
    const ks = scaled(unitKsOf([sight])[0] ?? new Float64Array(BANDS), depthPct);
    const node: Node = { group, depthPct, ks, measured: false, doubt: 0 };
    const miss = difference(labWith((group[0] as Usable).yarn, ks), labOfXyz(sight.xyz));
    if (miss > FAR_OFF && groups.length > 1) {
      leftOut.push(...group.map(({ at }) => ({ at, miss })));
      spared.push(node);
      continue;
    }
    nodes.push(node);
    if (miss <= SAME) together.push({ node, sight });
  }
  const [only] = spared;
  if (nodes.length === 0 && only) {
    nodes.push(only);
    leftOut.length = 0;
  }
  const known = nodes
    .filter((node) => node.measured)
    .map((node) => scaled(node.ks, 1 / node.depthPct));
  if (together.length > 1 || (together.length > 0 && known.length > 0)) {
    const units = unitKsOf(
      together.map(({ sight }) => sight),
      known.length > 0 ? mean(known) : undefined,
    );
    for (const [n, { node, sight }] of together.entries()) {
      const ks = scaled(units[n] ?? new Float64Array(BANDS), node.depthPct);
      const miss = difference(labWith((node.group[0] as Usable).yarn, ks), labOfXyz(sight.xyz));
      if (miss <= SAME) node.ks = ks;
    }
  }
  return { nodes, leftOut };
}

function scaled(ks: Spectrum, times: number): Spectrum {
  return ks.map((each) => each * times);
}

/** What the swatches of one depth show together: those on one yarn by their mean light. */
function sightOf(group: readonly Usable[]): Sight {
  const yarn = (group[0] as Usable).yarn;
  const alike = group.filter((one) => isSameYarn(one.yarn, yarn));
  const part = (channel: "x" | "y" | "z") =>
    alike.reduce((sum, { sighted }) => sum + sighted.xyz[channel], 0) / alike.length;
  return {
    xyz: { x: part("x"), y: part("y"), z: part("z") },
    yarnKs: yarn.ks,
    depthPct: meanDepth(alike),
  };
}

function mean(curves: readonly Spectrum[]): Spectrum {
  return Float64Array.from(
    { length: BANDS },
    (_, band) => curves.reduce((sum, curve) => sum + (curve[band] as number), 0) / curves.length,
  );
}

/** Colour of a yarn with K/S added to it. */
function labWith(yarn: Yarn, added: Spectrum) {
  return labOfXyz(
    xyzOfReflectance(yarn.ks.map((ks, band) => reflectanceOf(ks + (added[band] as number)))),
  );
}

/** What has to be said of the swatches of one depth; what is doubtful is noted with it. */
function remarksOn(node: Node): Remark[] {
  const { group, ks } = node;
  const remarks: Remark[] = [];
  const alone = group.length === 1;
  for (const { at, sighted, yarn } of group) {
    const fromYarn = difference(sighted.lab, yarn.lab);
    const miss = difference(labWith(yarn, ks), sighted.lab);
    if (fromYarn < SAME) {
      doubt(node, LEAST_DOUBT);
      remarks.push({
        swatch: at,
        code: "swatch.nothing",
        say: "This swatch has its yarn's colour: no dye shows, so nothing is known of it.",
      });
    } else if (alone && miss > SAME) {
      doubt(node, miss);
      remarks.push({
        swatch: at,
        code: "swatch.lighter",
        say: `This swatch is lighter than its yarn in part of the light, which dye cannot do: the nearest that it can is taken, ${miss.toFixed(1)} CIEDE2000 away.`,
      });
    }
    if (sighted.xyz.y < BLACK_Y) {
      doubt(node, LEAST_DOUBT);
      remarks.push({
        swatch: at,
        code: "swatch.black",
        say: "This swatch is so black that its dye hides in it: a swatch at a tenth of the depth would tell more.",
      });
    }
  }
  return remarks;
}

/** Where the swatches of one depth contradict each other or those of the depth before it. */
function contradictions(node: Node, shallower: Node | undefined): Remark[] {
  const [one, ...others] = node.group;
  if (!one) return [];
  const remarks: Remark[] = [];
  for (const other of others) {
    if (!isSameYarn(one.yarn, other.yarn)) continue;
    const apart = difference(one.sighted.lab, other.sighted.lab);
    if (apart > 2 * Math.hypot(one.sighted.uncertainty, other.sighted.uncertainty)) {
      remarks.push({
        swatch: other.at,
        code: "swatch.contradicts",
        say: `Two swatches at ${showDepth(one.depthPct)} are ${apart.toFixed(1)} CIEDE2000 apart: their mean is taken, but one of them is wrong.`,
      });
    }
  }
  const before = shallower?.group[0];
  if (!shallower || !before) return remarks;
  const less = strength(node.ks) < strength(shallower.ks) * (1 - LESS_BY_NOISE);
  if (less) {
    // Either may be the wrong one, and the truth lies between the two.
    const apart = nearestByScaling(one, shallower.ks, node.depthPct / shallower.depthPct);
    doubt(node, apart / 2);
    doubt(shallower, apart / 2);
    remarks.push({
      swatch: one.at,
      code: "swatch.contradicts",
      say: `The swatch at ${showDepth(one.depthPct)} is weaker than the one at ${showDepth(before.depthPct)}: one of the two has the wrong depth or colour.`,
    });
    return remarks;
  }
  const apart = nearestByScaling(one, shallower.ks);
  if (apart > ODD_ONE_OUT + 2 * Math.hypot(one.sighted.uncertainty, before.sighted.uncertainty)) {
    doubt(node, apart / 2);
    doubt(shallower, apart / 2);
    remarks.push({
      swatch: one.at,
      code: "swatch.contradicts",
      say: `The swatches at ${showDepth(before.depthPct)} and ${showDepth(one.depthPct)} look like two different dyes, ${apart.toFixed(0)} CIEDE2000 apart at any depth.`,
    });
  }
  return remarks;
}

/** A dye's hue wanders this much with its depth before it looks like another dye, CIEDE2000. */
const ODD_ONE_OUT = 6;

/**
 * How near the dye that another swatch shows can come to this swatch at whatever depth, or with so
 * many times its K/S and more.
 */
function nearestByScaling({ sighted, yarn }: Usable, ks: Spectrum, least = 1 / 32): number {
  let nearest = Number.POSITIVE_INFINITY;
  for (let times = least; times <= 64 * Math.max(1, least); times *= 1.1) {
    const lab = labWith(
      yarn,
      ks.map((each) => each * times),
    );
    nearest = Math.min(nearest, difference(lab, sighted.lab));
  }
  return nearest;
}

function strength(ks: Spectrum): number {
  return ks.reduce((sum, each) => sum + each, 0);
}

/**
 * How well the swatches of one depth show the dye: no better than the least sure of those that were
 * counted in, for a light or a screen that is off is off every time; what they differ among
 * themselves, and what contradicts them, makes it worse.
 */
function suretyOf(node: Node): Surety {
  const { group, depthPct, measured } = node;
  const counted = measured ? group.filter(({ sighted }) => sighted.reflectance) : group;
  const least = Math.max(...counted.map(({ sighted }) => sighted.uncertainty));
  return {
    depthPct,
    uncertainty: Math.hypot(least, spreadOf(group), node.doubt),
    yarns: counted.map(({ yarn }) => yarn),
  };
}

/** How far swatches of one depth on one yarn lie from their middle at the most, CIEDE2000. */
function spreadOf(group: readonly Usable[]): number {
  let widest = 0;
  for (const [n, a] of group.entries()) {
    for (const b of group.slice(n + 1)) {
      if (isSameYarn(a.yarn, b.yarn)) {
        widest = Math.max(widest, difference(a.sighted.lab, b.sighted.lab));
      }
    }
  }
  return widest / 2;
}

function sayKnown(known: Dye["known"], usable: readonly Usable[], uncertainty: number): string {
  const measured = usable.filter(({ sighted }) => sighted.reflectance).length;
  const way = measured === usable.length ? "measured along the spectrum" : "known by colour";
  const count = usable.length === 1 ? "one swatch" : `${usable.length} swatches`;
  const much = `${uncertainty.toFixed(1)} CIEDE2000`;
  const how = { well: "Well known", fairly: "Fairly known", roughly: "Roughly known" }[known];
  return `${how}: ${count}, ${way}, to about ${much}.`;
}
