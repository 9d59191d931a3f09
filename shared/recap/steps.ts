import { MINUS, showChange, showDepth, showMass } from "../dye/display.ts";
import { type Poured, replacements, type Truth } from "../session/bench.ts";
import { type Heated, heatsOf } from "../session/heated.ts";
import { sayAddition, sayAmount, sayHeating, sayMinutes, saySource } from "../session/say.ts";
import type { AdditionAmount, Id, Pour, Source, Step } from "../session/setup.ts";
import type { State } from "../session/state.ts";

/** An amount that was put in, whole uL or ug. */
export type Amount = { of: "volume" | "mass"; amount: number };

/** A line of the recipe sheet: what was planned beside what was done. */
export type SheetLine = {
  kind: Step["kind"];
  /** Where it stands on the pour sheet, from 1; absent for what nobody planned. */
  n?: number;
  status: "done" | "running" | "skipped" | "open" | "unplanned" | "struck";
  /** "Saltmarsh 1 %", "white vinegar 5 %", "steam". */
  what: string;
  /** Names of the pan and of the skeins, those written from right to left kept to themselves. */
  pan: string;
  skeins: readonly string[];
  planned: string;
  done: string;
  /** What is other than planned, in a few words each; empty where nothing is. */
  differences: readonly string[];
  poured?: Amount;
  /** Depth of each skein after it, "1: 0.40 %". */
  depths: readonly string[];
  /** When it was done, ms since 1970. */
  at?: number;
  /** Done after the stream. */
  offAir?: true;
};

/** All steps of the pour sheet in order, and between them what was done besides, in its place. */
export function sheetLines(state: State): SheetLine[] {
  const { setup, bench, acts } = state;
  const truth = replacements(acts);
  const steps = new Set(setup.steps.map(({ id }) => id));
  const lines: { seq: number; line: SheetLine }[] = setup.steps.map((step, at) => {
    const progress = bench.steps[step.id];
    return { seq: progress?.act ?? -1, line: { n: at + 1, ...stepLine(state, step, truth) } };
  });
  for (const { seq, act } of acts) {
    if ("step" in act && act.step !== undefined && steps.has(act.step)) continue;
    const line = unplannedLine(state, seq, truth);
    if (line) insert(lines, seq, line);
  }
  const offAir = new Set(acts.flatMap(({ seq, offAir }) => (offAir === true ? [seq] : [])));
  return lines.map(({ seq, line }) => (offAir.has(seq) ? { ...line, offAir: true } : line));
}

/** After the last line that was done before it. */
function insert(lines: { seq: number; line: SheetLine }[], seq: number, line: SheetLine): void {
  let at = lines.length;
  while (at > 0) {
    const before = lines[at - 1]?.seq ?? -1;
    if (before !== -1 && before < seq) break;
    at -= 1;
  }
  lines.splice(at, 0, { seq, line });
}

function stepLine(state: State, step: Step, truth: Map<number, Truth>): SheetLine {
  const progress = state.bench.steps[step.id];
  const status = progress?.status ?? "open";
  const act = progress?.act ?? -1;
  switch (step.kind) {
    case "pour": {
      const poured = state.bench.poured.find((one) => one.act === act);
      const line = pourFacts(state, step.pour, poured);
      const planned = sayAmount(step.pour.source);
      if (poured) {
        const differences = pourDifferences(state, step, poured);
        return { ...line, status: "done", planned, differences };
      }
      // Its entry was taken out of the record: it never happened.
      const struck = status === "done";
      const differences = [struck ? "taken out" : status === "skipped" ? "left out" : "not done"];
      return { ...line, status: struck ? "struck" : status, planned, differences };
    }
    case "add": {
      const facts = {
        kind: "add" as const,
        what: labelOf(step.label),
        pan: panName(state, step.pan),
        skeins: [],
        planned: sayAddition(step.amount),
        depths: [],
      };
      const entry = state.acts.find(({ seq }) => seq === act);
      const told = truth.get(act);
      const real = told ? told.to : entry?.act;
      if (status !== "done" || !entry || real?.kind !== "add") {
        const struck = status === "done";
        const differences = [struck ? "taken out" : status === "skipped" ? "left out" : "not done"];
        return { ...facts, status: struck ? "struck" : status, done: MINUS, differences };
      }
      return {
        ...facts,
        status,
        done: sayAddition(real.amount),
        differences: [
          ...changeOf(step.amount, real.amount),
          ...(real.label === step.label ? [] : [`${labelOf(real.label)} instead`]),
          ...(real.pan === step.pan ? [] : [`into pan ${panName(state, real.pan)}`]),
          ...(told?.corrected === true ? ["corrected"] : []),
        ],
        at: entry.at,
      };
    }
    case "heat": {
      const heat = heatsOf(state).find((one) => one.step === step.id);
      const at = step.celsius === undefined ? "" : ` at ${step.celsius}\u202f°C`;
      const done = heat !== undefined && heat.ended !== "notYet";
      const undone = status === "skipped" ? "left out" : "not done";
      return {
        kind: "heat",
        status: done ? "done" : status,
        what: sayHeating(step.how),
        pan: panName(state, heat?.pan ?? step.pan),
        skeins: [],
        planned: `${sayMinutes(step.seconds)}${at}`,
        done: done ? sayMinutes(heat.seconds) : MINUS,
        differences: heat ? heatDifferences(heat, step.seconds) : [undone],
        depths: [],
        ...(heat ? { at: heat.at } : {}),
      };
    }
  }
}

function heatDifferences({ seconds, ended }: Heated, plannedSeconds?: number): string[] {
  if (ended === "notYet") return ["not ended yet"];
  const by = plannedSeconds === undefined ? 0 : seconds - plannedSeconds;
  return [...(by === 0 ? [] : [minutesChange(by)]), ...(ended === "early" ? ["ended early"] : [])];
}

function minutesChange(seconds: number): string {
  const sign = seconds > 0 ? "+" : MINUS;
  return `${sign}${sayMinutes(Math.abs(seconds))}`;
}

function unplannedLine(state: State, seq: number, truth: Map<number, Truth>): SheetLine | null {
  const entry = state.acts.find((one) => one.seq === seq);
  if (!entry) return null;
  const told = truth.get(seq);
  const act = told ? told.to : entry.act;
  const corrected = told?.corrected === true ? ["corrected"] : [];
  const differences = ["not planned", ...corrected];
  switch (act?.kind) {
    case "pour": {
      const poured = state.bench.poured.find((one) => one.act === seq);
      if (!poured) return null;
      const line = pourFacts(state, poured.pour, poured);
      return { ...line, status: "unplanned", planned: MINUS, differences };
    }
    case "add":
      return {
        kind: "add",
        status: "unplanned",
        what: labelOf(act.label),
        pan: panName(state, act.pan),
        skeins: [],
        planned: MINUS,
        done: sayAddition(act.amount),
        differences,
        depths: [],
        at: entry.at,
      };
    case "timerStart": {
      const heat = heatsOf(state).find((one) => one.act === seq);
      if (!heat) return null;
      return {
        kind: "heat",
        status: "unplanned",
        what: sayHeating(heat.how),
        pan: panName(state, heat.pan),
        skeins: [],
        planned: MINUS,
        done: heat.ended === "notYet" ? MINUS : sayMinutes(heat.seconds),
        differences: [...differences, ...heatDifferences(heat)],
        depths: [],
        at: heat.at,
      };
    }
    default:
      return null;
  }
}

function pourFacts(
  state: State,
  planned: Pour,
  poured: Poured | undefined,
): Omit<SheetLine, "status" | "planned" | "differences"> {
  const pour = poured?.pour ?? planned;
  const shares = poured ? poured.doses : pour.shares;
  const many = shares.length > 1;
  return {
    kind: "pour",
    what: saySource(state, pour.source, poured?.strengthPct ?? undefined),
    pan: panName(state, pour.pan),
    skeins: shares.map(({ skein }) => skeinName(state, skein)),
    done: poured ? sayAmount(pour.source) : MINUS,
    depths: (poured?.doses ?? []).map(({ skein, afterPct }) =>
      many ? `${skeinName(state, skein)}: ${showDepth(afterPct)}` : showDepth(afterPct),
    ),
    ...(poured ? { poured: amountOf(pour.source), at: poured.at } : {}),
  };
}

/** What a pour put in. */
export function amountOf(source: Source): Amount {
  return source.from === "vessel"
    ? { of: "volume", amount: source.amount.volumeUl }
    : { of: "mass", amount: source.amount.massUg };
}

function pourDifferences(
  state: State,
  step: Extract<Step, { kind: "pour" }>,
  { pour, doses, corrected }: Poured,
): string[] {
  const was = step.pour;
  const from = ({ source }: Pour) => (source.from === "vessel" ? source.vessel : source.dye);
  const same = was.source.from === pour.source.from && from(was) === from(pour);
  const [before, after] = [amountOf(was.source), amountOf(pour.source)];
  const by = after.amount - before.amount;
  const planned = new Set(was.shares.map(({ skein }) => skein));
  const others =
    step.whole !== true &&
    (planned.size !== doses.length || doses.some(({ skein }) => !planned.has(skein)));
  return [
    ...(same ? [] : [`instead of ${saySource(state, was.source)}`]),
    ...(same && by !== 0 ? [before.of === "volume" ? showChange(by) : massChange(by)] : []),
    ...(was.pan === pour.pan ? [] : [`planned for pan ${panName(state, was.pan)}`]),
    ...(others ? ["other skeins"] : []),
    ...(was.technique === pour.technique && was.coverage === pour.coverage ? [] : ["another way"]),
    ...(corrected ? ["corrected"] : []),
  ];
}

function massChange(byUg: number): string {
  return byUg > 0 ? `+${showMass(byUg)}` : showMass(byUg);
}

function changeOf(was: AdditionAmount, is: AdditionAmount): string[] {
  if ("volumeUl" in was && "volumeUl" in is) {
    const by = is.volumeUl - was.volumeUl;
    return by === 0 ? [] : [showChange(by)];
  }
  if ("massUg" in was && "massUg" in is) {
    const by = is.massUg - was.massUg;
    return by === 0 ? [] : [massChange(by)];
  }
  return ["measured another way"];
}

function labelOf(label: string): string {
  return label.replaceAll(" %", "\u202f%");
}

function panName(state: State, id: Id): string {
  return state.bench.pans[id]?.pan.name ?? id;
}

function skeinName(state: State, id: Id): string {
  return state.bench.skeins[id]?.skein.name ?? id;
}
