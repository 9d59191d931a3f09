import type { HankLook } from "../../shared/draw/HankFigure.tsx";
import { depthPct } from "../../shared/dye/depth.ts";
import { totalUg } from "../../shared/dye/vessel.ts";
import { skeinColour } from "../../shared/session/predicted.ts";
import type { Id } from "../../shared/session/setup.ts";
import type { State } from "../../shared/session/state.ts";

/** Average depth of a skein so far, % owf. */
export function skeinDepthPct(state: State, id: Id): number {
  const there = state.bench.skeins[id];
  return there ? depthPct(totalUg(there.dyes), there.skein.massUg) : 0;
}

/** How a skein that lies in no pan stands: nothing is planned for it there, so it is bare or full. */
export function lyingHank(state: State, id: Id, ringed: boolean): HankLook {
  const there = state.bench.skeins[id];
  const base = there ? state.setup.bases[there.skein.base] : undefined;
  const { ground, patches } = skeinColour(state, id);
  return {
    fill: skeinDepthPct(state, id) === 0 ? 0 : 1,
    dyedHex: ground.hex,
    patches: patches.map(({ hex, coverage, specks }) => ({ hex, coverage, specks })),
    undyedHex: base?.hex ?? "#f3ecdf",
    label: there?.skein.name ?? id,
    ringed,
    flecks: base?.flecks.map((fleck) => fleck.hex) ?? [],
    seed: id,
  };
}

/** Skeins that lie in a pan, or in none. */
export function skeinsIn(state: State, pan: Id | null): Id[] {
  return Object.values(state.bench.skeins)
    .filter((there) => there.pan === pan)
    .map((there) => there.skein.id);
}
