import { still } from "./still.ts";
import { powderPath, stripDrawing } from "./strip.ts";
import { YarnStrip } from "./YarnStrip.tsx";

/** What a {@link PowderedStrip} shows. */
export interface PowderedStripProps {
  /** Colour of the dye on the yarn, `#rrggbb`. */
  dyedHex: string;
  /** Colour of the yarn it falls on, `#rrggbb`. */
  undyedHex: string;
  /** px */
  width: number;
  /** px */
  height: number;
  /** A word that fixes where the grains lie; the colour is used when none is given. */
  seed?: string | undefined;
  /** Read aloud; without it the strip is decoration and hidden from readers. */
  title?: string | undefined;
}

/** A dye used dry: grains shaken over a strip of yarn instead of a dip. */
export const PowderedStrip = still((props: PowderedStripProps) => {
  const { dyedHex, undyedHex, width, height } = props;
  const seed = props.seed ?? dyedHex;
  return (
    <YarnStrip
      drawing={stripDrawing(width, height, seed, [], 1)}
      bands={[]}
      powder={[{ path: powderPath(width, height, seed), dyedHex }]}
      undyedHex={undyedHex}
      width={width}
      height={height}
      title={props.title}
    />
  );
});
