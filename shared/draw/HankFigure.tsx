import { groundOf, HAIRLINE, type Tone } from "./palette.ts";
import { closedPath } from "./polygon.ts";
import { still } from "./still.ts";
import { creptOf, twistOf } from "./tint.ts";
import {
  type HankPatch,
  hankFill,
  hankFlecks,
  hankPatches,
  hankRing,
  hankShape,
  hankSpecks,
  linesPath,
  outlinesPath,
} from "./twist.ts";

/** How one skein stands: what a hank needs to be drawn, wherever it stands. */
export interface HankLook {
  /** How far its depth of shade has come, 0 (bare) to 1. */
  fill: number;
  /** Colour of the dyed part, `#rrggbb`. */
  dyedHex: string;
  /** Colour of the yarn as it entered, `#rrggbb`. */
  undyedHex: string;
  /** Name or number of the skein; shortened in the drawing where it does not fit. */
  label: string;
  /** True while it is poured on: a knotted thread is laid round it and its tape is reversed. */
  ringed?: boolean | undefined;
  /** Colours of the neps in the yarn, `#rrggbb`. */
  flecks?: readonly string[] | undefined;
  /** Painted or dripped zones, from the head down, and specks all over. */
  patches?: readonly HankPatch[] | undefined;
  /** A word that fixes the creeping edge, such as the skein's id; the label when not given. */
  seed?: string | undefined;
}

/** What a {@link HankFigure} shows. */
export interface HankFigureProps {
  look: HankLook;
  /** Left and top of its box, px. */
  x: number;
  y: number;
  width: number;
  height: number;
  tone: Tone;
}

/** Room a ring needs outside the hank on every side, px. */
export function ringRoom(width: number): number {
  return ringGap(width) + ringLine(width);
}

function ringGap(width: number): number {
  return Math.max(2.5, Math.min(9, width * 0.09));
}

function ringLine(width: number): number {
  return Math.max(2, Math.min(5, width * 0.055));
}

/** A twisted hank without its label, as a group inside another drawing. */
export const HankFigure = still((props: HankFigureProps) => {
  const { look, x, y, width, height, tone } = props;
  const seed = look.seed ?? look.label;
  const shape = hankShape(width, height, seed);
  const dyed = hankFill(shape, look.fill);
  const patches = (look.patches ?? []).filter(({ specks }) => specks !== true);
  const specked = (look.patches ?? []).filter(({ specks }) => specks === true);
  const flecks = look.flecks ?? [];
  const fine = Math.max(0.5, Math.min(1.2, width * 0.013));
  const fold = Math.max(1, Math.min(3, width * 0.032));
  const coats = [
    { hex: look.dyedHex, colour: dyed },
    ...hankPatches(shape, patches).map((colour, order) => ({
      hex: patches[order]?.hex ?? look.dyedHex,
      colour,
    })),
  ];
  const gap = ringGap(width);
  const knot = width * 0.11;
  return (
    <g transform={`translate(${x} ${y})`} stroke-linejoin="round" stroke-linecap="round">
      {[shape.loop, shape.strands].map((part, order) => {
        return (
          <g key={order === 0 ? "loop" : "body"}>
            <path
              d={closedPath(shape.silhouettes[order] ?? [])}
              fill={HAIRLINE}
              stroke={HAIRLINE}
              stroke-width={fold * 1.6}
            />
            {look.fill < 1 && (
              <path
                d={outlinesPath(part.map((strand) => strand.outline))}
                fill={look.undyedHex}
                stroke={twistOf(look.undyedHex, 0.16)}
                stroke-width={fine}
              />
            )}
          </g>
        );
      })}
      <path
        d={linesPath(shape.folds)}
        fill="none"
        stroke={twistOf(look.undyedHex, 0.42)}
        stroke-width={fold}
      />
      <path d={outlinesPath(dyed.crept)} fill={creptOf(look.undyedHex, look.dyedHex)} />
      {coats.map(({ hex, colour }, order) => (
        <g key={order} stroke={twistOf(hex, 0.16)} stroke-width={fine}>
          <path d={outlinesPath(colour.loop)} fill={hex} />
          <path d={outlinesPath(colour.dyed)} fill={hex} />
          <path
            d={linesPath(colour.folds)}
            fill="none"
            stroke={twistOf(hex, 0.45)}
            stroke-width={fold}
          />
        </g>
      ))}
      {specked.map(({ hex, coverage }, order) => (
        <path
          key={order}
          d={hankSpecks(shape, coverage, `${seed} ${order}`)}
          fill={hex}
          stroke={twistOf(hex, 0.3)}
          stroke-width={fine * 0.6}
        />
      ))}
      {hankFlecks(shape, flecks.length, seed).map((path, order) => (
        <path key={order} d={path} fill={flecks[order] ?? HAIRLINE} />
      ))}
      {look.ringed === true && (
        <path
          d={
            hankRing(shape, gap) +
            `M${width / 2 - knot} ${-gap - knot * 0.8}L${width / 2} ${-gap}L${width / 2 + knot} ${-gap - knot * 0.8}`
          }
          fill="none"
          stroke={groundOf(tone).line}
          stroke-width={ringLine(width)}
        />
      )}
    </g>
  );
});
