import { Picture } from "../../shared/draw/Picture.tsx";
import {
  CAUTION,
  FACE,
  INK,
  INK_QUIET,
  INK_RAISED,
  INK_RULE,
  WOOL,
  WOOL_LIGHT,
} from "../../shared/draw/palette.ts";
import type { OverlayParts, OverlayView } from "../../shared/session/event.ts";

const viewWords: Readonly<Record<OverlayView, string>> = {
  auto: "pour now",
  waiting: "waiting",
  tally: "tally",
  recap: "recap card",
  hidden: "",
};

/** What a {@link ScreenPicture} shows. */
export interface ScreenPictureProps {
  view: OverlayView;
  parts: OverlayParts;
  /** Whether an address is shown as a QR code. */
  code: boolean;
}

/** The broadcast page in small: which parts are on, and where they stand. */
export function ScreenPicture({ view, parts, code }: ScreenPictureProps) {
  const panel = view === "auto";
  const coded = code && (panel || view === "waiting");
  const off = { fill: "none", stroke: INK_RULE, "stroke-dasharray": "5 4", "stroke-width": 2 };
  const box = (on: boolean) => (on ? { fill: INK_RAISED } : off);
  const label = (x: number, y: number, text: string, on: boolean) => (
    <text
      x={x}
      y={y}
      font-family={FACE}
      font-size="17"
      fill={on ? WOOL : INK_QUIET}
      text-anchor="middle"
      text-decoration={on ? undefined : "line-through"}
    >
      {text}
    </text>
  );
  const on = Object.entries(parts)
    .filter(([, shown]) => shown)
    .map(([part]) => part);
  return (
    <div class="screen-picture">
      <Picture
        width={480}
        height={270}
        title={`The broadcast page: ${view === "auto" ? "follows the session" : view}; parts on: ${on.join(", ") || "none"}; cautions always on${coded ? "; a code at the top right" : ""}`}
      >
        <rect x="1" y="1" width="478" height="268" fill="#6f675a" stroke={INK} stroke-width="2" />
        <ellipse cx="250" cy="104" rx="104" ry="76" fill="none" stroke="#8d8474" stroke-width="8" />
        <rect x="24" y="150" width="212" height="28" fill={CAUTION} />
        <text x="130" y="170" font-family={FACE} font-size="17" fill={INK} text-anchor="middle">
          cautions, always
        </text>
        <g transform={coded ? "translate(-186 0)" : undefined}>
          <rect
            x="330"
            y="16"
            width="126"
            height="34"
            {...(parts.timers ? { fill: INK } : { ...off, stroke: WOOL })}
          />
          <text
            x="393"
            y="39"
            font-family={FACE}
            font-size="17"
            fill={WOOL}
            text-anchor="middle"
            text-decoration={parts.timers ? undefined : "line-through"}
          >
            timers
          </text>
        </g>
        {coded && (
          <>
            <rect x="276" y="16" width="180" height="84" fill={INK} />
            <rect x="372" y="16" width="84" height="84" fill={WOOL_LIGHT} />
            <path d="M384 28h18v18h-18zM426 28h18v18h-18zM384 70h18v18h-18z" fill={INK} />
            <path d="M410 34h8v20h16v10h-12v8h20v14h-30v-30h-22v-6h20z" fill={INK} />
            <text x="324" y="63" font-family={FACE} font-size="17" fill={WOOL} text-anchor="middle">
              address
            </text>
          </>
        )}
        {view !== "hidden" && <rect x="24" y="184" width="432" height="74" fill={INK} />}
        {panel && (
          <>
            <rect x="24" y="184" width="34" height="26" fill={WOOL} />
            <rect x="24" y="208" width="34" height="50" fill="#2e6e86" />
            <rect x="66" y="192" width="96" height="26" {...box(parts.count)} />
            {label(114, 211, "count", parts.count)}
            {label(104, 243, "stock", true)}
            <text
              x="226"
              y="214"
              font-family={FACE}
              font-size="24"
              font-weight="720"
              fill={WOOL}
              text-anchor="middle"
            >
              mL
            </text>
            <rect x="174" y="224" width="104" height="26" {...box(parts.rule)} />
            {label(226, 243, "rule", parts.rule)}
            <rect x="290" y="192" width="158" height="58" {...box(parts.depth)} />
            {label(369, 227, "depth of shade", parts.depth)}
          </>
        )}
        {!panel && view !== "hidden" && label(240, 227, viewWords[view], true)}
      </Picture>
    </div>
  );
}
