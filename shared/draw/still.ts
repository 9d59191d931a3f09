import type { VNode } from "preact";

/** Drawings kept of each kind; a page shows fewer at once. */
const kept = 300;

/**
 * A drawing that is worked out once for all that is told of it. Preact leaves on screen what it is
 * given a second time, and a page that redraws at every tap and tick holds dozens of drawings of
 * thousands of steps each, of which a tap changes two.
 *
 * @param draw made of nothing but its props, which are plain data
 */
export function still<Props extends object>(draw: (props: Props) => VNode) {
  const drawings = new Map<string, VNode>();
  return (props: Props): VNode => {
    const told = JSON.stringify(props);
    const drawing = drawings.get(told) ?? draw(props);
    // The one used last stands last, and the first one goes.
    drawings.delete(told);
    drawings.set(told, drawing);
    for (const oldest of drawings.keys()) {
      if (drawings.size <= kept) break;
      drawings.delete(oldest);
    }
    return drawing;
  };
}
