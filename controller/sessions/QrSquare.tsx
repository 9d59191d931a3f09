import { encode } from "uqr";
import { Picture } from "../../shared/draw/Picture.tsx";
import { INK, WOOL_LIGHT } from "../../shared/draw/palette.ts";

/** An address as a QR code for another tablet's or a phone's camera. */
export function QrSquare({ text, size, title }: { text: string; size: number; title: string }) {
  const { data, size: modules } = encode(text, { border: 3, ecc: "M" });
  const dark = data
    .flatMap((row, y) => row.map((on, x) => (on ? `M${x} ${y}h1v1h-1z` : "")))
    .join("");
  return (
    <Picture width={size} height={size} viewBox={`0 0 ${modules} ${modules}`} title={title}>
      <rect width={modules} height={modules} fill={WOOL_LIGHT} />
      <path d={dark} fill={INK} shape-rendering="crispEdges" />
    </Picture>
  );
}
