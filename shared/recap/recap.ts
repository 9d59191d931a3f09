import { depthPct } from "../dye/depth.ts";
import { showCount, showMass, showStrength, showVolume } from "../dye/display.ts";
import { type DyeMasses, totalUg } from "../dye/vessel.ts";
import { replacements, type SkeinDose } from "../session/bench.ts";
import { type Heated, heatsOf } from "../session/heated.ts";
import { sayMinutes, saySource } from "../session/say.ts";
import type {
  Addition,
  AdditionAmount,
  Fibre,
  Heating,
  Id,
  Method,
  Skein,
  Source,
} from "../session/setup.ts";
import type { State } from "../session/state.ts";

/** How a colour is known. */
export type ColourSource = "predicted" | "photographed" | "measured";

export type RecapColour = {
  how: ColourSource;
  /** Colour of the yarn, `#rrggbb`; beside it what it was before, and its flecks. */
  hex: string;
  undyedHex: string;
  flecks: readonly string[];
  /** Painted or dripped parts, or specks all over, each with the share of the skein it touches. */
  patches: readonly { hex: string; coverage: number; specks?: boolean }[];
};

/** What went into a colourway from one source: all pours of it summed. */
export type RecapPart = {
  key: string;
  /** "Saltmarsh 1 %", or its name alone with what must stay behind it. */
  title: string;
  name: string;
  tail: string;
  hex: string;
  /** By volume, uL, from a bottle or jug; by mass, ug, for powder; neither out of a bath. */
  of: "volume" | "mass" | "bath";
  amount: number;
  /** True when any of its pours is not measured. */
  about: boolean;
  /** Dye that it offered, ug, and the depth of shade that this is, % owf; 0 without fibre. */
  dyeUg: number;
  depthPct: number;
  pours: number;
};

/** A colourway with all its skeins, a skein without one, or a bath that no skein took up. */
export type RecapLot = {
  key: string;
  name: string;
  kind: "colourway" | "skein" | "bath";
  skeins: readonly Id[];
  bases: readonly Id[];
  /** Names of the pans in which it was poured on. */
  pans: readonly string[];
  massUg: number;
  dyeUg: number;
  depthPct: number;
  plusMinusPct: number;
  colour: RecapColour;
  parts: readonly RecapPart[];
};

export type RecapYarn = {
  base: Id;
  name: string;
  fibres: readonly Fibre[];
  superwash: boolean;
  skeins: number;
  massUg: number;
};

export type RecapAddition = { what: Addition; label: string; amount: AdditionAmount };
export type RecapHeat = Pick<Heated, "how" | "seconds" | "celsius" | "ended">;

export type RecapPan = {
  pan: Id;
  name: string;
  method: Method;
  waterUl: number;
  /** Sums of what was added under one label, water and acid tipped since included. */
  additions: readonly RecapAddition[];
  /** In the order in which they were begun. */
  heats: readonly RecapHeat[];
};

/** A session as it is looked back on. Holds no `null` and no private note. */
export type Recap = {
  name: string;
  /** The day on which it went live, else was opened, where the bench stands: "2031-05-17". */
  day: string;
  /** From going live to the close, ms; absent while it is not closed. */
  lastedMs?: number;
  pours: number;
  lots: readonly RecapLot[];
  yarns: readonly RecapYarn[];
  pans: readonly RecapPan[];
};

/** Colours that the session's views reckon with. */
export type RecapColours = {
  /** `how` where it is not predicted: from a photograph of the result, or measured on it. */
  skein(id: Id): Pick<RecapColour, "hex" | "patches"> & Partial<Pick<RecapColour, "how">>;
  liquor(dyes: DyeMasses): string;
};

/** All that went into each colourway of a session, as the record has it, corrections counted in. */
export function recapOf(state: State, colours: RecapColours): Recap {
  const { setup, bench, liveAt, closedAt, openedAt } = state;
  const lots = [...skeinLots(state, colours), ...bathLots(state, colours)];
  return {
    name: setup.name,
    day: dayIn(liveAt ?? openedAt, state.zone),
    ...(liveAt === null || closedAt === null ? {} : { lastedMs: closedAt - liveAt }),
    pours: bench.poured.length,
    lots,
    yarns: yarnsOf(state, new Set(lots.flatMap(({ skeins }) => skeins))),
    pans: pansOf(state),
  };
}

type Group = { key: string; name: string; kind: "colourway" | "skein"; skeins: Skein[] };

function skeinLots(state: State, colours: RecapColours): RecapLot[] {
  const groups = new Map<string, Group>();
  for (const { skein } of Object.values(state.bench.skeins)) {
    const { colourway } = skein;
    const known = colourway === undefined ? undefined : state.setup.colourways[colourway];
    const group: Group = known
      ? { key: `c ${known.id}`, name: known.name, kind: "colourway", skeins: [] }
      : { key: `s ${skein.id}`, name: `Skein ${skein.name}`, kind: "skein", skeins: [] };
    const there = groups.get(group.key) ?? group;
    there.skeins.push(skein);
    groups.set(group.key, there);
  }
  const lots = [...groups.values()].map((group) => skeinLot(state, group, colours));
  const dyed = lots.filter(({ dyeUg }) => dyeUg > 0);
  // What nothing went into is no part of the recipe, unless nothing went into anything.
  return dyed.length > 0 ? dyed : lots;
}

function skeinLot(state: State, { key, name, kind, skeins }: Group, colours: RecapColours) {
  const { bench, setup } = state;
  const ids = skeins.map(({ id }) => id);
  const massUg = skeins.reduce((sum, skein) => sum + skein.massUg, 0);
  const held = ids.flatMap((id) => bench.skeins[id] ?? []);
  const dyeUg = held.reduce((sum, { dyes }) => sum + totalUg(dyes), 0);
  const doubtUg = held.reduce((sum, { plusMinusUg }) => sum + totalUg(plusMinusUg), 0);
  const parts = new Parts(state, colours, massUg);
  const pans = new Set<Id>();
  for (const poured of bench.poured) {
    const doses = poured.doses.filter(({ skein }) => ids.includes(skein));
    if (doses.length === 0) continue;
    parts.add(poured.pour.source, poured.strengthPct, doses);
    pans.add(poured.pour.pan);
  }
  parts.takenUp(dyeUg);
  const [first] = skeins;
  const base = first && setup.bases[first.base];
  const lot: RecapLot = {
    key,
    name,
    kind,
    skeins: ids,
    bases: [...new Set(skeins.map((skein) => skein.base))],
    pans: [...pans].map((id) => bench.pans[id]?.pan.name ?? id),
    massUg,
    dyeUg,
    depthPct: pct(dyeUg, massUg),
    plusMinusPct: pct(doubtUg, massUg),
    colour: {
      how: "predicted",
      undyedHex: base?.hex ?? "#f3ecdf",
      flecks: base?.flecks.map(({ hex }) => hex) ?? [],
      ...(first ? colours.skein(first.id) : { hex: "#f3ecdf", patches: [] }),
    },
    parts: parts.made(),
  };
  return lot;
}

function bathLots(state: State, colours: RecapColours): RecapLot[] {
  const lots: RecapLot[] = [];
  for (const [id, { pan }] of Object.entries(state.bench.pans)) {
    const poured = state.bench.poured.filter(
      ({ pour, doses }) => pour.pan === id && doses.length === 0,
    );
    if (poured.length === 0) continue;
    const parts = new Parts(state, colours, 0);
    let dyes: DyeMasses = {};
    for (const { pour, strengthPct, dyes: own } of poured) {
      const volumeUl = pour.source.from === "vessel" ? pour.source.amount.volumeUl : 0;
      parts.add(pour.source, strengthPct, [{ volumeUl, dyes: own }]);
      dyes = sumOf(dyes, own);
    }
    const [base] = Object.values(state.setup.bases);
    const undyedHex = base?.hex ?? "#f3ecdf";
    lots.push({
      key: `b ${id}`,
      name: `Bath of pan ${pan.name}`,
      kind: "bath",
      skeins: [],
      bases: [],
      pans: [pan.name],
      massUg: 0,
      dyeUg: totalUg(dyes),
      depthPct: 0,
      plusMinusPct: 0,
      colour: {
        how: "predicted",
        hex: colours.liquor(dyes),
        undyedHex,
        flecks: [],
        patches: [],
      },
      parts: parts.made(),
    });
  }
  return lots;
}

function sumOf(a: DyeMasses, b: DyeMasses): DyeMasses {
  const sum: Record<Id, number> = { ...a };
  for (const [dye, ug] of Object.entries(b)) sum[dye] = (sum[dye] ?? 0) + ug;
  return sum;
}

/** The sources of one lot, each summed. */
class Parts {
  private readonly parts = new Map<string, RecapPart & { dyes: DyeMasses }>();

  constructor(
    private readonly state: State,
    private readonly colours: RecapColours,
    private readonly fibreUg: number,
  ) {}

  add(
    source: Source,
    strength: number | null,
    doses: readonly Pick<SkeinDose, "volumeUl" | "dyes">[],
  ): void {
    const { name, tail, title } = sourceWords(this.state, source, strength);
    const of = source.from === "vessel" ? "volume" : "mass";
    const key = `${source.from === "vessel" ? source.vessel : source.dye}|${of}|${tail}`;
    const before = this.parts.get(key);
    const dyes = doses.reduce<DyeMasses>((sum, dose) => sumOf(sum, dose.dyes), before?.dyes ?? {});
    const ul = doses.reduce((sum, { volumeUl }) => sum + volumeUl, 0);
    const ug = totalUg(dyes);
    const sure = source.amount.how === "measured" && doubtOf(source) === 0;
    this.parts.set(key, {
      key,
      title,
      name,
      tail,
      hex: this.colours.liquor(dyes),
      of,
      amount: of === "volume" ? (before?.amount ?? 0) + ul : ug,
      about: before?.about === true || !sure,
      dyeUg: ug,
      depthPct: pct(ug, this.fibreUg),
      pours: (before?.pours ?? 0) + 1,
      dyes,
    });
  }

  /** What a skein took up out of a bath that was poured before it came in. */
  takenUp(dyeUg: number): void {
    const rest = dyeUg - [...this.parts.values()].reduce((sum, part) => sum + part.dyeUg, 0);
    if (rest <= 0) return;
    this.parts.set("bath", {
      key: "bath",
      title: "Out of the bath",
      name: "Out of the bath",
      tail: "",
      hex: "#cfd6d2",
      of: "bath",
      amount: 0,
      about: false,
      dyeUg: rest,
      depthPct: pct(rest, this.fibreUg),
      pours: 0,
      dyes: {},
    });
  }

  made(): RecapPart[] {
    return [...this.parts.values()].map(({ dyes: _, ...part }) => part);
  }
}

function doubtOf({ amount }: Source): number {
  return "plusMinusUl" in amount ? amount.plusMinusUl : amount.plusMinusUg;
}

function pct(ug: number, fibreUg: number): number {
  return fibreUg > 0 ? depthPct(ug, fibreUg) : 0;
}

/** A source by its name, and by what tells its strength or that it is dry. */
export function sourceWords(
  state: State,
  source: Source,
  strength: number | null,
): { name: string; tail: string; title: string } {
  const title = saySource(state, source, strength ?? undefined);
  if (source.from === "powder") {
    return { name: state.setup.dyes[source.dye]?.name ?? source.dye, tail: " powder", title };
  }
  const name = state.bench.vessels[source.vessel]?.name ?? source.vessel;
  const shown = strength === null ? "" : ` ${showStrength(strength)}`;
  return { name, tail: `${/\d$/.test(name) ? "," : ""}${shown}`, title };
}

function yarnsOf(state: State, counted: ReadonlySet<Id>): RecapYarn[] {
  const yarns = new Map<Id, RecapYarn>();
  for (const { skein } of Object.values(state.bench.skeins)) {
    if (!counted.has(skein.id)) continue;
    const base = state.setup.bases[skein.base];
    const before = yarns.get(skein.base);
    yarns.set(skein.base, {
      base: skein.base,
      name: base?.name ?? skein.base,
      fibres: base?.fibres ?? [],
      superwash: base?.superwash ?? false,
      skeins: (before?.skeins ?? 0) + 1,
      massUg: (before?.massUg ?? 0) + skein.massUg,
    });
  }
  return [...yarns.values()];
}

function pansOf(state: State): RecapPan[] {
  const truth = replacements(state.acts);
  const heats = heatsOf(state);
  const additions = new Map<Id, Map<string, RecapAddition>>();
  for (const { seq, act: written } of state.acts) {
    const replaced = truth.get(seq);
    const act = replaced ? replaced.to : written;
    if (act?.kind !== "add") continue;
    const inPan = additions.get(act.pan) ?? new Map<string, RecapAddition>();
    const key = `${act.what} ${act.label} ${"volumeUl" in act.amount ? "mL" : "g"}`;
    const { what, label } = act;
    const before = inPan.get(key)?.amount;
    inPan.set(key, { what, label, amount: before ? plus(before, act.amount) : act.amount });
    additions.set(act.pan, inPan);
  }
  return Object.entries(state.bench.pans).map(([id, { pan }]) => ({
    pan: id,
    name: pan.name,
    method: pan.method,
    waterUl: pan.waterUl,
    additions: [...(additions.get(id)?.values() ?? [])],
    heats: heats
      .filter((heat) => heat.pan === id)
      .map(({ how, seconds, celsius, ended }) => ({
        how,
        seconds,
        ...(celsius === undefined ? {} : { celsius }),
        ...(ended === undefined ? {} : { ended }),
      })),
  }));
}

function plus(a: AdditionAmount, b: AdditionAmount): AdditionAmount {
  return "volumeUl" in a
    ? { volumeUl: a.volumeUl + ("volumeUl" in b ? b.volumeUl : 0) }
    : { massUg: a.massUg + ("massUg" in b ? b.massUg : 0) };
}

/** "37.5 mL", "about 12 mL", "60 mg"; nothing for what came out of a bath. */
export function sayPart({ of, amount, about }: RecapPart): string {
  if (of === "bath") return "";
  const figure = of === "volume" ? showVolume(amount) : showMass(amount);
  return about ? `about ${figure}` : figure;
}

/** "75 % wool, 25 % nylon". */
export function sayFibres(fibres: readonly Fibre[]): string {
  return fibres.map(({ fibre, pct }) => `${pct}\u202f% ${fibre}`).join(", ");
}

/** "Quay sock: 75 % wool, 25 % nylon, superwash, 6 skeins, 300 g". */
export function sayYarn({ name, fibres, superwash, skeins, massUg }: RecapYarn): string {
  const facts = [
    ...(fibres.length > 0 ? [sayFibres(fibres)] : []),
    superwash ? "superwash" : "not\u00a0superwash",
    showCount(skeins, "skein").replace(" ", "\u00a0"),
    showMass(massUg),
  ];
  return `${name}: ${facts.join(", ")}`;
}

const methods: Record<Method, string> = {
  immersion: "immersion",
  lowWater: "low water",
  painted: "painted",
  dipped: "dipped",
};

export function sayMethod(method: Method): string {
  return methods[method];
}

const heatings: Record<Heating, string> = {
  stove: "on the stove",
  oven: "in the oven",
  steam: "steamed",
  rest: "rested",
};

/** "steamed 25 min at 98 °C", "steamed 3 min at 98 °C (ended early)". */
export function sayHeat({ how, seconds, celsius, ended }: RecapHeat): string {
  const at = celsius === undefined ? "" : ` at ${celsius}\u202f°C`;
  const end = ended === undefined ? "" : ended === "early" ? " (ended early)" : " (not ended yet)";
  return `${heatings[how]} ${sayMinutes(seconds)}${at}${end}`;
}

export function sayAdded({ label, amount }: RecapAddition): string {
  const figure = "volumeUl" in amount ? showVolume(amount.volumeUl) : showMass(amount.massUg);
  return `${figure} ${label.replaceAll(" %", "\u202f%")}`;
}

/** What a pan was made up with: "1,500 mL water, 30 mL white vinegar 5 %"; empty for nothing. */
export function sayBath({ waterUl, additions }: RecapPan): string {
  const water = waterUl > 0 ? [`${showVolume(waterUl)}\u00a0water`] : [];
  return [...water, ...additions.map(sayAdded)].join(", ");
}

/** The day of a moment in a zone by its name; in UTC where there is none, or one unknown here. */
function dayIn(at: number, zone: string | undefined): string {
  const written = (timeZone: string) =>
    new Intl.DateTimeFormat("sv-SE", { dateStyle: "short", timeZone }).format(at);
  try {
    return written(zone ?? "UTC");
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    return written("UTC");
  }
}

const months =
  "January February March April May June July August September October November December".split(
    " ",
  );

/** "17 May 2031", for "2031-05-17". */
export function sayDay(day: string): string {
  const [year, month, date] = day.split("-").map(Number);
  return `${date} ${months[(month ?? 1) - 1]} ${year}`;
}

/** What colours and depths of a recap mean. */
export function sayMeanings({ lots }: Recap): string {
  const predicted = lots.some(({ colour }) => colour.how === "predicted");
  const colours = predicted ? "Predicted colours are of dry, rinsed yarn. " : "";
  return `${colours}Depth is dye offered, % of dry fibre.`;
}

/** "6 colourways, 15 pours, 300 g". */
export function sayCounts({ lots, pours, yarns }: Recap): string {
  const ways = lots.filter(({ kind }) => kind !== "bath").length;
  const massUg = yarns.reduce((sum, yarn) => sum + yarn.massUg, 0);
  const made = pours === 0 ? "nothing poured" : showCount(pours, "pour");
  return [showCount(ways, "colourway"), made, showMass(massUg)].join(", ");
}
