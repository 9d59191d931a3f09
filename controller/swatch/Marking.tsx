import { useEffect, useRef, useState } from "preact/hooks";
import type { Picture } from "../../shared/colour/picture.ts";
import { between, type Corner, type Frame, keyed, moved, resized } from "./frame.ts";

/** What is marked on a photograph. */
export type Frames = { readonly card: Frame; readonly yarn: Frame };
type Mark = keyof Frames;

const MARKS: readonly { mark: Mark; label: string }[] = [
  { mark: "card", label: "White card" },
  { mark: "yarn", label: "Yarn" },
];

/** How far an arrow key goes, share of a side. */
const STEP = 0.01;

/** What a finger or the pointer is doing: drawing a frame anew, moving it, or pulling its corner. */
type Hold = { mark: Mark; does: "draw" | "move" | "stretch"; from: Corner; before: Frame };

/** What a {@link Marking} is told. */
export interface MarkingProps {
  pixels: Picture;
  frames: Frames;
  onFrames: (frames: Frames) => void;
  /** Once a frame is let go of. */
  onSettled: (frames: Frames) => void;
}

/**
 * Two frames on a photograph. Each can be moved, pulled at its corner, or drawn anew on the bare
 * picture once it is the chosen one; by keyboard with the arrows, and Shift to stretch.
 */
export function Marking({ pixels, frames, onFrames, onSettled }: MarkingProps) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const table = useRef<HTMLDivElement>(null);
  const hold = useRef<Hold | null>(null);
  const [chosen, setChosen] = useState<Mark>("card");
  useEffect(() => {
    const data = new Uint8ClampedArray(pixels.data);
    canvas.current
      ?.getContext("2d")
      ?.putImageData(new ImageData(data, pixels.width, pixels.height), 0, 0);
  }, [pixels]);

  const cornerOf = (event: PointerEvent): Corner => {
    const box = table.current?.getBoundingClientRect();
    if (!box) return { x: 0, y: 0 };
    return {
      x: Math.min(1, Math.max(0, (event.clientX - box.left) / box.width)),
      y: Math.min(1, Math.max(0, (event.clientY - box.top) / box.height)),
    };
  };
  const take = (event: PointerEvent, mark: Mark, does: Hold["does"]) => {
    event.preventDefault();
    event.stopPropagation();
    table.current?.setPointerCapture(event.pointerId);
    hold.current = { mark, does, from: cornerOf(event), before: frames[mark] };
    setChosen(mark);
  };
  const drag = (event: PointerEvent): Frames | null => {
    const held = hold.current;
    if (!held) return null;
    const at = cornerOf(event);
    const across = at.x - held.from.x;
    const down = at.y - held.from.y;
    // A tap on the bare picture does not make a frame of nothing.
    if (held.does === "draw" && Math.hypot(across, down) < STEP) return frames;
    const frame =
      held.does === "draw"
        ? between(held.from, at)
        : (held.does === "move" ? moved : resized)(held.before, across, down);
    return { ...frames, [held.mark]: frame };
  };
  const drop = (event: PointerEvent) => {
    const next = drag(event);
    hold.current = null;
    if (!next) return;
    onFrames(next);
    onSettled(next);
  };
  return (
    <div class="swatch-marking">
      <div class="swatch-ways">
        {MARKS.map(({ mark, label }) => (
          <button
            key={mark}
            type="button"
            class="chip"
            aria-pressed={chosen === mark}
            onClick={() => setChosen(mark)}
          >
            {`Mark the ${label.toLowerCase()}`}
          </button>
        ))}
      </div>
      <div
        ref={table}
        class="swatch-picture"
        style={{
          aspectRatio: `${pixels.width} / ${pixels.height}`,
          "--ratio": pixels.width / pixels.height,
        }}
        onPointerDown={(event) => take(event, chosen, "draw")}
        onPointerMove={(event) => {
          const next = drag(event);
          if (next) onFrames(next);
        }}
        onPointerUp={drop}
        onPointerCancel={drop}
      >
        <canvas
          ref={canvas}
          width={pixels.width}
          height={pixels.height}
          role="img"
          aria-label="The photograph"
        />
        {MARKS.map(({ mark, label }) => {
          const { x, y, width, height } = frames[mark];
          const share = (value: number) => `${value * 100}%`;
          const percent = (value: number) => Math.round(value * 100);
          return (
            <button
              key={mark}
              type="button"
              class="swatch-frame"
              data-chosen={chosen === mark}
              aria-label={`${label}: ${percent(x)}\u202f% from the left, ${percent(y)}\u202f% from the top, ${percent(width)} by ${percent(height)}\u202f%. Arrows move it, with Shift they stretch it.`}
              style={{ left: share(x), top: share(y), width: share(width), height: share(height) }}
              onFocus={() => setChosen(mark)}
              onPointerDown={(event) => {
                event.currentTarget.focus();
                take(event, mark, "move");
              }}
              onKeyDown={(event) => {
                const frame = keyed(frames[mark], event.key, event.shiftKey, STEP);
                if (!frame) return;
                event.preventDefault();
                onFrames({ ...frames, [mark]: frame });
              }}
              onKeyUp={(event) => {
                if (event.key.startsWith("Arrow")) onSettled(frames);
              }}
            >
              <span class="swatch-frame-label">{label}</span>
              <span
                class="swatch-frame-corner"
                onPointerDown={(event) => take(event, mark, "stretch")}
              />
            </button>
          );
        })}
      </div>
    </div>
  );
}
