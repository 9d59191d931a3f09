import { Resvg } from "@resvg/resvg-js";
import renderXml from "preact-render-to-string/jsx";
import { CardDrawing } from "../../shared/recap/Card.tsx";
import type { Card } from "../../shared/recap/card.ts";

/** A recap card as an SVG file; it needs no font, for its letters are outlines. */
export function cardSvg(card: Card, title: string): string {
  const drawing = CardDrawing({ card, whole: true, title });
  return `${renderXml(drawing, {}, { xml: true, jsx: false, pretty: false })}\n`;
}

/** The same as a PNG, of the card's own size; the same bytes every time. */
export function cardPng(svg: string): Buffer {
  // Fonts of the machine are not asked for, so that every machine draws the same.
  return new Resvg(svg, { font: { loadSystemFonts: false } }).render().asPng();
}
