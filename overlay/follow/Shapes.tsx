import { HAIRLINE } from "../../shared/draw/palette.ts";

/** Shapes that stand in the page many times, written into it once. */
export function Shapes() {
  return (
    <svg class="shapes" aria-hidden="true">
      <symbol id="dipped" viewBox="-1 -1 24 48" preserveAspectRatio="none">
        <path d="M0 0h22v46H0z" stroke={HAIRLINE} />
        <path d="M0 12q5.500-4 11 0t11 0V46H0z" fill="currentColor" />
      </symbol>
    </svg>
  );
}

/** The arrow between a depth and what it becomes, drawn by the style in the size of its letters. */
export function To() {
  return <i class="to">→</i>;
}

type RoughStripProps = { dyedHex: string; undyedHex: string; width: number; height: number };

/** A strip of yarn dipped into a colour, in outline and flat colour. */
export function RoughStrip({ dyedHex, undyedHex, width, height }: RoughStripProps) {
  // The shape takes the dip's colour from its surroundings, so that one shape does for all.
  const colours = { fill: undyedHex, color: dyedHex };
  return (
    <svg width={width} height={height} {...colours} aria-hidden="true">
      <use href="#dipped" />
    </svg>
  );
}
