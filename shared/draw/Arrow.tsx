/** What an {@link Arrow} shows. */
export interface ArrowProps {
  /** Size of the letters it stands among, px. */
  size: number;
  /** Weight of its line as a share of the size; 0.085 when not given. */
  weight?: number | undefined;
}

/** Its lines on a field of 38 by 20. */
const ARROW_LINES =
  "M3 10.500C12 9.500 24 9.500 34 10M27 3.500C29 7 31.500 9 34.500 10 31.500 11.500 29 13.500 27 17";

/**
 * The arrow between a figure and what it becomes, for the bundled face has none. The character
 * itself stays in the text for copying and for readers, in letters of no size.
 */
export function Arrow(props: ArrowProps) {
  const { size } = props;
  return (
    <span style="white-space: nowrap">
      <span style="font-size: 0; line-height: 0">→</span>
      <svg
        width={size * 0.95}
        height={size * 0.5}
        viewBox="0 0 38 20"
        aria-hidden="true"
        fill="none"
        stroke="currentColor"
        stroke-width={(props.weight ?? 0.085) * 40}
        stroke-linecap="round"
        stroke-linejoin="round"
        style="vertical-align: 0.04em"
      >
        <path d={ARROW_LINES} />
      </svg>
    </span>
  );
}
