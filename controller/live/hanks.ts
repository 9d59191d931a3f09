import { predictHex } from "../../shared/colour/predict.ts";
import type { HankLook } from "../../shared/draw/HankFigure.tsx";
import { localDepthPct } from "../../shared/dye/depth.ts";
import { totalUg } from "../../shared/dye/vessel.ts";
import { pourNow } from "../../shared/session/pourNow.ts";
import type { Id } from "../../shared/session/setup.ts";
import { isOpen, type State } from "../../shared/session/state.ts";
import { skeinHex } from "../../shared/session/views/publicView.ts";

/** The skeins that lie in a pan, as they stand now, those of `ringed` ringed. */
export function hanksIn(state: State, pan: Id, ringed: ReadonlySet<Id>): HankLook[] {
  const planned = plannedUg(state);
  return Object.values(state.bench.skeins)
    .filter((there) => there.pan === pan)
    .map(({ skein, dyes }) => {
      const base = state.setup.bases[skein.base];
      const offered = totalUg(dyes);
      const whole = offered + (planned.get(skein.id) ?? 0);
      return {
        fill: whole === 0 ? 0 : offered / whole,
        dyedHex: skeinHex(state, skein.id),
        undyedHex: base?.hex ?? "#f3ecdf",
        label: skein.name,
        ringed: ringed.has(skein.id),
        flecks: base?.flecks.map((fleck) => fleck.hex) ?? [],
        patches: patchesOn(state, skein.id),
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

/** Zones where a pour touched only part of a skein, each in the colour it has there. */
function patchesOn(state: State, id: Id): { hex: string; coverage: number }[] {
  const skein = state.bench.skeins[id]?.skein;
  const base = skein && state.setup.bases[skein.base];
  if (!skein || !base) return [];
  return state.bench.poured.flatMap(({ pour, doses }) => {
    const dose = doses.find((dose) => dose.skein === id);
    if (!dose || pour.coverage >= 1 || pour.technique === "speckled") return [];
    const hex = predictHex(
      base.hex,
      Object.entries(dose.dyes).flatMap(([dye, ug]) => {
        const swatch = state.setup.dyes[dye];
        return swatch ? [{ swatch, depthPct: localDepthPct(ug, skein.massUg, pour.coverage) }] : [];
      }),
    );
    return [{ hex, coverage: pour.coverage }];
  });
}
