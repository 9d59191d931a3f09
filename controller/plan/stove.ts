import type { HankLook } from "../../shared/draw/HankFigure.tsx";
import { addMasses, type DyeMasses, totalUg } from "../../shared/dye/vessel.ts";
import type { Plan, PlanPour } from "../../shared/plan/plan.ts";
import type { Walk } from "../../shared/plan/walk.ts";
import {
  liquorOn,
  type PourOn,
  predictedSkein,
  sourceOf,
  undyed,
} from "../../shared/session/predicted.ts";
import type { Id, Step } from "../../shared/session/setup.ts";
import { baseOnBench, dyesOnBench } from "../../shared/shelf/onBench.ts";
import type { Shelf } from "../../shared/shelf/shelf.ts";

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
  const dyes = dyesOnBench(
    shelf,
    shelf.dyes.map(({ id }) => id),
  );
  const sofar = new Map<Id, { all: DyeMasses; pours: PourOn[] }>();
  const whole = new Map<Id, number>();
  const ringed = new Set<Id>();
  const falling = new Map<Id, Falling[]>();
  const strips = new Map<string, string>();
  const stripOf = (source: PlanPour["source"]): string => {
    const key = source.from === "stock" ? `stock ${source.stock}` : `powder ${source.dye}`;
    const known = strips.get(key);
    if (known !== undefined) return known;
    const { hex } = liquorOn(undefined, dyes, massesOf(source, shelf));
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
    for (const [skein, own] of dosesOf(there, shelf)) {
      whole.set(skein, (whole.get(skein) ?? 0) + totalUg(own));
      if (at > last) continue;
      if (step.id === upTo) ringed.add(skein);
      const before = sofar.get(skein) ?? { all: {}, pours: [] };
      const { coverage, technique, placement } = there.pour;
      before.pours.push({
        coverage,
        technique,
        ...(placement === undefined ? {} : { placement }),
        source: sourceOf(there.pour),
        dyes: own,
      });
      sofar.set(skein, { all: addMasses(before.all, own), pours: before.pours });
    }
  });
  const bases = new Map(shelf.bases.map((base) => [base.id, base]));
  const hanksIn = (pan: Id | null) =>
    plan.skeins
      .filter((skein) => (skein.pan ?? null) === pan)
      .map((skein) => {
        const base = bases.get(skein.base);
        const { all: own, pours } = sofar.get(skein.id) ?? { all: {}, pours: [] };
        const { ground, patches } = predictedSkein(
          base && baseOnBench(base),
          skein.massUg,
          dyes,
          own,
          pours,
        );
        const sum = totalUg(own);
        const all = whole.get(skein.id) ?? 0;
        return {
          skein: skein.id,
          label: skein.name,
          fill: all === 0 ? 0 : sum / all,
          undyedHex: base?.hex ?? undyed,
          dyedHex: ground.hex,
          flecks: base?.flecks.map((fleck) => fleck.hex) ?? [],
          patches: patches.map(({ hex, coverage, specks }) => ({ hex, coverage, specks })),
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
