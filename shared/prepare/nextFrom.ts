import { left } from "../dye/vessel.ts";
import type { Plan } from "../plan/plan.ts";
import { planOfSetup } from "../plan/planOfSetup.ts";
import type { Act } from "../session/act.ts";
import type { Bench, BenchVessel } from "../session/bench.ts";
import type { Id, Setup } from "../session/setup.ts";
import type { State } from "../session/state.ts";
import type { Shelf, ShelfStock } from "../shelf/shelf.ts";
import type { Change } from "./change.ts";
import { mergeShelves } from "./merge.ts";
import type { Prepared } from "./preparation.ts";

/** The most letters in a name. */
const mostLetters = 80;

/**
 * Begins the next plan from a session, as one change: its plan under a new short name, and its
 * bottles and filled jugs on the shelf at the levels it left them. Dyes and yarns that stand on the
 * shelf stay as they are, those that are missing are added. Nothing of the record is copied: no
 * pour, no time, no note.
 *
 * @param id short name of the new plan
 * @param later benches of sessions that drew on bottles after this one did, oldest first: where one
 *   of them had the same bottle, it knows better what is left
 */
export function nextFrom(
  state: Pick<State, "setup" | "bench" | "plan">,
  prepared: Prepared,
  id: Id,
  later: readonly Bench[] = [],
): { change: Change; plan: Plan; bottles: number } {
  const { setup } = state;
  const old = planOfSetup(setup);
  const there = state.plan === undefined ? undefined : prepared.plans[state.plan]?.plan;
  const begun = there ?? old.plan;
  const names = new Set(Object.values(prepared.plans).map((line) => line.plan.name));
  const plan: Plan = { ...begun, name: nextName(begun.name, names) };
  const things = mergeShelves(
    prepared.shelf,
    { ...old.shelf, stocks: [], tools: [], swatches: [] },
    "keep",
  ).shelf;
  const bottles = Object.values(state.bench.vessels).flatMap((vessel) => {
    const bottle = bottleLeft(newest(vessel, later), things, setup);
    return bottle === null ? [] : [bottle];
  });
  const { shelf } = mergeShelves(
    things,
    { dyes: [], bases: [], stocks: bottles, tools: [], swatches: [] },
    "replace",
  );
  const because = `began ${plan.name}`;
  return {
    plan,
    bottles: bottles.length,
    change: {
      change: "several",
      changes: [
        { change: "shelf", shelf, because },
        { change: "newPlan", plan: id, content: plan },
      ],
      because,
    },
  };
}

/** "Harbour at dusk", "Harbour at dusk 2", "Harbour at dusk 3" …: the first that is not taken. */
export function nextName(name: string, taken: ReadonlySet<string>): string {
  const [, stem = name, count = "1"] = /^(.*\S)\s+(\d{1,4})$/.exec(name) ?? [];
  for (let n = Number(count) + 1; ; n++) {
    const tail = ` ${n}`;
    const next = stem.slice(0, mostLetters - tail.length).trimEnd() + tail;
    if (!taken.has(next)) return next;
  }
}

/**
 * When a session last drew on a bottle or filled one, ms since 1970; `null` where it never did. What
 * is only written about it later, such as how a skein rinsed, does not make its levels newer.
 */
export function lastDrawnAt({ acts }: Pick<State, "acts">): number | null {
  const drawn = acts.filter(({ act }) => DRAWING.has(act.kind));
  return drawn.length === 0 ? null : Math.max(...drawn.map(({ at }) => at));
}

const DRAWING: ReadonlySet<Act["kind"]> = new Set(["pour", "mix", "discard", "settle"]);

function newest(vessel: BenchVessel, later: readonly Bench[]): BenchVessel {
  return later.reduce((known, bench) => bench.vessels[vessel.id] ?? known, vessel);
}

/** A vessel of the bench as a bottle on the shelf; a jug that was emptied is washed, not kept. */
function bottleLeft(vessel: BenchVessel, shelf: Shelf, setup: Setup): ShelfStock | null {
  const { volumeUl, dyes } = left(vessel.vessel);
  if (vessel.as === "jug" && volumeUl === 0) return null;
  const known = shelf.stocks.find(({ id }) => id === vessel.id);
  const madeOn = known?.madeOn ?? setup.stocks[vessel.id]?.madeOn;
  return {
    id: vessel.id,
    name: known?.name ?? vessel.name,
    ...(madeOn === undefined ? {} : { madeOn }),
    volumeUl,
    dyes,
    toMake: false,
    retired: known?.retired ?? false,
  };
}
