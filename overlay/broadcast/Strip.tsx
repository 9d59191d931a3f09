import { DippedStrip } from "../../shared/draw/DippedStrip.tsx";
import { PowderedStrip } from "../../shared/draw/PowderedStrip.tsx";
import type { StripLook } from "../../shared/session/views/overlayScene.ts";

type StripProps = { look: StripLook; width: number; height: number; class?: string };

/** A dye on a strip of the yarn it goes on: dipped, or as powder. */
export function Strip({ look, width, height, class: name }: StripProps) {
  const { dry, patches, ...colours } = look;
  const strip = { ...colours, width, height };
  return (
    <div class={name}>
      {dry ? <PowderedStrip {...strip} /> : <DippedStrip {...strip} patches={patches} />}
    </div>
  );
}
