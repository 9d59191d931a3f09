import { specksPath } from "./specks.ts";
import { still } from "./still.ts";
import { type StripBand, stripDrawing, UNDYED_SHARE } from "./strip.ts";
import { type HankPatch, patchZones } from "./twist.ts";
import { YarnStrip } from "./YarnStrip.tsx";

/** What a {@link DippedStrip} shows. */
export interface DippedStripProps {
  /** Colour of the dye on the yarn, `#rrggbb`. */
  dyedHex: string;
  /** Colour of the yarn as it enters, `#rrggbb`. */
  undyedHex: string;
  /** px */
  width: number;
  /** px; about twice the width looks best. */
  height: number;
  /** A word that fixes the edge, such as the dye's id; the colour is used when none is given. */
  seed?: string | undefined;
  /** Read aloud; without it the strip is decoration and hidden from readers. */
  title?: string | undefined;
  /** Share of the height left undyed, 0 to 1; 0.34 when not given. */
  undyedShare?: number | undefined;
  /** Parts of the dyed length in colours of their own, from the top down, and specks on it. */
  patches?: readonly HankPatch[] | undefined;
}

/** A dye: a strip of undyed yarn dipped into its colour, with the uneven edge where it crept up. */
export const DippedStrip = still((props: DippedStripProps) => {
  const { dyedHex, undyedHex, width, height, title } = props;
  const { undyedShare = UNDYED_SHARE, patches = [], seed = dyedHex } = props;
  const bands = bandsOf(dyedHex, patches);
  const drawing = stripDrawing(width, height, seed, bands, undyedShare);
  const top = height * (undyedShare + 0.04);
  const specks = patches.flatMap(({ hex, coverage, specks }, order) => {
    if (specks !== true) return [];
    const tall = height * 0.95 - top;
    const path = specksPath(`${seed} ${order}`, coverage, width * tall, width * 0.05, (next) => ({
      x: width * (0.06 + 0.88 * next()),
      y: top + tall * next(),
    }));
    return [{ path, dyedHex: hex }];
  });
  return (
    <YarnStrip
      drawing={drawing}
      bands={bands}
      powder={specks}
      undyedHex={undyedHex}
      width={width}
      height={height}
      title={title}
    />
  );
});

/** The dyed length from the top down: ground, and each part that is not specks where it lies. */
function bandsOf(groundHex: string, patches: readonly HankPatch[]): StripBand[] {
  const parts = patches.filter(({ specks }) => specks !== true);
  const bands: StripBand[] = [];
  let at = 0;
  for (const [order, [from, to]] of patchZones(parts).entries()) {
    if (from > at) bands.push({ dyedHex: groundHex, share: from - at });
    const start = Math.max(at, from);
    if (to > start) bands.push({ dyedHex: parts[order]?.hex ?? groundHex, share: to - start });
    at = Math.max(at, to);
  }
  if (at < 1) bands.push({ dyedHex: groundHex, share: 1 - at });
  return bands;
}
