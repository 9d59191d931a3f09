import { DippedStrip } from "../draw/DippedStrip.tsx";
import { HankFigure } from "../draw/HankFigure.tsx";
import { PowderedStrip } from "../draw/PowderedStrip.tsx";
import { INK, INK_QUIET, INK_RULE, WOOL } from "../draw/palette.ts";
import type { Card, CardItem } from "./card.ts";
import { outlined } from "./setting.ts";

/** What a {@link CardDrawing} shows. */
export type CardProps = {
  card: Card;
  /** Ink to the picture's edge, as in a file; over video the card ends with the safe area. */
  whole: boolean;
  /** Read aloud, and found in the file. */
  title: string;
};

/**
 * The recap card as one SVG, the same over video and in a file. Its letters are outlines, so that
 * neither asks for a font; what each says stands beside it for readers.
 */
export function CardDrawing({ card, whole, title }: CardProps) {
  const { width, height, panel } = card.stage;
  const seen = whole ? { x: 0, y: 0, width, height } : panel;
  return (
    <svg
      xmlns="http://www.w3.org/2000/svg"
      width={seen.width}
      height={seen.height}
      viewBox={`${seen.x} ${seen.y} ${seen.width} ${seen.height}`}
      role="img"
      aria-label={title}
    >
      <title>{title}</title>
      <rect {...seen} fill={INK} />
      {card.items.map((item, at) => (
        <Item key={at} item={item} />
      ))}
    </svg>
  );
}

function Item({ item }: { item: CardItem }) {
  switch (item.kind) {
    case "text":
      return (
        <path
          aria-label={item.text}
          data-size={item.style.size}
          fill={item.quiet ? INK_QUIET : WOOL}
          d={outlined(item.text, item.style, item.x, item.y)}
        />
      );
    case "rule":
      return <rect x={item.x} y={item.y} width={item.width} height={2} fill={INK_RULE} />;
    case "hank": {
      const { colour, seed, dyed } = item;
      return (
        <HankFigure
          look={{
            fill: dyed ? 1 : 0,
            dyedHex: colour.hex,
            undyedHex: colour.undyedHex,
            flecks: colour.flecks,
            patches: dyed ? colour.patches : [],
            label: "",
            seed,
          }}
          x={item.x}
          y={item.y}
          width={item.width}
          height={item.height}
          tone="ink"
        />
      );
    }
    case "strip": {
      const { x, y, dry, hex: dyedHex, ...strip } = item;
      const Strip = dry ? PowderedStrip : DippedStrip;
      return (
        <g transform={`translate(${x} ${y})`}>
          <Strip {...strip} dyedHex={dyedHex} />
        </g>
      );
    }
  }
}
