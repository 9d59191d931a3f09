import { createContext } from "preact";
import { useContext } from "preact/hooks";
import { WOOL } from "../../shared/draw/palette.ts";
import type { Id } from "../../shared/session/setup.ts";
import type { PublicPour, PublicView } from "../../shared/session/views/publicView.ts";
import { RoughStrip } from "./Shapes.tsx";

/**
 * The drawings in full; `null` while the page stands as it was served. Yarn is then drawn in outline
 * and flat colour, in a twentieth of the bytes, so that the first amounts are there sooner.
 */
export const Drawings = createContext<typeof import("./drawings.ts") | null>(null);

type StripProps = { view: PublicView; pour: PublicPour; width: number; height: number };

/** What a pour is drawn from, on a strip of the yarn it goes on. */
export function Strip({ view, pour, width, height }: StripProps) {
  const drawings = useContext(Drawings);
  const [skein] = Object.keys(pour.doses);
  const undyedHex = undyedOf(view, skein);
  const box = { undyedHex, width, height };
  if (drawings === null) return <RoughStrip {...box} dyedHex={pour.hex} />;
  const { DippedStrip, JugStrip, PowderedStrip } = drawings;
  if (pour.source.from === "powder") {
    return <PowderedStrip {...box} dyedHex={pour.hex} seed={pour.source.dye} />;
  }
  const vessel = view.vessels[pour.source.vessel];
  const dyes = Object.entries(vessel?.strengths ?? {}).filter(([, pct]) => pct > 0);
  if (vessel?.as === "jug" && dyes.length > 1) {
    const bands = dyes.map(([dye, share]) => ({
      dyedHex: view.dyes[dye]?.hex ?? pour.hex,
      share,
    }));
    return <JugStrip {...box} dyes={bands} seed={pour.source.vessel} />;
  }
  return <DippedStrip {...box} dyedHex={pour.hex} seed={pour.source.vessel} />;
}

type DyedProps = {
  dyedHex: string;
  undyedHex: string;
  width: number;
  height: number;
  seed: string;
  powder?: boolean;
};

/** A strip of yarn dipped into a colour, or powdered with it. */
export function Dyed({ powder, ...strip }: DyedProps) {
  const drawings = useContext(Drawings);
  if (drawings === null) {
    const { seed: _, ...rough } = strip;
    return <RoughStrip {...rough} />;
  }
  const { DippedStrip, PowderedStrip } = drawings;
  return powder === true ? <PowderedStrip {...strip} /> : <DippedStrip {...strip} />;
}

/** Colour of the yarn of a skein as it entered; of the session's first base when there is none. */
export function undyedOf(view: PublicView, skein: Id | undefined): string {
  const base = skein === undefined ? undefined : view.skeins[skein]?.base;
  const [first] = Object.values(view.bases);
  return (base === undefined ? first : view.bases[base])?.hex ?? WOOL;
}
