import { DippedStrip } from "../../shared/draw/DippedStrip.tsx";
import { JugStrip } from "../../shared/draw/JugStrip.tsx";
import { PowderedStrip } from "../../shared/draw/PowderedStrip.tsx";
import { WOOL } from "../../shared/draw/palette.ts";
import type { Id } from "../../shared/session/setup.ts";
import type { PublicPour, PublicView } from "../../shared/session/views/publicView.ts";

type StripProps = { view: PublicView; pour: PublicPour; width: number; height: number };

/** What a pour is drawn from, on a strip of the yarn it goes on. */
export function Strip({ view, pour, width, height }: StripProps) {
  const [skein] = Object.keys(pour.doses);
  const undyedHex = undyedOf(view, skein);
  const box = { undyedHex, width, height };
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

/** Colour of the yarn of a skein as it entered; of the session's first base when there is none. */
export function undyedOf(view: PublicView, skein: Id | undefined): string {
  const base = skein === undefined ? undefined : view.skeins[skein]?.base;
  const [first] = Object.values(view.bases);
  return (base === undefined ? first : view.bases[base])?.hex ?? WOOL;
}
