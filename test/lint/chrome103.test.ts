import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, describe, expect, test } from "vitest";
import {
  checkFolder,
  newerThanChrome103InScript,
  newerThanChrome103InStyle,
} from "../../tools/chrome103.mjs";

const inScript = (code: string) => newerThanChrome103InScript(code).map(({ what }) => what);
const inStyle = (css: string) => newerThanChrome103InStyle(css).map(({ what }) => what);

// The versions are MDN's (browser-compat-data): each is a feature of Chrome 104 or newer.
describe("script newer than Chrome 103 is refused", () => {
  test.each([
    ["[3, 1].toSorted()", ".toSorted"],
    ["const { toReversed } = list;", ".toReversed"],
    ["Array.fromAsync(list)", "Array.fromAsync"],
    ["Object.groupBy(list, f)", "Object.groupBy"],
    ["Promise.withResolvers()", "Promise.withResolvers"],
    ["new Set().union(other)", ".union"],
    ["word.isWellFormed()", ".isWellFormed"],
    ["Iterator.from(list)", "Iterator.from"],
    ["URL.canParse(address)", "URL.canParse"],
    ["AbortSignal.any([])", "AbortSignal.any"],
    ["new Intl.DurationFormat()", "Intl.DurationFormat"],
    ["navigator.windowControlsOverlay", "navigator.windowControlsOverlay"],
    ["navigator.storageBuckets.open('a')", "navigator.storageBuckets"],
    ["document.startViewTransition(f)", "document.startViewTransition"],
    ["element.checkVisibility()", ".checkVisibility"],
    ["element.showPopover()", ".showPopover"],
    ["jsx('p', { style: { textWrap: 'balance' } })", "text-wrap: balance"],
    ["jsx('p', { style: { height: '100dvh' } })", "dvh"],
  ])("%s", (code, what) => {
    expect(inScript(code)).toContain(what);
  });

  test.each([
    "/[a--b]/v",
    "using bottle = open();",
    "import a from './a.json' with { type: 'json' };",
  ])("syntax: %s", (code) => {
    expect(inScript(code)).toEqual([expect.stringContaining("syntax")]);
  });
});

describe("script that Chrome 103 knows is let through", () => {
  test.each([
    "structuredClone(list)",
    "list.at(-1); list.findLast(f); word.replaceAll('a', 'b')",
    "class Pan { #bath = 1; static { f(); } has(o) { return #bath in o; } }",
    "a ??= b; a?.b; 1_000n; /(?<=a)b/d",
    "AbortSignal.timeout(20); new ResizeObserver(f); requestAnimationFrame(f)",
    "navigator.wakeLock.request('screen')",
    "typeof Iterator === 'undefined'",
    "const own = { union: (a, b) => a + b }; own.union(1, 2)",
  ])("%s", (code) => {
    expect(inScript(code)).toEqual([]);
  });

  test("a name that a scope declares is not the global of that name", () => {
    expect(inScript("const Iterator = { from: (list) => list }; Iterator.from([])")).toEqual([]);
  });
});

describe("style newer than Chrome 103 is refused", () => {
  test.each([
    ["a:has(b) { color: red }", ":has"],
    ["@container (width > 1px) { a { color: red } }", "@container"],
    ["a { container-type: inline-size }", "container-type"],
    ["a { width: 10cqw }", "cqw"],
    ["a { height: 100dvh }", "dvh"],
    ["a { --height: 100svh }", "svh"],
    ["a { & b { color: red } }", "nesting"],
    ["a { text-wrap: balance }", "text-wrap: balance"],
    ["a { grid-template-columns: subgrid }", "grid-template-columns: subgrid"],
    ["a { color: color-mix(in srgb, red, blue) }", "color-mix()"],
    ["a { color: oklch(50% 0.1 20) }", "oklch()"],
    ["a { color: rgb(from red r g b) }", "rgb(from)"],
    ["a { color: light-dark(red, blue) }", "light-dark()"],
    ["a { translate: 10px }", "translate"],
    ["a { width: calc(10px * sin(30deg)) }", "sin()"],
    ["a { transition-timing-function: linear(0, 1) }", "linear()"],
    ["a { line-height: 2lh }", "lh"],
    ["a { field-sizing: content }", "field-sizing"],
    ["a { mask-image: none }", "mask-image"],
    ["@media (width >= 100px) { a { color: red } }", "a range in a media query"],
    ["@media (scripting: none) { a { color: red } }", "(scripting)"],
    ["@starting-style { a { color: red } }", "@starting-style"],
    ["@scope (a) { b { color: red } }", "@scope"],
  ])("%s", (css, what) => {
    expect(inStyle(css)).toContain(what);
  });
});

describe("style that Chrome 103 knows is let through", () => {
  test.each([
    "a:is(b):not(c):where(d):focus-visible { color: red }",
    "a::before { content: '' } a::-webkit-scrollbar { display: none }",
    "a { inset: 0; margin-inline: 1px; padding-block: 1px; gap: 1px; aspect-ratio: 16 / 9 }",
    "a { width: clamp(1rem, 10vw, 20rem); overflow: clip; accent-color: red }",
    "a { font-variant-numeric: tabular-nums; clip-path: polygon(0 0, 1px 1px); filter: blur(1px) }",
    "a { transform: translate(1px, 1px) rotate(3deg); color: rgb(1 2 3 / 50%) }",
    "@media (prefers-reduced-motion: reduce) and (min-width: 10px) { a { transition: none } }",
    "@layer base { a { color: red } } @property --x { syntax: '*'; inherits: false }",
    "@font-face { font-family: x; src: url(a.woff2) format('woff2'); font-display: swap }",
  ])("%s", (css) => {
    expect(inStyle(css)).toEqual([]);
  });
});

describe("a built page", () => {
  const folder = mkdtempSync(join(tmpdir(), "pourside-chrome103-"));
  afterAll(() => {
    rmSync(folder, { recursive: true });
  });
  const check = (script: string, style: string) => {
    writeFileSync(join(folder, "overlay.js"), script);
    writeFileSync(join(folder, "overlay.css"), style);
    return checkFolder(folder).map(({ file, what }) => `${file}: ${what}`);
  };

  test("is refused for its script and for its style", () => {
    expect(check("[].toSorted()", "a { height: 100dvh }").sort()).toEqual([
      "overlay.css: dvh",
      "overlay.js: .toSorted",
    ]);
  });

  test("may name what a library does without, and not once more", () => {
    const asked = "if (typeof URL.canParse === 'function') URL.canParse(address);";
    expect(check(asked, "")).toEqual([]);
    expect(check(`${asked} URL.canParse(address);`, "")).toHaveLength(3);
  });

  test("without any script or style is no page", () => {
    rmSync(join(folder, "overlay.js"));
    rmSync(join(folder, "overlay.css"));
    expect(() => checkFolder(folder)).toThrow("no script and no style");
  });
});
