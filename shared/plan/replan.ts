import { isProblem, replay } from "../session/bench.ts";
import type { Decision } from "../session/decide.ts";
import type { Id, Pan, Setup, Skein, Step, Stock } from "../session/setup.ts";
import type { State } from "../session/state.ts";

/**
 * Brings a changed plan to a session that was opened from it. Steps that were begun stay as they
 * were; those to come are the plan's. What stands on the bench keeps the state it was opened with: a
 * bottle its level, a pan its water, a skein its place where dye lies on it.
 *
 * @param planned the plan as a session would be opened with it now
 */
export function replan(state: State, planned: Setup): Decision {
  if (state.phase === "closed") {
    return {
      ok: false,
      code: "closed",
      say: "This session is closed. Reopen it first, or open a new one from the plan.",
    };
  }
  const setup = replanned(state, planned);
  if (JSON.stringify(setup) === JSON.stringify(state.setup)) {
    return { ok: false, code: "same", say: "The bench has this plan already." };
  }
  if (isProblem(replay(setup, state.acts))) {
    return {
      ok: false,
      code: "replan",
      say: "What was done already does not fit this plan. Leave what was used in it, then try again.",
    };
  }
  return { ok: true, events: [{ type: "replanned", setup }] };
}

function replanned(state: State, planned: Setup): Setup {
  const was = state.setup;
  const begun = was.steps.filter(({ id }) => state.bench.steps[id] !== undefined);
  const isBegun = new Set(begun.map(({ id }) => id));
  const steps: Step[] = [...begun, ...planned.steps.filter(({ id }) => !isBegun.has(id))];
  const fits = (setup: Setup) => !isProblem(replay(setup, state.acts));
  let setup: Setup = {
    ...planned,
    dyes: { ...was.dyes, ...planned.dyes },
    bases: { ...was.bases, ...planned.bases },
    colourways: { ...was.colourways, ...planned.colourways },
    stocks: { ...freshStocks(state, planned), ...was.stocks },
    pans: { ...was.pans, ...panned(was, planned) },
    skeins: { ...was.skeins, ...settled(state, planned) },
    steps,
  };
  // What the plan no longer has goes, unless something that was done needs it.
  for (const part of ["skeins", "pans", "stocks"] as const) {
    for (const id of Object.keys(was[part])) {
      if (id in planned[part] || isNamed(setup, part, id)) continue;
      const { [id]: _, ...rest } = setup[part];
      const without = { ...setup, [part]: rest };
      if (fits(without)) setup = without;
    }
  }
  return setup;
}

function isNamed(setup: Setup, part: "skeins" | "pans" | "stocks", id: Id): boolean {
  const inSteps = setup.steps.some((step) => {
    if (part === "pans") return (step.kind === "pour" ? step.pour.pan : step.pan) === id;
    if (step.kind !== "pour") return false;
    const { source, shares } = step.pour;
    return part === "skeins"
      ? shares.some(({ skein }) => skein === id)
      : source.from === "vessel" && source.vessel === id;
  });
  return inSteps || (part === "pans" && Object.values(setup.skeins).some(({ pan }) => pan === id));
}

/** Bottles that are not on the bench yet; a jug that was mixed there has its name already. */
function freshStocks({ bench }: State, planned: Setup): Record<Id, Stock> {
  return Object.fromEntries(
    Object.entries(planned.stocks).filter(([id]) => bench.vessels[id] === undefined),
  );
}

function panned(was: Setup, planned: Setup): Record<Id, Pan> {
  return Object.fromEntries(
    Object.entries(planned.pans).map(([id, pan]) => {
      const before = was.pans[id];
      return [id, before ? { ...pan, waterUl: before.waterUl } : pan];
    }),
  );
}

/** Skeins as planned; one that dye lies on, or that was moved by hand, keeps the place it had. */
function settled({ bench, setup: was }: State, planned: Setup): Record<Id, Skein> {
  return Object.fromEntries(
    Object.entries(planned.skeins).map(([id, skein]) => {
      const before = was.skeins[id];
      const now = bench.skeins[id];
      if (!before || !now) return [id, skein];
      const untouched = Object.keys(now.dyes).length === 0 && now.pan === (before.pan ?? null);
      if (untouched) return [id, skein];
      const { pan: _, ...rest } = skein;
      return [id, before.pan === undefined ? rest : { ...rest, pan: before.pan }];
    }),
  );
}
