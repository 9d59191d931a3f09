import { Picture } from "../../shared/draw/Picture.tsx";
import { groundOf } from "../../shared/draw/palette.ts";
import type { ShelfTool } from "../../shared/shelf/shelf.ts";

/** What a {@link ToolFigure} shows. */
export interface ToolFigureProps {
  tool: ShelfTool["tool"];
  /** px; twice as high as wide looks best. */
  width: number;
  height: number;
}

/** Marks on a graduated tool: no more than can be told apart. */
const MOST_MARKS = 20;

/** A measuring tool in outline; what is graduated bears marks as many as it has, up to a limit. */
export function ToolFigure({ tool, width, height }: ToolFigureProps) {
  const { line } = groundOf("wool");
  return (
    <Picture width={width} height={height} viewBox="0 0 26 52">
      <g fill="none" stroke={line} stroke-width="1.6" stroke-linejoin="round">
        <path d={OUTLINE[tool.kind]} fill="#fcf8f0" />
        {"capacityUl" in tool && (
          <path
            d={marks(tool.capacityUl / tool.divisionUl, tool.kind === "syringe" ? 17 : 6)}
            stroke-width="1.1"
          />
        )}
        {tool.kind === "scale" && <path d="M8 41h10" stroke-width="2.4" />}
      </g>
    </Picture>
  );
}

/** Down the right side from `top` to the foot, every fifth one longer. */
function marks(divisions: number, top: number): string {
  const count = Math.max(2, Math.min(MOST_MARKS, Math.round(divisions)));
  const foot = 44;
  return Array.from({ length: count }, (_, n) => {
    const y = foot - ((foot - top) * (n + 1)) / count;
    return `M19 ${y.toFixed(1)}h${n % 5 === 4 ? -7 : -4}`;
  }).join("");
}

const OUTLINE: Readonly<Record<ShelfTool["tool"]["kind"], string>> = {
  syringe: "M8 2h10M13 2v10M5 12h16M7 12v33h4l2 5l2 -5h4V12",
  cylinder: "M5 2h14l2 -1M7 3v44M19 3v44M3 50h20v-3H3z",
  scale: "M3 26h20M13 26v7M2 33h22l1 15H1z",
  dropper: "M9 2q4 -2 8 0v12H9zM8 14h10M10 14v22l3 13l3 -13V14",
  liquidSpoon: "M13 2v26M13 28q-9 1 -9 11t9 11t9 -11t-9 -11",
  powderSpoon: "M12 2h2v28h-2zM3 30h20q0 19 -10 19T3 30",
};
