import type { Page } from "playwright-core";
import { contrast } from "../../shared/draw/contrast.ts";

/** A visible text of the page with what it is drawn on; all lengths in px of the 1920 by 1080. */
export type Drawn = {
  text: string;
  size: number;
  /** The least that it may be: 28 px on the recap card, else 36. */
  least: number;
  colour: string;
  ground: string;
  /** Everything between text and video lets nothing through. */
  opaque: boolean;
  left: number;
  top: number;
  right: number;
  bottom: number;
  /** The text lies whole inside the box of its panel. */
  inPanel: boolean;
};

type Box = { name: string; left: number; top: number; right: number; bottom: number };

export type Measured = {
  texts: Drawn[];
  /** Opaque panels that stand on the video. */
  panels: Box[];
  drawings: Box[];
  /** Elements whose content is larger than they are. */
  cut: string[];
};

/** The graphics safe area of EBU R 95: 5 % from each edge. */
const safe = { left: 96, top: 54, right: 1824, bottom: 1026 };

/** Walks all that the page draws, in the page's own measures. */
export async function measure(page: Page): Promise<Measured> {
  await settled(page);
  return page.evaluate(() => {
    const stage = document.querySelector(".stage");
    if (!stage) return { texts: [], panels: [], drawings: [], cut: [] };
    const origin = stage.getBoundingClientRect();
    const scale = origin.width / 1920;
    const boxOf = (rect: DOMRect) => ({
      left: (rect.left - origin.left) / scale,
      top: (rect.top - origin.top) / scale,
      right: (rect.right - origin.left) / scale,
      bottom: (rect.bottom - origin.top) / scale,
    });
    const clear = "rgba(0, 0, 0, 0)";
    const panelOf = (element: Element): Element | null => {
      for (let at: Element | null = element; at && at !== stage; at = at.parentElement) {
        if (getComputedStyle(at).backgroundColor !== clear) return at;
      }
      return null;
    };
    const opaqueFrom = (element: Element) => {
      for (let at: Element | null = element; at; at = at.parentElement) {
        if (getComputedStyle(at).opacity !== "1") return false;
      }
      return true;
    };
    const inside = (rect: DOMRect, box: DOMRect) =>
      rect.left >= box.left - 1 &&
      rect.right <= box.right + 1 &&
      rect.top >= box.top - 1 &&
      rect.bottom <= box.bottom + 1;

    const texts = [];
    const walker = document.createTreeWalker(stage, NodeFilter.SHOW_TEXT);
    for (let node = walker.nextNode(); node; node = walker.nextNode()) {
      const text = (node.textContent ?? "").trim();
      const parent = node.parentElement;
      if (text === "" || !parent || parent.closest("title")) continue;
      const style = getComputedStyle(parent);
      const size = Number.parseFloat(style.fontSize);
      // The arrow between two figures is drawn; its character is kept for copying, in no size.
      if (size === 0) continue;
      const panel = panelOf(parent);
      const range = document.createRange();
      range.selectNodeContents(node);
      const svgText = parent.closest("text");
      // A line's box has room above and below for letters that it may not have.
      const seen = (rect: DOMRect) => {
        const spare = Math.max(0, (rect.height - size * scale * 0.8) / 2);
        return new DOMRect(rect.x, rect.y + spare, rect.width, rect.height - 2 * spare);
      };
      const rects = svgText ? [svgText.getBoundingClientRect()] : [...range.getClientRects()];
      // A drawing has no backgrounds: what lies behind its letters is the shape drawn before them.
      const shape = svgText?.previousElementSibling;
      const behind = shape?.localName === "path" && shape.parentElement?.children.length === 2;
      for (const rect of rects.map(seen)) {
        texts.push({
          text,
          size,
          least: 36,
          colour: svgText ? style.fill : style.color,
          ground: behind
            ? getComputedStyle(shape as Element).fill
            : panel
              ? getComputedStyle(panel).backgroundColor
              : clear,
          opaque: panel !== null && opaqueFrom(parent),
          inPanel: panel !== null && inside(rect, panel.getBoundingClientRect()),
          ...boxOf(rect),
        });
      }
    }
    // Letters of the recap card are outlines, with what they say beside them.
    for (const path of stage.querySelectorAll<SVGPathElement>("path[data-size]")) {
      const svg = path.ownerSVGElement;
      const ground = svg?.querySelector("rect");
      if (!svg || !ground) continue;
      const rect = path.getBoundingClientRect();
      texts.push({
        text: path.getAttribute("aria-label") ?? "",
        size: Number(path.dataset.size),
        least: 28,
        colour: getComputedStyle(path).fill,
        ground: getComputedStyle(ground).fill,
        opaque: opaqueFrom(svg),
        inPanel: inside(rect, svg.getBoundingClientRect()),
        ...boxOf(rect),
      });
    }
    const panels = [...stage.querySelectorAll("*")]
      .filter((element) => panelOf(element) === element)
      .filter((element) => !element.parentElement || panelOf(element.parentElement) === null)
      .map((element) => ({
        name: element.className,
        ...boxOf(element.getBoundingClientRect()),
      }));
    const drawings = [...stage.querySelectorAll("svg")].map((drawing) => ({
      name: drawing.getAttribute("aria-label") ?? drawing.parentElement?.className ?? "svg",
      ...boxOf(drawing.getBoundingClientRect()),
    }));
    const cut = [...stage.querySelectorAll<HTMLElement>("div, p, section, aside, b, span, bdi")]
      .filter((element) => element.clientWidth > 0)
      .filter(
        (element) =>
          element.scrollWidth > element.clientWidth + 1 &&
          getComputedStyle(element).textOverflow !== "ellipsis",
      )
      .map((element) => `${element.className}: ${element.textContent}`);
    return { texts, panels, drawings, cut };
  });
}

/** Waits until nothing moves any more and the next view is painted. */
async function settled(page: Page): Promise<void> {
  const frame = () => new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
  do {
    await page.waitForFunction(() => document.getAnimations().length === 0);
    await page.evaluate(frame);
    // A view that arrived just now begins to move only with its first frame.
  } while (await page.evaluate(() => document.getAnimations().length > 0));
}

/** What of the rules for text over video is broken, in words; empty when all is well. */
export function faults({ texts, panels, drawings, cut }: Measured): string[] {
  const found: string[] = cut.map((what) => `cut off: ${what}`);
  for (const text of texts) {
    const fault = (what: string) => found.push(`"${text.text}" ${what}`);
    if (text.size < text.least) fault(`is ${text.size} px`);
    if (!text.opaque) fault("has video behind it");
    const ratio = contrast(hexOf(text.colour), hexOf(text.ground));
    if (ratio < 7) fault(`has a contrast of ${ratio.toFixed(2)}`);
    if (!text.inPanel) fault("leaves its panel");
    if (!isSafe(text)) fault("leaves the safe area");
  }
  for (const box of [...panels, ...drawings]) {
    if (!isSafe(box)) found.push(`${box.name} leaves the safe area`);
  }
  for (const [a, b] of pairs(texts)) {
    if (meet(a, b)) found.push(`"${a.text}" touches "${b.text}"`);
  }
  for (const [a, b] of pairs(panels)) {
    if (meet(a, b)) found.push(`panel ${a.name} covers ${b.name}`);
  }
  return found;
}

function isSafe({ left, top, right, bottom }: Omit<Box, "name">): boolean {
  return (
    left >= safe.left - 1 &&
    top >= safe.top - 1 &&
    right <= safe.right + 1 &&
    bottom <= safe.bottom + 1
  );
}

function meet(a: Omit<Box, "name">, b: Omit<Box, "name">): boolean {
  return (
    a.left < b.right - 1 && b.left < a.right - 1 && a.top < b.bottom - 1 && b.top < a.bottom - 1
  );
}

function pairs<Item>(items: readonly Item[]): [Item, Item][] {
  return items.flatMap((a, at) => items.slice(at + 1).map((b): [Item, Item] => [a, b]));
}

function hexOf(colour: string): string {
  const parts = /^rgb\((\d+), (\d+), (\d+)\)$/.exec(colour);
  if (!parts) throw new Error(`${colour} is not an opaque colour.`);
  return `#${parts
    .slice(1)
    .map((part) => Number(part).toString(16).padStart(2, "0"))
    .join("")}`;
}

/** The texts on screen, or in the first such element, one after the other. */
export async function words(page: Page, selector = "body"): Promise<string> {
  return page.evaluate((where) => {
    const root = document.querySelector(where);
    if (!root) return "";
    const walker = document.createTreeWalker(root, NodeFilter.SHOW_TEXT | NodeFilter.SHOW_ELEMENT);
    const texts = [];
    for (let node = walker.nextNode(); node; node = walker.nextNode()) {
      if (node instanceof SVGPathElement) {
        if (node.dataset.size !== undefined) texts.push(node.getAttribute("aria-label"));
      } else if (node instanceof Text && !node.parentElement?.closest("title")) {
        texts.push(node.textContent);
      }
    }
    return texts.join(" ").replace(/\s+/g, " ").replace(/ ,/g, ",").trim();
  }, selector);
}
