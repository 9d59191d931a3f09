import { fitText, textWidth } from "./letters.ts";
import { FACE, groundOf, HAIRLINE, INK, type Tone, WOOL } from "./palette.ts";
import { closedPath } from "./polygon.ts";

/** What a {@link Tape} shows. */
export interface TapeProps {
  text: string;
  /** Middle of the tape, px. */
  x: number;
  /** Top of the tape, px. */
  y: number;
  /** Size of the letters, px. */
  size: number;
  /** Widest it may be, px; longer text ends in an ellipsis. */
  room: number;
  tone: Tone;
  /** The other way round: the skein in hand. */
  reversed?: boolean | undefined;
}

/** Height of a tape with letters of this size, px. */
export function tapeHeight(size: number): number {
  return size * 1.45;
}

/** A bit of torn tape with a name on it, the way a pan is marked at the bench. */
export function Tape(props: TapeProps) {
  const { x, y, size, room, tone } = props;
  const ground = groundOf(tone);
  const reversed = props.reversed === true;
  const text = fitText(props.text, size, room - size * 0.4);
  if (text === "") return null;
  const width = Math.min(room, Math.max(size * 1.7, textWidth(text, size) + size * 0.7));
  const height = tapeHeight(size);
  const tooth = Math.min(size * 0.14, 4);
  const left = x - width / 2;
  const right = x + width / 2;
  const torn = [0, 1, 2, 3, 4, 5, 6];
  const outline = [
    ...torn.map((step) => ({
      x: right - (step % 2 === 0 ? 0 : tooth),
      y: y + (step / 6) * height,
    })),
    ...torn.map((step) => ({
      x: left + (step % 2 === 0 ? tooth : 0),
      y: y + height - (step / 6) * height,
    })),
  ];
  const paper = reversed ? ground.line : ground.tape;
  const letters = reversed ? (tone === "ink" ? INK : WOOL) : ground.tapeText;
  return (
    <g>
      <path
        d={closedPath(outline)}
        fill={paper}
        stroke={reversed ? ground.line : HAIRLINE}
        stroke-width={Math.max(1, size * 0.05)}
        stroke-linejoin="round"
      />
      <text
        x={x}
        y={y + height / 2 + size * 0.345}
        text-anchor="middle"
        font-family={FACE}
        font-size={size}
        font-weight={reversed ? 720 : 520}
        fill={letters}
        style="font-variant-numeric: tabular-nums"
      >
        {text}
      </text>
    </g>
  );
}
