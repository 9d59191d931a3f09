import { HankFigure, type HankLook, ringRoom } from "./HankFigure.tsx";
import { fitText } from "./letters.ts";
import { Picture } from "./Picture.tsx";
import { FACE, groundOf, HAIRLINE, type Tone } from "./palette.ts";
import { bathPath, panShape } from "./panShape.ts";
import { still } from "./still.ts";
import { Tape, tapeHeight } from "./Tape.tsx";

/** What a {@link Pan} shows. */
export interface PanProps {
  /** Name under the pan; shortened in the drawing where it does not fit. Left out when empty. */
  name: string;
  /** One to twelve skeins, left to right. */
  hanks: readonly HankLook[];
  /** How high the bath stands, 0 (dry) to 1 (just under the rim). */
  bath: number;
  /** Colour of the bath as observed, `#rrggbb`; clear water when not given. */
  bathHex?: string | undefined;
  /** px */
  width: number;
  /** px */
  height: number;
  /** The ground it stands on. */
  tone: Tone;
  /** Size of the skeins' labels, px; 15 when not given, 0 for none. */
  labelSize?: number | undefined;
  /** Size of the pan's name, px; 18 when not given. */
  nameSize?: number | undefined;
  /** Read aloud; the name and every skein's full label when not given. */
  title?: string | undefined;
}

/**
 * A pan from the side, front cut away: the hanks standing in their bath, each marked on a bit of
 * tape on the pan's front, the ones poured on ringed with a knotted thread.
 */
export const Pan = still((props: PanProps) => {
  const { name, hanks, width, height, tone } = props;
  const ground = groundOf(tone);
  const labelSize = props.labelSize ?? 15;
  const nameSize = props.nameSize ?? 18;
  const caption = name === "" ? 0 : nameSize * 1.45;
  const foot = height - caption - 2;
  const tape = labelSize > 0 ? tapeHeight(labelSize) : 0;
  const front = labelSize > 0 ? tape + Math.max(8, labelSize * 0.7) : Math.max(10, foot * 0.1);
  const floorY = foot - front;
  const slotShare = width * 0.84;
  const slot = Math.min(slotShare / Math.max(1, hanks.length), floorY * 0.6);
  const wide = Math.min(floorY * 0.38, slot * 0.74);
  const room = ringRoom(wide);
  const hankTall = Math.min(floorY - 2 * room - wide * 0.14, wide * 3.1);
  const start = width / 2 - (slot * hanks.length) / 2;
  const shape = panShape(width, floorY - room - hankTall * 0.86, foot, front, name);
  const bath = bathPath(shape, props.bath);
  const title =
    props.title ??
    [name, ...hanks.map((hank) => hank.label)].filter((text) => text !== "").join(", ");

  return (
    <Picture width={width} height={height} title={title}>
      <path d={shape.inside} fill={ground.hollow} />
      {props.bath > 0 && (
        <>
          <path d={bath.body} fill={props.bathHex ?? ground.water} />
          <path
            d={bath.surface}
            fill="none"
            stroke={HAIRLINE}
            stroke-width={Math.max(1, shape.wall * 0.2)}
          />
        </>
      )}
      <path
        d={shape.ears}
        fill="none"
        stroke={ground.line}
        stroke-width={shape.wall * 0.55}
        stroke-linecap="round"
      />
      <path
        d={shape.rim}
        fill="none"
        stroke={ground.line}
        stroke-width={shape.wall * 0.55}
        stroke-linecap="round"
      />
      {hanks.map((look, index) => (
        <HankFigure
          key={look.seed ?? `${index} ${look.label}`}
          look={look}
          x={start + slot * index + (slot - wide) / 2}
          y={shape.floorY - hankTall - room}
          width={wide}
          height={hankTall}
          tone={tone}
        />
      ))}
      <path
        d={shape.enamel}
        fill={ground.enamel}
        stroke={HAIRLINE}
        stroke-width={1.25}
        stroke-linejoin="round"
      />
      <path d={shape.specks} fill={ground.speck} />
      {labelSize > 0 &&
        hanks.map((look, index) => (
          <Tape
            key={look.seed ?? `${index} ${look.label}`}
            text={look.label}
            x={start + slot * (index + 0.5)}
            y={shape.floorY + (front - tape) / 2}
            size={labelSize}
            room={slot - Math.min(5, slot * 0.07)}
            tone={tone}
            reversed={look.ringed}
          />
        ))}
      {caption > 0 && (
        <text
          x={width / 2}
          y={height - nameSize * 0.28}
          text-anchor="middle"
          font-family={FACE}
          font-size={nameSize}
          font-weight="640"
          fill={ground.line}
          style="font-variant-numeric: tabular-nums"
        >
          {fitText(name, nameSize, width)}
        </text>
      )}
    </Picture>
  );
});
