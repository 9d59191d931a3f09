import type { VolumeAmount } from "../dye/amount.ts";
import { showCount, showMass, showStrength, showVolume } from "../dye/display.ts";
import { strengthPct } from "../dye/strength.ts";
import { leftUl, totalUg } from "../dye/vessel.ts";
import type { Act, Bleed, Entry } from "./act.ts";
import type { AdditionAmount, Heating, Id, Pour, Step } from "./setup.ts";
import type { State } from "./state.ts";

/**
 * "Saltmarsh 1 %": a bottle or jug by its name and total strength, which is the one it has now
 * unless another is given.
 */
export function sayVessel(state: State, id: Id, strength?: number): string {
  const vessel = state.bench.vessels[id];
  if (!vessel) return id;
  const { madeUl, madeUg } = vessel.vessel;
  const shown = showStrength(strength ?? strengthPct(totalUg(madeUg), madeUl));
  return `${sayName(vessel.name)}${/\d$/.test(vessel.name) ? "," : ""} ${shown}`;
}

/** A name within a sentence; one written from right to left is kept from turning what follows. */
export function sayName(name: string): string {
  return /[\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufeff]/.test(name) ? `\u2068${name}\u2069` : name;
}

export function saySource(state: State, source: Pour["source"], strength?: number): string {
  return source.from === "vessel"
    ? sayVessel(state, source.vessel, strength)
    : `${sayName(state.setup.dyes[source.dye]?.name ?? source.dye)} powder`;
}

export function sayAmount(source: Pour["source"]): string {
  const figure =
    source.from === "vessel" ? sayDrawn(source.amount) : showMass(source.amount.massUg);
  return source.amount.how === "measured" ? figure : `about ${figure}`;
}

/** What was counted is said as it was counted. */
function sayDrawn({ drops, volumeUl }: VolumeAmount): string {
  return drops === undefined ? showVolume(volumeUl) : showCount(drops, "drop");
}

/** "12 mL Saltmarsh 1 % into pan A". */
export function sayPour(state: State, pour: Pour, strength?: number): string {
  const source = saySource(state, pour.source, strength);
  return `${sayAmount(pour.source)} ${source} into ${sayPan(state, pour.pan)}`;
}

export function sayPan(state: State, id: Id): string {
  return `pan ${sayName(state.bench.pans[id]?.pan.name ?? id)}`;
}

export function sayAddition(amount: AdditionAmount): string {
  return "volumeUl" in amount ? showVolume(amount.volumeUl) : showMass(amount.massUg);
}

const heatings: Record<Heating, string> = {
  stove: "heat",
  oven: "oven heat",
  steam: "steam",
  rest: "rest",
};

export function sayHeating(how: Heating): string {
  return heatings[how];
}

export function sayMinutes(seconds: number): string {
  const minutes = Math.round(seconds / 6) / 10;
  return `${minutes}\u202fmin`;
}

export function saySkein(state: State, id: Id): string {
  return `skein ${sayName(state.bench.skeins[id]?.skein.name ?? id)}`;
}

/** An entry of the record in a few words: a pour as it is now known, and as strong as it was. */
export function sayEntry(state: State, { seq, act }: Entry): string {
  const poured = state.bench.poured.find((poured) => poured.act === seq);
  return poured ? sayPour(state, poured.pour, poured.strengthPct ?? undefined) : sayAct(state, act);
}

/** An act in a few words, as undo and the list of what was done name it. */
export function sayAct(state: State, act: Act): string {
  switch (act.kind) {
    case "pour":
      return sayPour(state, act.pour);
    case "add":
      return `${sayAddition(act.amount)} ${sayLabel(act.label)} into ${sayPan(state, act.pan)}`;
    case "skip":
      return `skipped ${sayStep(state, act.step)}`;
    case "mix":
      return act.made
        ? `made ${sayVessel(state, act.into)}`
        : `topped up ${sayVessel(state, act.into)}`;
    case "discard":
      return `${showVolume(act.volumeUl)} ${sayVessel(state, act.vessel)} ${act.how}`;
    case "settle":
      return `reading of ${sayVessel(state, act.vessel)}`;
    case "correct":
      return act.to === null ? "took an entry out" : `corrected to ${sayAct(state, act.to)}`;
    case "skeinNew":
      return `new skein ${act.skein.name}`;
    case "skeinMove":
      return act.to === null
        ? `${saySkein(state, act.skein)} out of its pan`
        : `${saySkein(state, act.skein)} into ${sayPan(state, act.to)}`;
    case "panNew":
      return `new pan ${act.pan.name}`;
    case "temperature":
      return `${sayPan(state, act.pan)} at ${act.celsius}\u202f°C`;
    case "look":
      return `bath of ${sayPan(state, act.pan)} ${act.look}`;
    case "bath":
      return `bath of ${sayPan(state, act.pan)} ${act.fate}`;
    case "timerStart":
      return `${sayHeating(act.how)} ${sayPan(state, act.pan)}, ${sayMinutes(act.seconds)}`;
    case "timerExtend":
      return `${sayMinutes(act.seconds)} more for ${sayTimer(state, act.timer)}`;
    case "timerStop":
      return `ended ${sayTimer(state, act.timer)}`;
    case "note":
      return act.seen === "private" ? "a private note" : "a note";
    case "rinse":
      return `rinse of ${saySkeins(state, act.skeins)}: ${sayBleed(act)}`;
    case "result":
      return `result of ${saySkein(state, act.skein)}`;
  }
}

/** "skeins 3 and 4", "skein tweed", "skeins 1 to 12" is not said: names need not be numbers. */
export function saySkeins(state: State, ids: readonly Id[]): string {
  const [only] = ids;
  if (only !== undefined && ids.length === 1) return saySkein(state, only);
  const names = ids.map((id) => sayName(state.bench.skeins[id]?.skein.name ?? id));
  const last = names.pop();
  return `skeins ${names.join(", ")} and ${last}`;
}

const bleeds: Record<Bleed, { water: string; cloth: string }> = {
  clear: { water: "water clear", cloth: "cloth clean" },
  some: { water: "some dye in the water", cloth: "cloth tinted" },
  much: { water: "much dye in the water", cloth: "cloth stained" },
};

/** "water clear, cloth tinted". */
export function sayBleed({ water, cloth }: { water: Bleed; cloth?: Bleed }): string {
  return [bleeds[water].water, ...(cloth ? [bleeds[cloth].cloth] : [])].join(", ");
}

/** "the steam of pan A". */
function sayTimer(state: State, id: Id): string {
  const timer = state.bench.timers[id];
  return timer ? `the ${sayHeating(timer.how)} of ${sayPan(state, timer.pan)}` : "a timer";
}

/** A label as it was written by hand, with its percent sign kept from being torn off. */
function sayLabel(label: string): string {
  return label.replaceAll(" %", "\u202f%");
}

function sayStep(state: State, id: Id): string {
  const step: Step | undefined = state.setup.steps.find((step) => step.id === id);
  if (!step) return id;
  if (step.kind === "pour") return sayPour(state, step.pour);
  if (step.kind === "add") return `${sayLabel(step.label)} into ${sayPan(state, step.pan)}`;
  return `${sayHeating(step.how)} ${sayPan(state, step.pan)}`;
}

/** What a bottle or jug holds, "212 mL". */
export function sayLeft(state: State, id: Id): string {
  const vessel = state.bench.vessels[id];
  return showVolume(vessel ? leftUl(vessel.vessel) : 0);
}
