import { HankFigure, type HankLook, ringRoom } from "./HankFigure.tsx";
import { Picture } from "./Picture.tsx";
import type { Tone } from "./palette.ts";
import { Tape, tapeHeight } from "./Tape.tsx";

/** What a {@link Hank} shows: a skein's look, and the box it stands in. */
export interface HankProps extends HankLook {
  /** px */
  width: number;
  /** px; with its label, about two and a half times the width looks best. */
  height: number;
  /** The ground it stands on. */
  tone: Tone;
  /** Size of the label's letters, px; 15 when not given, 0 for no label. */
  labelSize?: number | undefined;
  /** Read aloud; the full label when not given. */
  title?: string | undefined;
}

/** A skein twisted into a hank and stood on end, dyed from its foot up as depth of shade builds. */
export function Hank(props: HankProps) {
  const { width, height, tone } = props;
  const labelSize = props.labelSize ?? 15;
  const foot = labelSize > 0 ? tapeHeight(labelSize) + labelSize * 0.35 : 0;
  const wide = Math.min(width * 0.8, (height - foot) * 0.42);
  const room = ringRoom(wide);
  const knot = wide * 0.1;
  return (
    <Picture width={width} height={height} title={props.title ?? props.label}>
      <HankFigure
        look={props}
        x={(width - wide) / 2}
        y={room + knot}
        width={wide}
        height={height - foot - 2 * room - knot}
        tone={tone}
      />
      {labelSize > 0 && (
        <Tape
          text={props.label}
          x={width / 2}
          y={height - tapeHeight(labelSize) - 1}
          size={labelSize}
          room={width - 2}
          tone={tone}
          reversed={props.ringed}
        />
      )}
    </Picture>
  );
}
