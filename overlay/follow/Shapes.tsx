import { ARROW_LINES } from "../../shared/draw/Arrow.tsx";
import { HAIRLINE } from "../../shared/draw/palette.ts";

/** Shapes that stand in the page many times, written into it once. */
export function Shapes() {
  return (
    <svg class="shapes" aria-hidden="true">
      <symbol id="to" viewBox="0 0 38 20">
        <path
          d={ARROW_LINES}
          fill="none"
          stroke="currentColor"
          stroke-width="3.4"
          stroke-linecap="round"
          stroke-linejoin="round"
        />
      </symbol>
      <symbol id="undyed" viewBox="-1 -1 24 48" preserveAspectRatio="none">
        <path d="M0 0h22v46H0z" stroke={HAIRLINE} />
      </symbol>
      <symbol id="dip" viewBox="-1 -1 24 48" preserveAspectRatio="none">
        <path d="M0 12q5.500-4 11 0t11 0V46H0z" />
      </symbol>
    </svg>
  );
}

/** The arrow between a depth and what it becomes, in the size of the letters beside it. */
export function To() {
  return (
    <span class="to">
      <span>→</span>
      <svg aria-hidden="true">
        <use href="#to" />
      </svg>
    </span>
  );
}

type RoughStripProps = { dyedHex: string; undyedHex: string; width: number; height: number };

/** A strip of yarn dipped into a colour, in outline and flat colour. */
export function RoughStrip({ dyedHex, undyedHex, width, height }: RoughStripProps) {
  return (
    <svg width={width} height={height} aria-hidden="true">
      <use href="#undyed" fill={undyedHex} />
      <use href="#dip" fill={dyedHex} />
    </svg>
  );
}
