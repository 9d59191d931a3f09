import { still } from "./still.ts";
import { stripDrawing } from "./strip.ts";
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
}

/** A dye: a strip of undyed yarn dipped into its colour, with the uneven edge where it crept up. */
export const DippedStrip = still((props: DippedStripProps) => {
  const { dyedHex, undyedHex, width, height, title } = props;
  const bands = [{ dyedHex, share: 1 }];
  const drawing = stripDrawing(width, height, props.seed ?? dyedHex, bands, props.undyedShare);
  return (
    <YarnStrip
      drawing={drawing}
      bands={bands}
      undyedHex={undyedHex}
      width={width}
      height={height}
      title={title}
    />
  );
});
