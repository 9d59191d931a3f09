import { DippedStrip } from "../../shared/draw/DippedStrip.tsx";
import { seenColour } from "../../shared/session/outcome.ts";
import { skeinColour } from "../../shared/session/predicted.ts";
import type { Id } from "../../shared/session/setup.ts";
import type { State } from "../../shared/session/state.ts";

/** What a {@link ColourStrip} shows. */
export interface ColourStripProps {
  state: State;
  id: Id;
  width: number;
  height: number;
}

/** A skein's colour as a strip of its yarn: as it was seen where it was, else as predicted. */
export function ColourStrip({ state, id, width, height }: ColourStripProps) {
  const there = state.bench.skeins[id];
  const base = there && state.setup.bases[there.skein.base];
  const { hex } = seenColour(there?.outcome) ?? skeinColour(state, id).ground;
  return (
    <DippedStrip
      dyedHex={hex}
      undyedHex={base?.hex ?? "#f3ecdf"}
      width={width}
      height={height}
      seed={id}
    />
  );
}
