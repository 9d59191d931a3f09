import { createHash } from "node:crypto";
import { deflateSync } from "node:zlib";
import type { PublicView } from "../../shared/session/views/publicView.ts";
import { escaped } from "./escaped.ts";

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
    }): { body: string; held: string; linkedData: string };
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
  const { body, held, linkedData } = build.drawFile({ held: { session, seq, view }, madeAt });
  const script = inElement(build.script, "script");
  const style = inElement(facesFor(build.style, body + held), "style");
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
${body}${dataElement(held)}
<script>${script}</script>
</body>
</html>
`;
}

/** Data that is longer is packed, bytes; what is shorter, every browser can read. */
const mostUnpacked = 60_000;

/** What the script takes over from, as JSON; packed, deflated and in base64, where it is long. */
function dataElement(json: string): string {
  return json.length <= mostUnpacked
    ? `<script type="application/json" id="held">${json}</script>`
    : `<script type="text/plain" id="packed">${deflateSync(json, { level: 9 }).toString("base64")}</script>`;
}

/** A style without those faces that no letter of a text is set in. */
function facesFor(style: string, text: string): string {
  return style.replace(/@font-face\s*\{[^}]*\}/g, (face) => {
    const range = /unicode-range:\s*([^;}]+)/.exec(face)?.[1];
    return range === undefined || reaches(range, text) ? face : "";
  });
}

/** Whether a letter of a text is in a range as CSS writes it, "U+0100-02FF, U+20AC". */
function reaches(range: string, text: string): boolean {
  const parts = range.split(",").map((part) => {
    const [from = "", to = from] = part.trim().replace(/^U\+/i, "").split("-");
    const least = Number.parseInt(from.replaceAll("?", "0"), 16);
    const most = Number.parseInt(to.replaceAll("?", "f"), 16);
    return `\\u{${least.toString(16)}}-\\u{${most.toString(16)}}`;
  });
  return new RegExp(`[${parts.join("")}]`, "u").test(text);
}

/** A text that stands raw inside an element must not end it. */
function inElement(text: string, name: "script" | "style"): string {
  if (new RegExp(`</${name}`, "i").test(text)) {
    throw new Error(`The built ${name} would end its own element.`);
  }
  return text;
}
