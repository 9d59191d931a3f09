import { DippedStrip } from "../../shared/draw/DippedStrip.tsx";
import { JugStrip } from "../../shared/draw/JugStrip.tsx";
import { PowderedStrip } from "../../shared/draw/PowderedStrip.tsx";
import type { Id } from "../../shared/session/setup.ts";
import type { State } from "../../shared/session/state.ts";
import { liquorHex } from "../../shared/session/views/publicView.ts";

/** What a {@link SourceStrip} shows. */
export interface SourceStripProps {
  state: State;
  /** The bottle or jug, or the dye that is used dry. */
  of: { vessel: Id } | { powder: Id };
  width: number;
  height: number;
}

/** What is poured, as a strip of yarn: a stock dipped, a jug in bands, a powder as grains. */
export function SourceStrip({ state, of, width, height }: SourceStripProps) {
  const [base] = Object.values(state.setup.bases);
  const undyedHex = base?.hex ?? "#f3ecdf";
  const size = { width, height, undyedHex };
  if ("powder" in of) {
    const dyedHex = liquorHex(state, { [of.powder]: 1 });
    return <PowderedStrip {...size} dyedHex={dyedHex} seed={of.powder} />;
  }
  const made = state.bench.vessels[of.vessel]?.vessel.madeUg ?? {};
  const dyes = Object.entries(made).filter(([, ug]) => ug > 0);
  if (dyes.length > 1) {
    const bands = dyes.map(([dye, ug]) => ({ dyedHex: liquorHex(state, { [dye]: 1 }), share: ug }));
    return <JugStrip {...size} dyes={bands} seed={of.vessel} />;
  }
  return <DippedStrip {...size} dyedHex={liquorHex(state, made)} seed={of.vessel} />;
}
