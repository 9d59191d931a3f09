import { DippedStrip } from "../../shared/draw/DippedStrip.tsx";
import { JugStrip } from "../../shared/draw/JugStrip.tsx";
import type { DyeMasses } from "../../shared/dye/vessel.ts";
import type { State } from "../../shared/session/state.ts";
import { liquorHex } from "../../shared/session/views/publicView.ts";

/** What a {@link Liquid} shows. */
export interface LiquidProps {
  state: State;
  dyes: DyeMasses;
  width: number;
  height: number;
  seed: string;
}

/** A stock or a mix as its strip of yarn: one dip, or a length of each dye. */
export function Liquid({ state, dyes, width, height, seed }: LiquidProps) {
  const [base] = Object.values(state.setup.bases);
  const undyedHex = base?.hex ?? "#f3ecdf";
  const parts = Object.entries(dyes).filter(([, ug]) => ug > 0);
  if (parts.length < 2) {
    return (
      <DippedStrip
        dyedHex={liquorHex(state, dyes)}
        undyedHex={undyedHex}
        width={width}
        height={height}
        seed={seed}
      />
    );
  }
  return (
    <JugStrip
      dyes={parts.map(([id, ug]) => ({ dyedHex: liquorHex(state, { [id]: ug }), share: ug }))}
      undyedHex={undyedHex}
      width={width}
      height={height}
      seed={seed}
    />
  );
}
