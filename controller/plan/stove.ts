import { predictHex } from "../../shared/colour/predict.ts";
import type { HankLook } from "../../shared/draw/HankFigure.tsx";
import { totalUg } from "../../shared/dye/vessel.ts";
import type { Plan, PlanPour } from "../../shared/plan/plan.ts";
import type { Walk } from "../../shared/plan/walk.ts";
import type { Id, Step } from "../../shared/session/setup.ts";
import type { Shelf } from "../../shared/shelf/shelf.ts";

const undyed = "#f3ecdf";

/** A pour of the plan as it falls into its pan. */
export type Falling = { step: Id; n: number; hex: string; seed: Id; dry: boolean; done: boolean };

/** What stands in one place: a pan on the stove, or the table with what lies in no pan. */
export type Standing = {
  pan: Id | null;
  hanks: readonly (HankLook & { skein: Id })[];
  pours: readonly Falling[];
};

type Pouring = Extract<Step, { kind: "pour" }>;

/**
 * The plan as a picture: skeins where they lie, filled with what is poured up to a step.
 *
 * @param upTo the step in hand, whose own pour is in; null for the whole plan
 */
export function standingsOf(plan: Plan, shelf: Shelf, walked: Walk, upTo: Id | null): Standing[] {
  const last =
    upTo === null ? plan.steps.length - 1 : plan.steps.findIndex(({ id }) => id === upTo);
  const entering = new Map(
    walked.steps.flatMap(({ step, entering }) => (entering ? [[step.id, entering] as const] : [])),
  );
  const sofar = new Map<Id, Record<Id, number>>();
  const whole = new Map<Id, number>();
  const ringed = new Set<Id>();
  const falling = new Map<Id, Falling[]>();
  const strips = new Map<string, string>();
  const stripOf = (source: PlanPour["source"]): string => {
    const key = source.from === "stock" ? `stock ${source.stock}` : `powder ${source.dye}`;
    const known = strips.get(key);
    if (known !== undefined) return known;
    const hex = hexOf(shelf, massesOf(source, shelf), undyed, (ug, all) => ug / all);
    strips.set(key, hex);
    return hex;
  };
  let n = 0;
  plan.steps.forEach((step, at) => {
    const there = entering.get(step.id);
    if (step.kind !== "pour") return;
    n += 1;
    const { source } = step.pour;
    const list = falling.get(step.pour.pan) ?? [];
    list.push({
      step: step.id,
      n,
      hex: stripOf(source),
      seed: source.from === "stock" ? source.stock : source.dye,
      dry: source.from === "powder",
      done: at <= last,
    });
    falling.set(step.pour.pan, list);
    if (there?.kind !== "pour") return;
    for (const [skein, dyes] of dosesOf(there, shelf)) {
      whole.set(skein, (whole.get(skein) ?? 0) + totalUg(dyes));
      if (at > last) continue;
      if (step.id === upTo) ringed.add(skein);
      const before = sofar.get(skein) ?? {};
      for (const [dye, ug] of Object.entries(dyes)) before[dye] = (before[dye] ?? 0) + ug;
      sofar.set(skein, before);
    }
  });
  const bases = new Map(shelf.bases.map((base) => [base.id, base]));
  const hanksIn = (pan: Id | null) =>
    plan.skeins
      .filter((skein) => (skein.pan ?? null) === pan)
      .map((skein) => {
        const base = bases.get(skein.base);
        const dyes = sofar.get(skein.id) ?? {};
        const sum = totalUg(dyes);
        const all = whole.get(skein.id) ?? 0;
        return {
          skein: skein.id,
          label: skein.name,
          fill: all === 0 ? 0 : sum / all,
          undyedHex: base?.hex ?? undyed,
          dyedHex: hexOf(shelf, dyes, base?.hex ?? undyed, (ug) => ug / skein.massUg / 0.01),
          flecks: base?.flecks.map((fleck) => fleck.hex) ?? [],
          ringed: ringed.has(skein.id),
          seed: skein.id,
        };
      });
  const pans: Standing[] = plan.pans.map(({ id }) => ({
    pan: id,
    hanks: hanksIn(id),
    pours: falling.get(id) ?? [],
  }));
  const table = hanksIn(null);
  return table.length > 0 ? [...pans, { pan: null, hanks: table, pours: [] }] : pans;
}

function hexOf(
  shelf: Shelf,
  dyes: Readonly<Record<Id, number>>,
  baseHex: string,
  depthPct: (ug: number, allUg: number) => number,
): string {
  const all = totalUg(dyes);
  const doses = Object.entries(dyes).flatMap(([dye, ug]) => {
    const swatch = shelf.dyes.find(({ id }) => id === dye);
    return swatch && ug > 0 ? [{ swatch, depthPct: depthPct(ug, all) }] : [];
  });
  return predictHex(baseHex, doses);
}

/** What a source holds; a strip of it is drawn at 1 % owf in all. */
function massesOf(source: PlanPour["source"], shelf: Shelf): Readonly<Record<Id, number>> {
  if (source.from === "powder") return { [source.dye]: 1 };
  return shelf.stocks.find(({ id }) => id === source.stock)?.dyes ?? {};
}

function dosesOf({ pour }: Pouring, shelf: Shelf): [Id, Record<Id, number>][] {
  const { source, shares } = pour;
  const parts = shares.reduce((sum, share) => sum + share.parts, 0);
  if (parts === 0) return [];
  let dyes: Readonly<Record<Id, number>>;
  if (source.from === "powder") dyes = { [source.dye]: source.amount.massUg };
  else {
    const stock = shelf.stocks.find(({ id }) => id === source.vessel);
    if (!stock || stock.volumeUl === 0) return [];
    const share = source.amount.volumeUl / stock.volumeUl;
    dyes = Object.fromEntries(Object.entries(stock.dyes).map(([dye, ug]) => [dye, ug * share]));
  }
  return shares.map((share) => [
    share.skein,
    Object.fromEntries(Object.entries(dyes).map(([dye, ug]) => [dye, (ug * share.parts) / parts])),
  ]);
}
