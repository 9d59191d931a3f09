import type { HankLook } from "../../shared/draw/HankFigure.tsx";
import { totalUg } from "../../shared/dye/vessel.ts";
import { pourNow } from "../../shared/session/pourNow.ts";
import { skeinColour } from "../../shared/session/predicted.ts";
import type { Id } from "../../shared/session/setup.ts";
import { isOpen, type State } from "../../shared/session/state.ts";

/** The skeins that lie in a pan, as they stand now, those of `ringed` ringed. */
export function hanksIn(state: State, pan: Id, ringed: ReadonlySet<Id>): HankLook[] {
  const planned = plannedUg(state);
  return Object.values(state.bench.skeins)
    .filter((there) => there.pan === pan)
    .map(({ skein, dyes }) => {
      const base = state.setup.bases[skein.base];
      const { ground, patches } = skeinColour(state, skein.id);
      const offered = totalUg(dyes);
      const whole = offered + (planned.get(skein.id) ?? 0);
      return {
        fill: whole === 0 ? 0 : offered / whole,
        dyedHex: ground.hex,
        undyedHex: base?.hex ?? "#f3ecdf",
        label: skein.name,
        ringed: ringed.has(skein.id),
        flecks: base?.flecks.map((fleck) => fleck.hex) ?? [],
        patches: patches.map(({ hex, coverage, specks }) => ({ hex, coverage, specks })),
        seed: skein.id,
      };
    });
}

/** Dye that open steps of the sheet still bring each skein, ug. */
function plannedUg(state: State): ReadonlyMap<Id, number> {
  const planned = new Map<Id, number>();
  for (const step of state.setup.steps) {
    if (step.kind !== "pour" || !isOpen(state, step.id)) continue;
    const pour = pourNow(state, step);
    const parts = pour.shares.reduce((sum, share) => sum + share.parts, 0);
    const { source } = pour;
    const vessel = source.from === "vessel" ? state.bench.vessels[source.vessel]?.vessel : null;
    const dyeUg =
      source.from === "powder"
        ? source.amount.massUg
        : vessel
          ? (totalUg(vessel.madeUg) * source.amount.volumeUl) / vessel.madeUl
          : 0;
    for (const share of pour.shares) {
      const sum = (planned.get(share.skein) ?? 0) + (dyeUg * share.parts) / parts;
      planned.set(share.skein, sum);
    }
  }
  return planned;
}
