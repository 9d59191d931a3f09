import { nelderMead } from "fmin/index.js";
import { match, search } from "../../../shared/colour/match.ts";
import { Trial } from "../../../shared/colour/trial.ts";
import { chance } from "../../record/chance.ts";
import { quantile } from "../quantile.ts";

import { shelfOf, targetOf } from "./shelf.ts";

const DYES = 40;

/** The package's shrink step counts with an undeclared variable, which strict code refuses. */
Reflect.set(globalThis, "i", 0);

/** How long matching takes, and how often it finds a target that a known recipe has. */
export function matchTargets(count: number) {
  const { yarn, shelf } = shelfOf(31, DYES);
  const random = chance(32);
  const times: number[] = [];
  let within = 0;
  for (let n = 0; n < count; n++) {
    const target = targetOf(yarn, shelf, random);
    const from = performance.now();
    const { recipes } = match(yarn, target, shelf);
    times.push(performance.now() - from);
    if (recipes.some(({ exactDifference }) => exactDifference <= 0.5)) within++;
  }
  return {
    within05: within / count,
    median: quantile(times, 0.5),
    p95: quantile(times, 0.95),
    worst: Math.max(...times),
  };
}

/**
 * Every dye, pair and triple of the shelf by downhill simplex (Nelder and Mead), and by ours with and
 * without leaving hopeless ones out: the same objective code, starts and tolerance (1e-6).
 */
export function raceTargets(count: number) {
  const { yarn, shelf } = shelfOf(31, DYES);
  const random = chance(33);
  const sets = setsOf(DYES);
  const sum = { simplex: 0, ours: 0, oursAll: 0, worse: 0, better: 0, worst: 0, sets: 0 };
  const best: { simplex: number; ours: number }[] = [];
  for (let n = 0; n < count; n++) {
    const target = targetOf(yarn, shelf, random);
    const trial = new Trial(yarn, target, shelf);
    const starts = sets.map((dyes) => {
      const start = new Float64Array(3);
      if (!trial.start(dyes, start)) start.fill(0);
      return Array.from(dyes, (dye, i) => clamp(start[i] ?? 0, shelf[dye]?.limitPct ?? 0));
    });

    let from = performance.now();
    const found = search(trial, DYES);
    sum.ours += performance.now() - from;

    from = performance.now();
    const doses = new Float64Array(3);
    const ours = sets.map((dyes, at) => {
      doses.set(starts[at] ?? []);
      return trial.settle(dyes, doses);
    });
    sum.oursAll += performance.now() - from;

    from = performance.now();
    const simplex = sets.map((dyes, at) => {
      const objective = (x: readonly number[]) => {
        let outside = 0;
        for (let i = 0; i < dyes.length; i++) {
          const limit = shelf[dyes[i] as number]?.limitPct ?? 0;
          const inside = clamp(x[i] as number, limit);
          outside += Math.abs((x[i] as number) - inside);
          doses[i] = inside;
        }
        return trial.difference(dyes, doses) + 100 * outside;
      };
      return nelderMead(objective, starts[at] ?? [], { minErrorDelta: 1e-6 }).fx;
    });
    sum.simplex += performance.now() - from;

    for (const [at, own] of ours.entries()) {
      const other = simplex[at] ?? 0;
      sum.sets++;
      if (own > other + 1e-3) sum.worse++;
      if (own < other - 1e-3) sum.better++;
      sum.worst = Math.max(sum.worst, own - other);
    }
    best.push({ simplex: Math.min(...simplex), ours: found[0]?.difference ?? Number.NaN });
  }
  return { ...sum, best };
}

function clamp(value: number, limit: number): number {
  return Math.min(limit, Math.max(0, value));
}

function setsOf(count: number): number[][] {
  const sets: number[][] = [];
  for (let i = 0; i < count; i++) {
    sets.push([i]);
    for (let j = i + 1; j < count; j++) {
      sets.push([i, j]);
      for (let k = j + 1; k < count; k++) sets.push([i, j, k]);
    }
  }
  return sets;
}
