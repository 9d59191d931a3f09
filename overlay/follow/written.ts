import type { Held } from "../live/held.ts";

/** What a page is made from, written into it beside the drawing. */
export type Written = {
  held: Held | null;
  /** The clock of whoever made the page, ms. */
  madeAt: number;
};

/** What is written into the page under this name; `null` where there is nothing to be read. */
export function written(id: "held"): Written | null;
export function written(id: "choices"): unknown;
export function written(id: string): unknown {
  try {
    return JSON.parse(document.getElementById(id)?.textContent ?? "null");
  } catch {
    return null;
  }
}
