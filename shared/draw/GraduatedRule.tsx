import { volumeParts } from "../dye/display.ts";
import { numberedTicks, readableTicks, ruleScale } from "./graduation.ts";
import { hatchPath } from "./hatch.ts";
import { textWidth } from "./letters.ts";
import { Picture } from "./Picture.tsx";
import { FACE, groundOf, HAIRLINE, type Tone } from "./palette.ts";
import { coordinate } from "./polygon.ts";

/** What a {@link GraduatedRule} shows. */
export interface GraduatedRuleProps {
  /** The amount the rule is about, microlitres; it chooses the vessel. */
  volumeUl: number;
  /** How much of it is in, microlitres; the whole amount when not given. */
  pouredUl?: number | undefined;
  /** How far an estimated amount may be off either way, microlitres; drawn as a hatched zone. */
  plusMinusUl?: number | undefined;
  /** px */
  width: number;
  /** px; 20 is the least that reads. */
  height: number;
  /** Colour of the stock as it will look on yarn, `#rrggbb`. */
  fillHex: string;
  /** The ground the rule stands on. */
  tone: Tone;
  /** Number the main graduations in mL. Leave it out over video, where text is 36 px or more. */
  labels?: boolean | undefined;
  /** Size of those numbers, px; 15 when not given. */
  labelSize?: number | undefined;
  /** Read aloud; without it the rule is decoration, for the figure beside it says the same. */
  title?: string | undefined;
}

/**
 * A volume as it stands in a measuring cylinder laid on its side: foot at the left, spout at the
 * right, graduations of the smallest 1-2-5 vessel that holds it, filled to what is in. Where only
 * part is in, a pointer stands at the whole amount.
 */
export function GraduatedRule(props: GraduatedRuleProps) {
  const { volumeUl, width, height, fillHex, tone, title } = props;
  const ground = groundOf(tone);
  const poured = props.pouredUl ?? volumeUl;
  const off = props.plusMinusUl ?? 0;
  const scale = ruleScale(Math.max(volumeUl, poured) + off);

  const labelSize = props.labelSize ?? 15;
  const head = props.labels === true ? labelSize * 1.15 : 0;
  const body = height - head;
  const line = Math.max(1.25, Math.min(4, body / 22));
  const foot = Math.max(line * 1.6, body * 0.09);
  const left = foot + line * 2.2;
  const spare =
    props.labels === true ? textWidth(volumeParts(scale.endUl).figure, labelSize) / 2 : 0;
  const right = width - Math.max(body * 0.42, spare);
  const length = right - left;
  const along = (ul: number) => left + (ul / scale.endUl) * length;

  const bottom = height - line / 2;
  const tall = body * 0.5;
  const top = bottom - tall;
  const inset = line * 1.4;
  const dip = Math.min(tall * 0.22, length * 0.02);

  const ticks = readableTicks(scale.ticks, scale.endUl, length, line * 2.1);
  const reach = {
    main: top - head - line / 2,
    half: (top - head) * 0.62,
    fine: (top - head) * 0.36,
  };
  const tickPath = (rank: "main" | "half" | "fine") =>
    ticks
      .filter((tick) => tick.rank === rank)
      .map(
        (tick) => `M${coordinate(along(tick.at))} ${coordinate(top)}v${coordinate(-reach[rank])}`,
      )
      .join("");

  const sure = Math.max(0, poured - off);
  const liquid = (to: number) => {
    const x = along(to);
    return (
      `M${coordinate(left)} ${coordinate(top + inset)}H${coordinate(x + dip)}` +
      `Q${coordinate(x - dip)} ${coordinate(top + tall / 2)} ${coordinate(x + dip)} ${coordinate(bottom - inset)}` +
      `H${coordinate(left)}Z`
    );
  };
  const widest = textWidth(volumeParts(scale.endUl).figure, labelSize) + labelSize * 0.9;
  const numbered = props.labels === true ? numberedTicks(ticks, scale.endUl, length, widest) : [];
  const zoneLeft = along(sure);
  const zoneRight = along(poured + off);
  const zoneTop = top + inset;
  const zoneTall = tall - 2 * inset;

  return (
    <Picture width={width} height={height} title={title}>
      {poured > 0 && sure > 0 && (
        <path d={liquid(sure)} fill={fillHex} stroke={HAIRLINE} stroke-width={line * 0.6} />
      )}
      {off > 0 && (
        <>
          <path
            d={hatchPath(zoneLeft, zoneTop, zoneRight - zoneLeft, zoneTall, line * 3.2)}
            stroke={fillHex}
            stroke-width={line * 1.7}
          />
          <path
            d={hatchPath(zoneLeft, zoneTop, zoneRight - zoneLeft, zoneTall, line * 3.2)}
            stroke={HAIRLINE}
            stroke-width={line * 0.5}
          />
          <path
            d={`M${coordinate(zoneLeft)} ${coordinate(zoneTop)}H${coordinate(zoneRight)}V${coordinate(zoneTop + zoneTall)}H${coordinate(zoneLeft)}Z`}
            fill="none"
            stroke={ground.line}
            stroke-width={line * 0.6}
          />
          <path
            d={`M${coordinate(along(poured))} ${coordinate(zoneTop)}v${coordinate(zoneTall)}`}
            stroke={ground.line}
            stroke-width={line * 1.2}
          />
        </>
      )}
      <g stroke={ground.line} fill="none" stroke-linecap="butt">
        <path d={tickPath("fine")} stroke-width={line * 0.7} />
        <path d={tickPath("half")} stroke-width={line * 0.85} />
        <path d={tickPath("main")} stroke-width={line} />
        <path
          d={
            `M${coordinate(width - line)} ${coordinate(top - body * 0.1)}` +
            `Q${coordinate(right + body * 0.3)} ${coordinate(top)} ${coordinate(right + body * 0.12)} ${coordinate(top)}` +
            `H${coordinate(foot)}M${coordinate(foot)} ${coordinate(bottom)}H${coordinate(width - line * 1.5)}`
          }
          stroke-width={line}
          stroke-linejoin="round"
        />
      </g>
      <path
        d={`M0 ${coordinate(head + line)}H${coordinate(foot)}V${coordinate(height)}H0Z`}
        fill={ground.line}
      />
      {poured < volumeUl && (
        <path
          d={
            `M${coordinate(along(volumeUl))} ${coordinate(top + line)}` +
            `v${coordinate(tall - 2 * line)}`
          }
          stroke={ground.line}
          stroke-width={line * 1.4}
          stroke-dasharray={`${coordinate(line * 2)} ${coordinate(line * 1.4)}`}
        />
      )}
      {numbered.map((tick) => (
        <text
          key={tick.at}
          x={coordinate(along(tick.at))}
          y={coordinate(labelSize * 0.8)}
          text-anchor="middle"
          font-family={FACE}
          font-size={labelSize}
          fill={ground.quiet}
          style="font-variant-numeric: tabular-nums"
        >
          {volumeParts(tick.at).figure}
        </text>
      ))}
    </Picture>
  );
}
