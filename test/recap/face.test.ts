import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { expect, test } from "vitest";
import baked from "../../shared/recap/faces.json" with { type: "json" };
import { bakeFaces } from "../../tools/faces.mjs";

test("the letters of the recap card are baked from the font packages that are installed", async () => {
  expect(await bakeFaces()).toEqual(baked);
}, 60_000);

test("their licence names every package that they come from", () => {
  const packages = createRequire(import.meta.url);
  const licence = readFileSync(new URL("../../shared/recap/OFL.txt", import.meta.url), "utf8");
  for (const name of ["atkinson-hyperlegible-next", "noto-sans", "noto-sans-hebrew"]) {
    const own = readFileSync(packages.resolve(`@fontsource-variable/${name}/LICENSE`), "utf8");
    const [holder = ""] = /Copyright .*? \(.*?\)/.exec(own) ?? [];
    expect(holder).not.toBe("");
    expect(licence).toContain(holder);
    // The licence itself, word for word, from its title on.
    const from = own.indexOf("SIL OPEN FONT LICENSE");
    expect(licence.replace(/\s+/g, " ")).toContain(own.slice(from).replace(/\s+/g, " ").trim());
  }
});
