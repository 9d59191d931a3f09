import { textWidth } from "../../shared/draw/letters.ts";
import { Pan } from "../../shared/draw/Pan.tsx";
import type { PanLook } from "../../shared/session/views/overlayScene.ts";

const width = 312;
const height = 256;
const labelSize = 36;

/** The pan on its shelf: hanks that fill as depth builds, the ones poured on ringed, and under it
 * that their colours are predicted. */
export function PanCard({ pan }: { pan: PanLook }) {
  const { hanks } = pan;
  const slot = (width * 0.84) / Math.max(1, hanks.length);
  const labelled =
    hanks.length > 0 &&
    hanks.every(({ label }) => textWidth(label, labelSize) + labelSize * 0.9 <= slot);
  return (
    <div class="pan" data-part="pan">
      <Pan
        name="predicted"
        nameSize={36}
        title={`Pan ${pan.name}`}
        hanks={hanks.map((hank) => ({ ...hank, seed: hank.id }))}
        bath={pan.bath}
        width={width}
        height={height}
        labelSize={labelled ? labelSize : 0}
        tone="ink"
      />
    </div>
  );
}
