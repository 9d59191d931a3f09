import { useEffect, useRef } from "preact/hooks";
import type { Picture } from "../../shared/colour/picture.ts";
import type { Spot } from "../picture/spot.ts";

/** A colour of the palette, and where in the picture it is taken from. */
export type Dip = {
  readonly id: string;
  readonly hex: string;
  readonly spot: Spot;
  /** Share of the picture; null for one that was picked by hand. */
  readonly share: number | null;
};

const WAYS: Readonly<Record<string, readonly [number, number]>> = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
};

/** How far an arrow key goes, share of a side. */
const STEP = 0.01;

/** What a {@link Print} is told. */
export interface PrintProps {
  pixels: Picture;
  dips: readonly Dip[];
  /** Which colour is in hand; -1 where none is. */
  inHand: number;
  onMove: (id: string, spot: Spot) => void;
  onAdd: (spot: Spot) => void;
}

/** The picture with a mark where each colour of the palette is taken from. */
export function Print({ pixels, dips, inHand, onMove, onAdd }: PrintProps) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const held = useRef<string | null>(null);
  useEffect(() => {
    const data = new Uint8ClampedArray(pixels.data);
    canvas.current
      ?.getContext("2d")
      ?.putImageData(new ImageData(data, pixels.width, pixels.height), 0, 0);
  }, [pixels]);
  const spotOf = (event: { clientX: number; clientY: number }): Spot => {
    const box = canvas.current?.getBoundingClientRect();
    if (!box) return { x: 0.5, y: 0.5 };
    return {
      x: share((event.clientX - box.left) / box.width),
      y: share((event.clientY - box.top) / box.height),
    };
  };
  const letGo = () => {
    held.current = null;
  };
  return (
    <div
      class="colour-print"
      style={{
        aspectRatio: `${pixels.width} / ${pixels.height}`,
        "--ratio": pixels.width / pixels.height,
      }}
    >
      {/* By keyboard a colour is added with the button below, and moved by its mark. */}
      <canvas
        ref={canvas}
        width={pixels.width}
        height={pixels.height}
        role="img"
        aria-label="The picture that was chosen"
        onClick={(event) => onAdd(spotOf(event))}
      />
      {dips.map((dip, n) => (
        <button
          key={dip.id}
          type="button"
          class="colour-mark figures"
          aria-label={`Mark of colour ${n + 1}: arrow keys move it`}
          data-chosen={n === inHand}
          style={{ left: inside(dip.spot.x), top: inside(dip.spot.y) }}
          onPointerDown={(event) => {
            held.current = dip.id;
            event.currentTarget.setPointerCapture(event.pointerId);
          }}
          onPointerMove={(event) => held.current === dip.id && onMove(dip.id, spotOf(event))}
          onPointerUp={letGo}
          onPointerCancel={letGo}
          onKeyDown={(event) => {
            const way = WAYS[event.key];
            if (!way) return;
            event.preventDefault();
            const { x, y } = dip.spot;
            onMove(dip.id, { x: share(x + way[0] * STEP), y: share(y + way[1] * STEP) });
          }}
        >
          <span>{n + 1}</span>
        </button>
      ))}
    </div>
  );
}

/** Where a mark is drawn: at the edge of the picture it still lies on it. */
function inside(at: number): string {
  return `clamp(14px, ${at * 100}%, calc(100% - 14px))`;
}

function share(at: number): number {
  return Math.min(1, Math.max(0, at));
}
