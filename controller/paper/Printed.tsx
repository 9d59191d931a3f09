import "./paper.css";
import type { ComponentChildren } from "preact";
import { useLayoutEffect } from "preact/hooks";

export type PaperSize = "A4" | "letter";

export const paperSizes: readonly { value: PaperSize; label: string }[] = [
  { value: "A4", label: "A4" },
  { value: "letter", label: "Letter" },
];

/** What goes onto paper, and on which; everything else on the page stays off it. */
export function Printed({ paper, children }: { paper: PaperSize; children: ComponentChildren }) {
  useLayoutEffect(() => {
    // Only a style sheet can name the size, and a page's own policy keeps it from writing one inline.
    const sheet = new CSSStyleSheet();
    sheet.replaceSync(`@page { size: ${paper === "A4" ? "A4" : "letter"}; margin: 14mm; }`);
    document.adoptedStyleSheets = [...document.adoptedStyleSheets, sheet];
    return () => {
      document.adoptedStyleSheets = document.adoptedStyleSheets.filter((one) => one !== sheet);
    };
  }, [paper]);
  return (
    <div class="printed" data-paper={paper}>
      {children}
    </div>
  );
}
