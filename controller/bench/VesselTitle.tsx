import { showStrength } from "../../shared/dye/display.ts";
import { strengthPct } from "../../shared/dye/strength.ts";
import { totalUg } from "../../shared/dye/vessel.ts";
import type { Id } from "../../shared/session/setup.ts";
import type { State } from "../../shared/session/state.ts";

/**
 * A bottle or jug by name and strength. The two are kept apart, so that a name which ends in a
 * number, or is written from right to left, does not run into the strength.
 */
export function VesselTitle({ state, id }: { state: State; id: Id }) {
  const there = state.bench.vessels[id];
  if (!there) return <bdi>{id}</bdi>;
  const { madeUg, madeUl } = there.vessel;
  return (
    <span class="vessel-title">
      <bdi>{there.name}</bdi>{" "}
      <span class="strength figures">{showStrength(strengthPct(totalUg(madeUg), madeUl))}</span>
    </span>
  );
}
