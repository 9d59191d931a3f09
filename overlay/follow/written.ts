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

/**
 * The same from a file, which packs what is long. `null` also where the browser cannot unpack it.
 */
export async function unpacked(): Promise<Written | null> {
  const packed = document.getElementById("packed")?.textContent;
  if (packed === undefined || packed === null) return written("held");
  try {
    const bytes = Uint8Array.from(atob(packed), (letter) => letter.charCodeAt(0));
    const whole = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate"));
    return JSON.parse(await new Response(whole).text());
  } catch {
    return null;
  }
}
