import type { ComponentChildren } from "preact";

/** What a {@link Picture} shows. */
export interface PictureProps {
  /** px */
  width: number;
  /** px */
  height: number;
  /** Left, top, width and height of what is seen; the picture's own px when not given. */
  viewBox?: string | undefined;
  /** Read aloud and shown on hovering; without it the picture is decoration, hidden from readers. */
  title?: string | undefined;
  children: ComponentChildren;
}

/** The frame of every drawing: an SVG that either has a name or says it is decoration. */
export function Picture(props: PictureProps) {
  const { width, height, title, children } = props;
  const viewBox = props.viewBox ?? `0 0 ${width} ${height}`;
  if (title === undefined) {
    return (
      <svg width={width} height={height} viewBox={viewBox} aria-hidden="true">
        {children}
      </svg>
    );
  }
  return (
    <svg width={width} height={height} viewBox={viewBox} role="img" aria-label={title}>
      <title>{title}</title>
      {children}
    </svg>
  );
}
