import { createHash } from "node:crypto";
import type { PublicView } from "../../shared/session/views/publicView.ts";

/** What the file is made of besides what viewers may see. */
export type TakeawayFacts = {
  session: string;
  seq: number;
  /** When it is made, ms; it is written into the file. */
  madeAt: number;
  /** The follow page as it was built: see `loadFollow`. */
  build: {
    drawFile(written: {
      held: { session: string; seq: number; view: PublicView };
      madeAt: number;
    }): { body: string; linkedData: string };
    style: string;
    script: string;
  };
};

/**
 * The whole recipe as one HTML file that needs no server and asks for nothing: it opens from a disk
 * or any web host, scales as the follow page does, and without scripts shows the session's own
 * amounts. It carries the recipe as a HowTo of schema.org for machines. The same facts give the same
 * bytes.
 */
export function takeawayHtml(view: PublicView, facts: TakeawayFacts): string {
  const { session, seq, madeAt, build } = facts;
  const { body, linkedData } = build.drawFile({ held: { session, seq, view }, madeAt });
  const script = inElement(build.script, "script");
  const style = inElement(build.style, "style");
  // Whoever passes the file on cannot make it load, send or run anything else.
  const policy = [
    "default-src 'none'",
    `script-src 'sha256-${createHash("sha256").update(script).digest("base64")}'`,
    "style-src 'unsafe-inline'",
    "font-src data:",
    "img-src data:",
    "base-uri 'none'",
    "form-action 'none'",
  ].join("; ");
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="format-detection" content="telephone=no">
<title>${escaped(view.session.name)}</title>
<link rel="icon" href="data:,">
<style>${style}</style>
<script type="application/ld+json">${linkedData}</script>
</head>
<body>
${body}
<script>${script}</script>
</body>
</html>
`;
}

/** A text that stands raw inside an element must not end it. */
function inElement(text: string, name: "script" | "style"): string {
  if (new RegExp(`</${name}`, "i").test(text)) {
    throw new Error(`The built ${name} would end its own element.`);
  }
  return text;
}

const entities: Readonly<Record<string, string>> = {
  "&": "&amp;",
  "<": "&lt;",
  ">": "&gt;",
  '"': "&quot;",
  "'": "&#39;",
};

function escaped(text: string): string {
  return text.replace(/[&<>"']/g, (letter) => entities[letter] ?? letter);
}
