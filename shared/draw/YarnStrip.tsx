import { Picture } from "./Picture.tsx";
import { HAIRLINE } from "./palette.ts";
import type { StripBand, StripDrawing } from "./strip.ts";
import { creptOf, twistOf } from "./tint.ts";

/** What a {@link YarnStrip} shows. */
export interface YarnStripProps {
  drawing: StripDrawing;
  bands: readonly StripBand[];
  /** Dry powder or specks of dye lying on the yarn, path data with their colours. */
  powder?: readonly { readonly path: string; readonly dyedHex: string }[] | undefined;
  undyedHex: string;
  width: number;
  height: number;
  title?: string | undefined;
}

/** The yarn that every strip is drawn on: dipped, banded or dusted. Pages use the three by name. */
export function YarnStrip(props: YarnStripProps) {
  const { drawing, bands, powder, undyedHex, width, height, title } = props;
  const edge = Math.max(1.5, drawing.twistWidth * 1.5);
  const line = {
    fill: "none",
    "stroke-width": drawing.twistWidth,
    "stroke-linecap": "round" as const,
  };
  return (
    <Picture
      width={width}
      height={height}
      viewBox={`${-edge / 2} ${-edge / 2} ${width + edge} ${height + edge}`}
      title={title}
    >
      <path d={drawing.yarn} fill={HAIRLINE} stroke={HAIRLINE} stroke-width={edge} />
      <path
        d={drawing.yarn}
        fill={undyedHex}
        stroke={twistOf(undyedHex)}
        stroke-width={drawing.twistWidth * 0.5}
      />
      <path {...line} d={drawing.twist} stroke={twistOf(undyedHex)} />
      {drawing.bands.map((band, order) => {
        const dyedHex = bands[order]?.dyedHex ?? undyedHex;
        return (
          <g key={order}>
            <path d={band.crept} fill={creptOf(undyedHex, dyedHex)} />
            <path
              d={band.dyed}
              fill={dyedHex}
              stroke={twistOf(dyedHex)}
              stroke-width={drawing.twistWidth * 0.5}
            />
            <path {...line} d={band.twist} stroke={twistOf(dyedHex)} />
          </g>
        );
      })}
      {powder?.map(({ path, dyedHex }, order) => (
        <path
          key={order}
          d={path}
          fill={dyedHex}
          stroke={HAIRLINE}
          stroke-width={drawing.twistWidth * 0.35}
        />
      ))}
    </Picture>
  );
}
