import { DippedStrip } from "../../shared/draw/DippedStrip.tsx";
import { PowderedStrip } from "../../shared/draw/PowderedStrip.tsx";
import type { StripLook } from "../../shared/session/views/overlayScene.ts";

type StripProps = { look: StripLook; width: number; height: number; class?: string };

/** A dye on a strip of the yarn it goes on: dipped, or as powder. */
export function Strip({ look, width, height, class: name }: StripProps) {
  const { dyedHex, undyedHex, seed } = look;
  const Drawing = look.dry ? PowderedStrip : DippedStrip;
  return (
    <div class={name}>
      <Drawing dyedHex={dyedHex} undyedHex={undyedHex} seed={seed} width={width} height={height} />
    </div>
  );
}
