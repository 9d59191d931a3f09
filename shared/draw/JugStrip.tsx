import { still } from "./still.ts";
import { type StripBand, stripDrawing, UNDYED_SHARE } from "./strip.ts";
import { YarnStrip } from "./YarnStrip.tsx";

/** What a {@link JugStrip} shows. */
export interface JugStripProps {
  /** The dyes of the jug, first one uppermost; shares are weighed against each other. */
  dyes: readonly StripBand[];
  /** Colour of the yarn as it enters, `#rrggbb`. */
  undyedHex: string;
  /** px */
  width: number;
  /** px */
  height: number;
  /** A word that fixes the edges; the colours are used when none is given. */
  seed?: string | undefined;
  /** Read aloud; without it the strip is decoration and hidden from readers. */
  title?: string | undefined;
}

/** A jug: a strip of yarn with a length of each dye in it, as long as its share. */
export const JugStrip = still((props: JugStripProps) => {
  const { dyes, undyedHex, width, height, title } = props;
  const seed = props.seed ?? dyes.map((dye) => dye.dyedHex).join();
  const drawing = stripDrawing(width, height, seed, dyes, UNDYED_SHARE * 0.7);
  return (
    <YarnStrip
      drawing={drawing}
      bands={dyes}
      undyedHex={undyedHex}
      width={width}
      height={height}
      title={title}
    />
  );
});
