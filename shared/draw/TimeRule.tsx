import { numberedTicks, readableTicks } from "./graduation.ts";
import { textWidth } from "./letters.ts";
import { minuteScale } from "./minutes.ts";
import { Picture } from "./Picture.tsx";
import { FACE, groundOf, type Tone } from "./palette.ts";
import { closedPath, coordinate } from "./polygon.ts";
import { type Strand, strandOutline, twistLines } from "./strand.ts";
import { twistOf } from "./tint.ts";

/** What a {@link TimeRule} shows. */
export interface TimeRuleProps {
  /** Seconds left; at or below 0 the cord is gone. */
  leftS: number;
  /** The whole wait, seconds, more than 0. */
  totalS: number;
  /** px */
  width: number;
  /** px; 20 is the least that reads. */
  height: number;
  /** The ground it stands on. */
  tone: Tone;
  /** Colour of the cord; the ground's own line colour when not given. */
  cordHex?: string | undefined;
  /** Number the main graduations, in minutes (in hours from six hours up). */
  labels?: boolean | undefined;
  /** Size of those numbers, px; 15 when not given. */
  labelSize?: number | undefined;
  /** Read aloud; without it the rule is decoration, for the time beside it says the same. */
  title?: string | undefined;
}

/** A wait: a plied cord on a rule of minutes that burns down towards 0 at the left. */
export function TimeRule(props: TimeRuleProps) {
  const { width, height, tone, title } = props;
  const ground = groundOf(tone);
  const scale = minuteScale(props.totalS);
  const left = Math.max(0, Math.min(props.leftS, scale.endS));
  const labelSize = props.labelSize ?? 15;
  const inHours = scale.mainS >= 3600;
  const say = (seconds: number) => String(seconds / (inHours ? 3600 : 60));
  const head = props.labels === true ? labelSize * 1.15 : 0;
  const body = height - head;
  const line = Math.max(1.25, Math.min(4, body / 22));
  const margin = props.labels === true ? textWidth(say(scale.endS), labelSize) / 2 : line;
  const length = width - line - margin - line;
  const along = (seconds: number) => line + (seconds / scale.endS) * length;

  const thick = body * 0.5;
  const middle = height - thick / 2;
  const shelf = height - thick - line * 1.5;
  const ticks = readableTicks(scale.ticks, scale.endS, length, line * 2.1);
  const reach = { main: shelf - head, half: (shelf - head) * 0.66, fine: (shelf - head) * 0.4 };
  const tickPath = (rank: "main" | "half" | "fine") =>
    ticks
      .filter((tick) => tick.rank === rank)
      .map(
        (tick) => `M${coordinate(along(tick.at))} ${coordinate(shelf)}v${coordinate(-reach[rank])}`,
      )
      .join("");
  const widest = textWidth(say(scale.endS), labelSize) + labelSize * 0.9;
  const numbered = props.labels === true ? numberedTicks(ticks, scale.endS, length, widest) : [];

  const cordHex = props.cordHex ?? ground.line;
  const end = along(left);
  const char = Math.min(thick * 0.5, end - line);
  const cord: Strand = {
    x: 0,
    half: thick / 2,
    top: 0,
    bottom: Math.max(0, end - line),
    pitch: thick * 1.05,
    phase: 0,
  };
  return (
    <Picture width={width} height={height} title={title}>
      <g stroke={ground.line} fill="none">
        <path
          d={`M${coordinate(line / 2)} ${coordinate(shelf)}H${coordinate(along(scale.endS) + line / 2)}`}
          stroke-width={line}
        />
        <path d={tickPath("fine")} stroke-width={line * 0.7} />
        <path d={tickPath("half")} stroke-width={line * 0.85} />
        <path d={tickPath("main")} stroke-width={line} />
      </g>
      {left < scale.endS && (
        <path
          d={`M${coordinate(end + char)} ${coordinate(middle)}H${coordinate(along(scale.endS))}`}
          stroke={ground.quiet}
          stroke-width={line}
          stroke-linecap="round"
          stroke-dasharray={`0 ${coordinate(line * 3)}`}
        />
      )}
      {cord.bottom > 0 && (
        <g transform={`matrix(0 1 1 0 ${coordinate(line)} ${coordinate(middle)})`}>
          <path d={closedPath(strandOutline(cord))} fill={cordHex} />
          <path
            d={twistLines(cord)}
            fill="none"
            stroke={twistOf(cordHex, 0.55)}
            stroke-width={line}
            stroke-linecap="round"
          />
        </g>
      )}
      {numbered.map((tick) => (
        <text
          key={tick.at}
          x={coordinate(along(tick.at))}
          y={coordinate(labelSize * 0.8)}
          text-anchor={tick.at === 0 ? "start" : "middle"}
          font-family={FACE}
          font-size={labelSize}
          fill={ground.quiet}
          style="font-variant-numeric: tabular-nums"
        >
          {say(tick.at)}
        </text>
      ))}
    </Picture>
  );
}
