import {
  depthParts,
  massParts,
  type Parts,
  showCelsius,
  showCount,
  showDepth,
  showMass,
  showPlusMinus,
  showStrength,
  showVolume,
  THIN_SPACE,
  volumeParts,
} from "../../dye/display.ts";
import type { Recap } from "../../recap/recap.ts";
import type { Heating, Id, Technique } from "../setup.ts";
import type {
  PublicDose,
  PublicPour,
  PublicSkein,
  PublicStep,
  PublicTimer,
  PublicView,
} from "./publicView.ts";

/** How long an unplanned pour stays in the main panel after it was made, ms. */
export const justPouredMs = 12_000;
/** Dyes named on a waiting panel and timers shown at once; more are counted. */
export const mostStrips = 6;
export const mostTimers = 3;
/** Hanks drawn in a pan, and dyes listed for one skein. */
const mostHanks = 6;
const mostDyes = 3;

/** A dye as a strip of yarn: dipped, or with dry powder on it. */
export type StripLook = {
  dyedHex: string;
  undyedHex: string;
  seed: string;
  dry: boolean;
  /** Parts of it in colours of their own, on a strip of a skein. */
  patches?: readonly PatchLook[];
};

/** A name that may be as long as names get, and what must stay whole around it. */
export type Phrase = { before: string; name: string; after: string };

export type AmountLook = Parts & {
  /** "Volume", "24 drops", "about, ± 5 mL". */
  label: string;
  /** True until the amount is measured or settled. */
  about: boolean;
  /** The rule it stands on; absent for a mass, or when rules are hidden. */
  rule?: { volumeUl: number; plusMinusUl: number; fillHex: string };
};

export type DepthRow = { whose: string; before: string; after: string };

export type DepthLook = {
  /** "Depth of shade", with "about" or "on average" where that is so. */
  label: string;
  /** One row when all skeins are alike, else two. Figures are % owf. */
  rows: readonly DepthRow[];
  /** What the pour adds where it touches the yarn, when it does not touch all of it. */
  local?: string;
};

export type HankLook = {
  id: Id;
  label: string;
  /** Depth so far as a share of all that is planned, 0 to 1. */
  fill: number;
  dyedHex: string;
  undyedHex: string;
  flecks: readonly string[];
  patches: readonly PatchLook[];
  ringed: boolean;
};

/** A part of a skein in a colour of its own. */
export type PatchLook = { hex: string; coverage: number; specks: boolean };

export type PanLook = { name: string; bath: number; hanks: readonly HankLook[] };

export type DyeShare = { name: string; depth: string; strip: StripLook };

/** A skein of the tally. */
export type Lot = {
  id: Id;
  name: string;
  /** What stands behind the name, such as a skein's colourway. */
  of: string;
  depth: string;
  /** Predicted colour of its ground, and of its patches. */
  hex: string;
  patches: readonly PatchLook[];
  undyedHex: string;
  dyes: readonly DyeShare[];
  /** Dyes that are not listed. */
  moreDyes: number;
};

/** One leaf of a list that may be longer than the screen. */
export type Leaf = { lots: readonly Lot[]; page: number; pages: number };

export type Main =
  | { kind: "none" }
  | {
      kind: "waiting" | "closed";
      kicker: string;
      title: string;
      lines: readonly string[];
      strips: readonly { name: string; strip: StripLook }[];
      moreStrips: number;
    }
  | {
      kind: "pour";
      just: boolean;
      kicker: string;
      title: Phrase;
      strip: StripLook;
      where: Phrase;
      manner: string;
      amount: AmountLook;
      depth?: DepthLook;
      pan?: PanLook;
    }
  | {
      kind: "add";
      kicker: string;
      title: string;
      where: Phrase;
      amount: AmountLook;
      bath?: { before: string; after: string };
      pan?: PanLook;
    }
  | {
      kind: "heat";
      kicker: string;
      title: Phrase;
      lines: readonly string[];
      time: TimeLook;
      pan?: PanLook;
    }
  | ({ kind: "tally"; title: string; kicker: string } & Leaf)
  | { kind: "recap"; recap: Recap };

export type TimeLook = {
  /** "24:59", "25 min" before it starts, "time is up" after. */
  figure: string;
  unit: string;
  /** What the figure is: "left of 25 min". */
  label: string;
  leftS: number;
  totalS: number;
};

export type TimerLook = TimeLook & { id: Id; title: Phrase };

export type Scene = { main: Main; timers: readonly TimerLook[]; moreTimers: number };

/** What the page knows that the session does not. */
export type Showing = {
  /** When what the main panel shows now came up, ms on the server's clock. */
  since: number;
  /** Lots that a leaf of the tally has room for, 1 or more. */
  tallyRoom: number;
};

/**
 * All that the broadcast page draws, cautions apart, in words and figures.
 *
 * @param now the server's clock, ms
 */
export function overlayScene(view: PublicView, now: number, showing: Showing): Scene {
  const main = mainOf(view, now, showing);
  const waitedFor = main.kind === "heat" ? timerOfStep(view, currentOf(view)) : undefined;
  const running =
    view.overlay.parts.timers && view.overlay.view !== "hidden"
      ? Object.entries(view.timers).filter(([id]) => id !== waitedFor?.[0])
      : [];
  const timers = running
    .sort(([, a], [, b]) => endOf(a) - endOf(b))
    .map(([id, timer]) => ({
      id,
      title: panDoing(view, timer),
      ...timeOf(timer, now),
    }));
  return {
    main,
    timers: timers.slice(0, mostTimers),
    moreTimers: Math.max(0, timers.length - mostTimers),
  };
}

function mainOf(view: PublicView, now: number, showing: Showing): Main {
  const { phase } = view.session;
  switch (view.overlay.view) {
    case "hidden":
      return { kind: "none" };
    case "waiting":
      return opening(view);
    case "tally":
      return tally(view, now, showing);
    case "recap":
      return view.recap ? { kind: "recap", recap: view.recap } : tally(view, now, showing);
    case "auto":
      break;
  }
  if (phase === "ready") return opening(view);
  if (phase === "closed") return ending(view);
  const just = justPoured(view, now);
  if (just) return pouring(view, just, true);
  const step = currentOf(view);
  switch (step?.kind) {
    case "pour":
      return pouring(view, step.pour, false);
    case "add":
      return adding(view, step);
    case "heat":
      return heating(view, step, now);
    case undefined:
      return tally(view, now, showing);
  }
}

function currentOf(view: PublicView): PublicStep | undefined {
  return view.current === undefined ? undefined : view.steps[view.current];
}

/** The newest pour, if it was not on the pour sheet and was made a moment ago. */
function justPoured(view: PublicView, now: number) {
  const last = Object.values(view.poured).reduce<PublicView["poured"][string] | undefined>(
    (newest, one) => (newest && newest.n > one.n ? newest : one),
    undefined,
  );
  if (!last || last.step !== undefined) return null;
  return Math.abs(now - last.at) < justPouredMs ? last : null;
}

function inOrder(skeins: PublicView["skeins"]): [Id, PublicSkein][] {
  return Object.entries(skeins).sort(([, a], [, b]) => a.n - b.n);
}

function panName(view: PublicView, id: Id): string {
  return view.pans[id]?.name ?? id;
}

function baseOf(view: PublicView, skein: PublicSkein | undefined) {
  return skein ? view.bases[skein.base] : Object.values(view.bases)[0];
}

const undyed = "#f3ecdf";

function undyedHex(view: PublicView, skein?: PublicSkein): string {
  return baseOf(view, skein)?.hex ?? undyed;
}

function capital(text: string): string {
  const [first = "", ...rest] = text;
  return first.toUpperCase() + rest.join("");
}

/** "3", "3 and 4", "3, 4 and 5". */
function listed(names: readonly string[]): string {
  if (names.length < 2) return names.join("");
  return `${names.slice(0, -1).join(", ")} and ${names.at(-1)}`;
}

// Waiting and closed

function opening(view: PublicView): Main {
  const pours = Object.values(view.steps).filter((step) => step.kind === "pour").length;
  const pans = Object.keys(view.pans).length;
  const plan = `${showCount(pours, "pour")} into ${showCount(pans, "pan")}`;
  return {
    kind: "waiting",
    kicker: pours > 0 ? `Coming up: ${plan}` : "Coming up",
    title: view.session.name,
    lines: yarns(view),
    ...palette(view),
  };
}

function ending(view: PublicView): Main {
  const pours = Object.keys(view.poured).length;
  return {
    kind: "closed",
    kicker: `Done, ${showCount(pours, "pour")} made`,
    title: view.session.name,
    lines: yarns(view),
    ...palette(view),
  };
}

/** "6 skeins of Quay sock, 300 g", for up to two yarns. */
function yarns(view: PublicView): string[] {
  const groups = new Map<Id, { count: number; massUg: number }>();
  for (const [, skein] of inOrder(view.skeins)) {
    const group = groups.get(skein.base) ?? { count: 0, massUg: 0 };
    const massUg = group.massUg + skein.massUg;
    groups.set(skein.base, { count: group.count + 1, massUg });
  }
  const lines = [...groups].map(
    ([base, { count, massUg }]) =>
      `${showCount(count, "skein")} of ${view.bases[base]?.name ?? base}, ${showMass(massUg)}`,
  );
  if (lines.length <= 2) return lines;
  return [lines[0] ?? "", `and ${showCount(lines.length - 1, "more yarn")}`];
}

function palette(view: PublicView) {
  const dyes = Object.entries(view.dyes).map(([seed, { name, hex }]) => ({
    name,
    strip: { dyedHex: hex, undyedHex: undyedHex(view), seed, dry: false },
  }));
  return {
    strips: dyes.slice(0, mostStrips),
    moreStrips: Math.max(0, dyes.length - mostStrips),
  };
}

// Pours

function pouring(view: PublicView, pour: PublicPour & { n?: number }, just: boolean): Main {
  const { parts } = view.overlay;
  const made = Object.keys(view.poured).length;
  const open = Object.values(view.steps).filter(
    (step) => step.kind === "pour" && step.status === "open",
  ).length;
  const [firstPoured] = Object.keys(pour.doses);
  const depth = parts.depth ? depthOf(view, pour, just) : undefined;
  return {
    kind: "pour",
    just,
    kicker: kickerOf(just, parts.count ? { n: pour.n ?? made + 1, of: made + open } : null),
    title: titleOf(view, pour),
    strip: {
      dyedHex: pour.hex,
      undyedHex: undyedHex(view, firstPoured === undefined ? undefined : view.skeins[firstPoured]),
      seed: pour.source.from === "vessel" ? pour.source.vessel : pour.source.dye,
      dry: pour.source.from === "powder",
    },
    where: whereOf(view, pour),
    manner: parts.depth ? mannerOf(pour) : `${mannerOf(pour)}; colour predicted`,
    amount: amountOf(pour, parts.rule),
    ...(depth === undefined ? {} : { depth }),
    ...(parts.depth ? withPan(view, pour.pan, Object.keys(pour.doses)) : {}),
  };
}

function kickerOf(just: boolean, count: { n: number; of: number } | null): string {
  if (count === null) return just ? "Just poured" : "Pouring now";
  return just ? `Just poured, ${count.n} of ${count.of}` : `Pour ${count.n} of ${count.of}`;
}

function titleOf(view: PublicView, { source, title }: PublicPour): Phrase {
  if (source.from === "powder") {
    return { before: "", name: view.dyes[source.dye]?.name ?? source.dye, after: " powder" };
  }
  const vessel = view.vessels[source.vessel];
  if (!vessel) return { before: "", name: title, after: "" };
  return { before: "", name: vessel.name, after: ` ${showStrength(vessel.strengthPct)}` };
}

/** Names of skeins that are told one by one; longer lists are counted. */
const mostNames = { skeins: 3, letters: 24 };

function whereOf(view: PublicView, { pan, doses }: PublicPour): Phrase {
  const name = panName(view, pan);
  const skeins = inOrder(view.skeins)
    .filter(([id]) => id in doses)
    .map(([, skein]) => skein.name);
  if (skeins.length === 0) return { before: "into the bath of pan ", name, after: "" };
  const names = listed(skeins);
  const told = skeins.length <= mostNames.skeins && names.length <= mostNames.letters;
  const noun = skeins.length === 1 ? "skein" : "skeins";
  const after = told ? `, ${noun} ${names}` : `, ${showCount(skeins.length, "skein")}`;
  return { before: "into pan ", name, after };
}

const techniques: Record<Technique, string> = {
  immersion: "immersion",
  lowWater: "low water",
  painted: "painted",
  dripped: "dripped",
  speckled: "speckled",
};

function mannerOf({ technique, placement, source }: PublicPour): string {
  const dry = source.from === "powder" ? " dry" : "";
  const manner = `${techniques[technique]}${dry}`;
  return placement === undefined || placement === "" ? manner : `${manner}, ${placement}`;
}

function amountOf(pour: PublicPour, withRule: boolean): AmountLook {
  const about = pour.how !== "measured";
  if (pour.volumeUl === undefined) {
    const massUg = pour.massUg ?? 0;
    const doubt = pour.plusMinus > 0 ? `±${THIN_SPACE}${showMass(pour.plusMinus)}` : "";
    return { ...massParts(massUg), about, label: amountLabel("Powder", about, doubt) };
  }
  const { volumeUl, drops, plusMinus } = pour;
  const doubt = plusMinus > 0 && drops === undefined ? showPlusMinus(plusMinus) : "";
  return {
    ...volumeParts(volumeUl),
    about,
    label:
      drops === undefined
        ? amountLabel("Volume", about, doubt)
        : `${showCount(drops, "drop")}${about ? ", about" : ""}`,
    ...(withRule ? { rule: { volumeUl, plusMinusUl: plusMinus, fillHex: pour.hex } } : {}),
  };
}

function amountLabel(what: string, about: boolean, doubt: string): string {
  return [about ? "About" : what, doubt].filter((word) => word !== "").join(", ");
}

type Dosed = {
  name: string;
  before: string;
  after: string;
  afterPct: number;
  sure: boolean;
  dose: PublicDose;
};

function depthOf(view: PublicView, pour: PublicPour, poured: boolean): DepthLook | undefined {
  const dosed = inOrder(view.skeins).flatMap(([id, skein]): Dosed[] => {
    const dose = pour.doses[id];
    if (!dose) return [];
    const { beforePct, afterPct } = dose;
    const off = skein.plusMinusPct + (poured ? 0 : doubtPct(pour, afterPct - beforePct));
    return [
      {
        name: skein.name,
        before: depthParts(beforePct).figure,
        after: depthParts(afterPct).figure,
        afterPct,
        sure:
          off < 0.0005 || depthParts(afterPct - off).figure === depthParts(afterPct + off).figure,
        dose,
      },
    ];
  });
  if (dosed.length === 0) return undefined;
  const about = dosed.every((one) => one.sure) ? "" : ", about";
  const local = localOf(pour, dosed);
  return {
    label: `${local === undefined ? "Depth of shade" : "Depth on average"}${about}`,
    rows: depthRows(dosed),
    ...(local === undefined ? {} : { local }),
  };
}

/** Doubt that a pour which is still to be made brings to a depth, % owf. */
function doubtPct(pour: PublicPour, pct: number): number {
  const of = pour.volumeUl ?? pour.massUg ?? 0;
  return of > 0 ? (pct * pour.plusMinus) / of : 0;
}

function depthRows(dosed: readonly Dosed[]): DepthRow[] {
  const groups = new Map<string, Dosed[]>();
  for (const one of dosed) {
    const key = `${one.before} ${one.after}`;
    groups.set(key, [...(groups.get(key) ?? []), one]);
  }
  const row = (one: Dosed | undefined, whose: string): DepthRow[] =>
    one ? [{ whose, before: one.before, after: one.after }] : [];
  if (groups.size === 1) return row(dosed[0], "");
  if (groups.size === 2 && dosed.length <= 4) {
    return [...groups.values()].flatMap((group) =>
      row(group[0], group.map((one) => one.name).join(", ")),
    );
  }
  const byDepth = [...dosed].sort((a, b) => a.afterPct - b.afterPct);
  return [...row(byDepth[0], "least"), ...row(byDepth.at(-1), "most")];
}

function localOf({ coverage }: PublicPour, dosed: readonly Dosed[]): string | undefined {
  if (coverage >= 1) return undefined;
  const locals = dosed.map((one) => one.dose.localPct);
  const [least, most] = [Math.min(...locals), Math.max(...locals)];
  const [low, high] = [depthParts(least).figure, depthParts(most).figure];
  return low === high ? `+${showDepth(most)}` : `+${low} to ${showDepth(most)}`;
}

/** The pan with its skeins, the ones poured on ringed and never left out. */
function withPan(view: PublicView, id: Id, ringed: readonly Id[]): { pan?: PanLook } {
  const pan = view.pans[id];
  if (!pan) return {};
  const inside = inOrder(view.skeins).filter(([, skein]) => skein.pan === id);
  const first = [
    ...inside.filter(([skein]) => ringed.includes(skein)),
    ...inside.filter(([skein]) => !ringed.includes(skein)),
  ].slice(0, mostHanks);
  const hanks = first
    .sort(([, a], [, b]) => a.n - b.n)
    .map(([skein, look]) => hankOf(view, skein, look, ringed.includes(skein)));
  return {
    pan: { name: pan.name, bath: Math.min(1, pan.bathUl / pan.capacityUl), hanks },
  };
}

function hankOf(view: PublicView, id: Id, skein: PublicSkein, ringed: boolean): HankLook {
  let finalPct = skein.depthPct;
  for (const step of Object.values(view.steps)) {
    if (step.kind !== "pour" || step.status !== "open") continue;
    const dose = step.pour.doses[id];
    if (dose) finalPct += dose.afterPct - dose.beforePct;
  }
  const base = view.bases[skein.base];
  return {
    id,
    label: skein.name,
    fill: finalPct > 0 ? skein.depthPct / finalPct : 0,
    dyedHex: skein.colour.ground.hex,
    undyedHex: base?.hex ?? undyed,
    flecks: base?.flecks.map((fleck) => fleck.hex) ?? [],
    patches: patchesOf(skein),
    ringed,
  };
}

function patchesOf({ colour }: PublicSkein): PatchLook[] {
  return colour.patches.map(({ hex, coverage, specks }) => ({ hex, coverage, specks }));
}

// Additions and heat

/** A pale tone for water, vinegar and salt, which have no colour of their own. */
const clearHex = "#cfd6d2";

function adding(view: PublicView, step: Extract<PublicStep, { kind: "add" }>): Main {
  const { amount, label, pan } = step;
  const bathUl = view.pans[pan]?.bathUl;
  const wet = "volumeUl" in amount;
  const { parts } = view.overlay;
  return {
    kind: "add",
    kicker: "Into the bath",
    title: capital(label),
    where: { before: "into pan ", name: panName(view, pan), after: "" },
    amount: wet
      ? {
          ...volumeParts(amount.volumeUl),
          label: "Volume",
          about: false,
          ...(parts.rule
            ? { rule: { volumeUl: amount.volumeUl, plusMinusUl: 0, fillHex: clearHex } }
            : {}),
        }
      : { ...massParts(amount.massUg), label: "Weight", about: false },
    ...(wet && bathUl !== undefined
      ? {
          bath: { before: volumeParts(bathUl).figure, after: showVolume(bathUl + amount.volumeUl) },
        }
      : {}),
    ...(parts.depth ? withPan(view, pan, []) : {}),
  };
}

function panDoing(view: PublicView, { pan, how }: { pan: Id; how: Heating }): Phrase {
  return { before: "Pan ", name: panName(view, pan), after: ` ${doing[how]}` };
}

const doing: Record<Heating, string> = {
  stove: "heating",
  oven: "in the oven",
  steam: "steaming",
  rest: "resting",
};

const toDo: Record<Heating, string> = {
  stove: "Heat",
  oven: "Into the oven:",
  steam: "Steam",
  rest: "Rest",
};

type HeatStep = Extract<PublicStep, { kind: "heat" }>;

function heating(view: PublicView, step: HeatStep, now: number): Main {
  const timer = timerOfStep(view, step)?.[1];
  const lines = [
    ...(step.waitingFor === "" ? [] : [`waiting for ${step.waitingFor}`]),
    ...(step.celsius === undefined ? [] : [`at ${showCelsius(step.celsius)}`]),
  ];
  return {
    kind: "heat",
    kicker: timer ? "Waiting" : "Next",
    title: timer
      ? panDoing(view, step)
      : { before: `${toDo[step.how]} pan `, name: panName(view, step.pan), after: "" },
    lines,
    time: timer
      ? timeOf(timer, now)
      : {
          figure: String(Math.round(step.seconds / 6) / 10),
          unit: "min",
          label: "",
          leftS: step.seconds,
          totalS: step.seconds,
        },
    ...(view.overlay.parts.depth ? withPan(view, step.pan, []) : {}),
  };
}

/** The timer that a heat step in hand runs on. */
function timerOfStep(
  view: PublicView,
  step: PublicStep | undefined,
): [Id, PublicTimer] | undefined {
  if (step?.kind !== "heat" || step.status !== "running") return undefined;
  return Object.entries(view.timers).find(
    ([, timer]) => timer.step !== undefined && timer.step === view.current,
  );
}

function endOf(timer: PublicTimer): number {
  return timer.startedAt + timer.seconds * 1000;
}

function timeOf(timer: PublicTimer, now: number): TimeLook {
  const leftS = Math.min(timer.seconds, Math.ceil((endOf(timer) - now) / 1000));
  const totalS = timer.seconds;
  if (leftS <= 0) return { figure: "time is up", unit: "", label: "", leftS: 0, totalS };
  return {
    figure: clock(leftS),
    unit: "",
    label: `left of ${lasting(totalS)}`,
    leftS,
    totalS,
  };
}

/** "25 min", from two hours up "2 h 30 min". */
function lasting(seconds: number): string {
  const minutes = Math.round(seconds / 6) / 10;
  if (minutes < 120) return `${minutes}${THIN_SPACE}min`;
  const [hours, rest] = [Math.floor(minutes / 60), Math.round(minutes % 60)];
  return `${hours}${THIN_SPACE}h${rest > 0 ? ` ${rest}${THIN_SPACE}min` : ""}`;
}

/** "24:59", from an hour up "1:05:20". */
function clock(seconds: number): string {
  const two = (n: number) => String(n).padStart(2, "0");
  const [h, m, s] = [Math.floor(seconds / 3600), Math.floor(seconds / 60) % 60, seconds % 60];
  return h > 0 ? `${h}:${two(m)}:${two(s)}` : `${m}:${two(s)}`;
}

// Tally

function tally(view: PublicView, now: number, showing: Showing): Main {
  const lots = inOrder(view.skeins).map(([id, skein]) => lotOf(view, id, skein));
  const made = Object.keys(view.poured).length;
  return {
    kind: "tally",
    title: "Poured so far",
    kicker: made === 0 ? "nothing yet" : `${showCount(made, "pour")}, colours predicted`,
    ...leafAt(lots, showing.tallyRoom, now - showing.since),
  };
}

/** A skein with the depth of each dye over its fibre. */
function lotOf(view: PublicView, id: Id, skein: PublicSkein): Lot {
  const pct = (ug: number) => (ug / skein.massUg) * 100;
  const all = Object.values(skein.dyes).reduce((sum, ug) => sum + ug, 0);
  const sorted = Object.entries(skein.dyes)
    .filter(([, ug]) => ug > 0)
    .sort(([, a], [, b]) => b - a);
  return {
    id,
    name: `Skein ${skein.name}`,
    of: skein.colourway ?? "",
    depth: showDepth(pct(all)),
    hex: skein.colour.ground.hex,
    patches: patchesOf(skein),
    undyedHex: undyedHex(view, skein),
    dyes: sorted.slice(0, mostDyes).map(([dye, ug]) => ({
      name: view.dyes[dye]?.name ?? dye,
      depth: showDepth(pct(ug)),
      strip: {
        dyedHex: view.dyes[dye]?.hex ?? undyed,
        undyedHex: undyedHex(view, skein),
        seed: dye,
        dry: false,
      },
    })),
    moreDyes: Math.max(0, sorted.length - mostDyes),
  };
}

/** Time to read one line of a list, ms: a name and up to four figures with theirs. */
const lotMs = 3_000;

/** The leaf whose turn it is: each stays as long as its lines take to read, then the first again. */
function leafAt(lots: readonly Lot[], room: number, elapsedMs: number): Leaf {
  const pages = Math.max(1, Math.ceil(lots.length / room));
  // Leaves of even length, as near as may be, so that the last is not a single line.
  const even = Math.max(1, Math.ceil(lots.length / pages));
  const page = Math.floor(Math.max(0, elapsedMs) / (even * lotMs)) % pages;
  const from = (leaf: number) => Math.ceil((leaf * lots.length) / pages);
  return { lots: lots.slice(from(page), from(page + 1)), page: page + 1, pages };
}
