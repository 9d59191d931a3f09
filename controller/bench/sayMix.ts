import { showMass, showVolume } from "../../shared/dye/display.ts";
import type { Act } from "../../shared/session/act.ts";
import { sayVessel } from "../../shared/session/say.ts";
import type { State } from "../../shared/session/state.ts";

/** What went together in a mix: "Jug 1: 12.5 mL Lantern 1 %, 30 mL water". */
export function sayMix(state: State, act: Extract<Act, { kind: "mix" }>): string {
  const went = [
    ...act.parts.map(
      ({ vessel, volumeUl }) => `${showVolume(volumeUl)} ${sayVessel(state, vessel)}`,
    ),
    ...act.powder.map(
      ({ dye, massUg }) => `${showMass(massUg)} ${state.setup.dyes[dye]?.name ?? dye} powder`,
    ),
    ...(act.waterUl > 0 ? [`${showVolume(act.waterUl)} water`] : []),
  ];
  const into = act.made
    ? act.made.name
    : `topped up ${state.bench.vessels[act.into]?.name ?? act.into}`;
  return `${into}: ${went.join(", ")}`;
}
