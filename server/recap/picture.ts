import { createRequire } from "node:module";
import { Worker } from "node:worker_threads";
import renderXml from "preact-render-to-string/jsx";
import { CardDrawing } from "../../shared/recap/Card.tsx";
import type { Card } from "../../shared/recap/card.ts";

/** A recap card as an SVG file; it needs no font, for its letters are outlines. */
export function cardSvg(card: Card, title: string): string {
  const drawing = CardDrawing({ card, whole: true, title });
  return `${renderXml(drawing, {}, { xml: true, jsx: false, pretty: false })}\n`;
}

/**
 * The same as a PNG, of the card's own size; the same bytes every time. It is drawn in a thread of its
 * own, one after another, for the bench has only one to answer taps with.
 *
 * @throws Error where it cannot be drawn
 */
export function cardPng(svg: string): Promise<Buffer> {
  return new Promise((resolve, reject) => {
    const drawer = drawerNow();
    asked += 1;
    waiting.set(asked, { resolve, reject });
    // A program that has nothing else to do waits for the picture, and ends once there is none to draw.
    drawer.ref();
    drawer.postMessage({ id: asked, svg });
  });
}

/** What the thread runs. Fonts of the machine are not asked for, so that every machine draws the same. */
const drawing = `
const { parentPort, workerData } = require("node:worker_threads");
const { Resvg } = require(workerData);
parentPort.on("message", ({ id, svg }) => {
  try {
    const png = new Resvg(svg, { font: { loadSystemFonts: false } }).render().asPng();
    parentPort.postMessage({ id, png });
  } catch (error) {
    parentPort.postMessage({ id, problem: String(error) });
  }
});
`;

type Drawn = { id: number; png: Uint8Array } | { id: number; problem: string };
type Waiting = { resolve(png: Buffer): void; reject(error: Error): void };

const waiting = new Map<number, Waiting>();
let asked = 0;
let thread: Worker | null = null;

function drawerNow(): Worker {
  if (thread !== null) return thread;
  const renderer = createRequire(import.meta.url).resolve("@resvg/resvg-js");
  const drawer = new Worker(drawing, { eval: true, workerData: renderer });
  drawer.on("message", (drawn: Drawn) => {
    const { resolve, reject } = waiting.get(drawn.id) ?? {};
    waiting.delete(drawn.id);
    if (waiting.size === 0) drawer.unref();
    if ("png" in drawn) resolve?.(Buffer.from(drawn.png));
    else reject?.(new Error(drawn.problem));
  });
  const gone = (error: Error) => {
    if (thread === drawer) thread = null;
    for (const { reject } of waiting.values()) reject(error);
    waiting.clear();
  };
  drawer.on("error", gone);
  drawer.on("exit", () => gone(new Error("The thread that draws pictures has ended.")));
  thread = drawer;
  return drawer;
}
