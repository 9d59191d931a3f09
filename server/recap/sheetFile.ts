import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { render } from "preact-render-to-string";
import type { Recap } from "../../shared/recap/recap.ts";
import { RecipeSheet } from "../../shared/recap/Sheet.tsx";
import { type Paper, sheetStyle } from "../../shared/recap/sheet.ts";
import type { State } from "../../shared/session/state.ts";
import { escaped } from "./escaped.ts";

const packages = createRequire(import.meta.url);

/** The recipe sheet as one HTML file that asks for nothing, its typeface inside. */
export function sheetHtml(state: State, recap: Recap, paper: Paper): string {
  const sheet = render(RecipeSheet({ state, recap }));
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${escaped(recap.name)}</title>
<style>${face("latin-ext", "U+0100-02FF,U+1E00-1EFF,U+20A0-20C0")}${face("latin", "U+0000-00FF,U+2000-206F,U+20AC,U+2122,U+2212")}
${sheetStyle(paper)}</style>
</head>
<body>
${sheet}
</body>
</html>
`;
}

const faces = new Map<string, string>();

function face(subset: string, range: string): string {
  const known = faces.get(subset);
  if (known !== undefined) return known;
  const name = "@fontsource-variable/atkinson-hyperlegible-next";
  const file = `files/atkinson-hyperlegible-next-${subset}-wght-normal.woff2`;
  const data = readFileSync(packages.resolve(`${name}/${file}`)).toString("base64");
  const made = `@font-face{font-family:"Atkinson Hyperlegible Next Variable";font-weight:200 800;src:url(data:font/woff2;base64,${data}) format("woff2");unicode-range:${range}}`;
  faces.set(subset, made);
  return made;
}
