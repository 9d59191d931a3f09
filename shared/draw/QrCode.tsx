import { encode } from "uqr";
import { Picture } from "./Picture.tsx";
import { INK, WOOL_LIGHT } from "./palette.ts";

/** Modules left bare on every side, so that a camera finds the code (ISO/IEC 18004, 5.3.8). */
const quietZone = 4;

/** What a {@link QrCode} shows. */
export interface QrCodeProps {
  text: string;
  /** Width and height with the quiet zone, px. */
  size: number;
  /** Whether a module is a whole number of px, so that none is blurred; the code may be smaller. */
  whole?: boolean;
  title: string;
}

/**
 * A text as a QR code for a camera: dark on light, at the least error correction and more where it
 * costs no module.
 */
export function QrCode({ text, size, whole, title }: QrCodeProps) {
  const { data, size: modules } = encode(text, { border: quietZone, ecc: "L", boostEcc: true });
  const dark = data
    .flatMap((row, y) => row.map((on, x) => (on ? `M${x} ${y}h1v1h-1z` : "")))
    .join("");
  const side = whole === true ? Math.floor(size / modules) * modules : size;
  return (
    <Picture width={side} height={side} viewBox={`0 0 ${modules} ${modules}`} title={title}>
      <rect width={modules} height={modules} fill={WOOL_LIGHT} />
      <path d={dark} fill={INK} shape-rendering="crispEdges" />
    </Picture>
  );
}
