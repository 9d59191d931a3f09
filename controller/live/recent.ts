import type { PowderAmount, VolumeAmount } from "../../shared/dye/amount.ts";
import { left } from "../../shared/dye/vessel.ts";
import type { Id } from "../../shared/session/setup.ts";
import type { State } from "../../shared/session/state.ts";

const most = 3;

/** Size of a drop where no dropper of this session says otherwise, uL; common practice, no source. */
const usualDropUl = 50;

/** Size of a drop, uL: as this session last counted or planned them. */
export function dropUl(state: State): number {
  const amounts: VolumeAmount[] = [];
  for (const step of state.setup.steps) {
    if (step.kind === "pour" && step.pour.source.from === "vessel") {
      amounts.push(step.pour.source.amount);
    }
  }
  for (const { pour } of state.bench.poured) {
    if (pour.source.from === "vessel") amounts.push(pour.source.amount);
  }
  const counted = amounts.filter((amount) => amount.drops !== undefined).at(-1);
  return counted?.drops === undefined
    ? usualDropUl
    : Math.max(1, Math.round(counted.volumeUl / counted.drops));
}

/** The last amounts poured from this vessel, then from any, newest first, each once. */
export function recentVolumes(state: State, vessel: Id): VolumeAmount[] {
  const own: VolumeAmount[] = [];
  const others: VolumeAmount[] = [];
  for (const { pour } of state.bench.poured.slice().reverse()) {
    if (pour.source.from !== "vessel") continue;
    (pour.source.vessel === vessel ? own : others).push(pour.source.amount);
  }
  return distinct([...own, ...others], ({ volumeUl, drops }) => `${volumeUl} ${drops}`);
}

/** The last masses of powder, of this dye first, newest first, each once. */
export function recentPowders(state: State, dye: Id): PowderAmount[] {
  const own: PowderAmount[] = [];
  const others: PowderAmount[] = [];
  for (const { pour } of state.bench.poured.slice().reverse()) {
    if (pour.source.from !== "powder") continue;
    (pour.source.dye === dye ? own : others).push(pour.source.amount);
  }
  return distinct([...own, ...others], ({ massUg }) => String(massUg));
}

/** Amounts offered beside the recent ones, uL, that are not among those; what the bottle holds. */
export function presetVolumes(state: State, recent: readonly VolumeAmount[]): VolumeAmount[] {
  const taken = new Set(
    recent.filter(({ drops }) => drops === undefined).map(({ volumeUl }) => volumeUl),
  );
  return state.setup.presetsUl
    .filter((volumeUl) => !taken.has(volumeUl))
    .map((volumeUl) => ({ how: "measured", volumeUl, plusMinusUl: 0 }));
}

/** Pinches and spoons of dry powder, ug, where nothing was poured yet; our own choice. */
const powdersUg = [50_000, 100_000, 250_000, 500_000, 1_000_000];

export function presetPowders(recent: readonly PowderAmount[]): PowderAmount[] {
  const taken = new Set(recent.map(({ massUg }) => massUg));
  return powdersUg
    .filter((massUg) => !taken.has(massUg))
    .map((massUg) => ({ how: "measured", massUg, plusMinusUg: 0 }));
}

/** The pan in hand: of the current step, else of the last pour, else the first. */
export function panInHand(state: State, stepPan: Id | null): Id | null {
  if (stepPan !== null) return stepPan;
  const last = state.bench.poured.at(-1)?.pour.pan;
  return last ?? Object.keys(state.bench.pans)[0] ?? null;
}

export function leftUl(state: State, vessel: Id): number {
  const held = state.bench.vessels[vessel];
  return held ? left(held.vessel).volumeUl : 0;
}

function distinct<T>(all: readonly T[], keyOf: (one: T) => string): T[] {
  const seen = new Set<string>();
  const kept: T[] = [];
  for (const one of all) {
    const key = keyOf(one);
    if (seen.has(key) || kept.length >= most) continue;
    seen.add(key);
    kept.push(one);
  }
  return kept;
}
