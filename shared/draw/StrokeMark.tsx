import { Picture } from "./Picture.tsx";

/** How large a mark is and what it is called. */
export interface MarkProps {
  /** Side of its square, px; 40 when not given, 28 is the least that reads. */
  size?: number | undefined;
  /** Read aloud; without it the mark is decoration, for the words beside it say the same. */
  title?: string | undefined;
}

/** Lines on a 40 by 40 square, in plain strokes of the colour of the text around them. */
export function StrokeMark({ lines, size = 40, title }: MarkProps & { lines: string }) {
  return (
    <Picture width={size} height={size} viewBox="0 0 40 40" title={title}>
      <path
        d={lines}
        fill="none"
        stroke="currentColor"
        stroke-width="2.8"
        stroke-linecap="round"
        stroke-linejoin="round"
      />
    </Picture>
  );
}
