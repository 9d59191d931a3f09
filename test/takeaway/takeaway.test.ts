import { readFileSync } from "node:fs";
import fc from "fast-check";
import jsonld from "jsonld";
import { describe, expect, test } from "vitest";
import { drawFile, drawPage } from "../../overlay/follow/drawn.tsx";
import { howTo } from "../../overlay/follow/howTo.ts";
import { noChoices } from "../../overlay/follow/kept.ts";
import { inScript } from "../../overlay/follow/save.ts";
import { sayAmount } from "../../overlay/follow/say.ts";
import { recipeText } from "../../overlay/follow/text.ts";
import { takeawayHtml } from "../../server/recap/takeaway.ts";
import { followRecipe } from "../../shared/session/views/followRecipe.ts";
import { asInSession } from "../../shared/session/views/ownTerms.ts";
import { type PublicView, publicView } from "../../shared/session/views/publicView.ts";
import { Desk, harbourSheet, setupOf } from "../scenario/desk.ts";
import { sessions, viewers } from "./sessions.ts";

const madeAt = Date.UTC(2031, 4, 18);
const build = { drawFile, style: "html { color: black }", script: "void 0" };
const fileOf = (view: PublicView) =>
  takeawayHtml(view, { session: "session", seq: 9, madeAt, build });

function poured(until: number): PublicView {
  const desk = Desk.live();
  for (let step = 0; step < until; step += 1) desk.advance();
  return publicView(desk.state);
}

/** Text of a part of a file, as a reader sees it. */
function textOf(html: string): string {
  return html
    .replace(/<[^>]*>/g, " ")
    .replace(/&lt;/g, "<")
    .replace(/&gt;/g, ">")
    .replace(/&quot;/g, '"')
    .replace(/&amp;/g, "&");
}

function dataOf(html: string, mark: string): unknown {
  const [, json = ""] = html.split(`${mark}>`);
  return JSON.parse(json.split("</script>")[0] ?? "");
}

describe("the file to take away", () => {
  test("asks for nothing and runs nothing but its own script", () => {
    const html = fileOf(poured(11));
    expect(html).toContain("default-src 'none'");
    expect(html).not.toMatch(/<(?:link(?! rel="icon" href="data:,")|img|iframe)|src="|@import/);
    expect(html).not.toMatch(/href="(?!data:,|#)/);
    expect(html).toBe(fileOf(poured(11)));
  });

  test("shows every pour unscaled without its script, in the order in which it was poured", () => {
    const html = fileOf(poured(22));
    const numbers = [...html.matchAll(/data-pour="(\d+)"/g)].map(([, n]) => Number(n));
    expect(numbers).toEqual(Array.from({ length: 15 }, (_, at) => at + 1));
    expect(textOf(html)).toContain("Before you dye along");
  });

  test("keeps markup in names from becoming markup", () => {
    const sheet = harbourSheet();
    const bad = '</script><script>alert("1")</script>';
    sheet.name = `${bad} & <!--`;
    for (const stock of sheet.stocks) stock.name = bad;
    for (const pan of sheet.pans) pan.name = "<img src=x>";
    const html = fileOf(publicView(new Desk(setupOf(sheet)).state));
    expect(html.match(/<script/g)).toHaveLength(4);
    expect(html).not.toContain("<img");
    expect(dataOf(html, 'ld+json"')).toMatchObject({ name: `${bad} & <!--` });
    expect(textOf(html)).toContain(bad);
  });

  test("has all in it that the page would scale by", () => {
    const view = poured(22);
    const { held } = dataOf(fileOf(view), 'id="held"') as { held: { view: PublicView } };
    for (const massUg of [37_000_000, 412_000_000]) {
      for (const of of ["skein", "set"] as const) {
        const viewer = { ...asInSession, fibre: { of, massUg } };
        const { terms: _, ...inFile } = followRecipe(held.view, viewer);
        const { terms: __, ...onPage } = followRecipe(view, viewer);
        expect(inFile).toEqual(onPage);
      }
    }
  });

  test("and the page carry no style on an element, which the page's policy would refuse", () => {
    for (const until of [0, 11, 22]) {
      const held = { session: "session", seq: 9, view: poured(until) };
      expect(drawPage({ held, madeAt })).not.toMatch(/<[^>]* style=/);
    }
  });

  test("is small with a hundred pours in it", () => {
    const sheet = harbourSheet();
    const pours = sheet.steps.filter(({ kind }) => kind === "pour");
    for (const stock of sheet.stocks) stock.mL = 50_000;
    sheet.steps = Array.from({ length: 100 }, (_, at) =>
      structuredClone(pours[at % pours.length]),
    ) as typeof sheet.steps;
    const desk = new Desk(setupOf(sheet));
    desk.must({ type: "goLive" });
    for (let step = 0; step < 100; step += 1) desk.advance();
    const view = publicView(desk.state);
    expect(Object.keys(view.poured)).toHaveLength(100);
    const html = fileOf(view);
    expect(html.match(/data-pour=/g)).toHaveLength(100);
    // The built style, with the typeface in it, and script take up to 210 kB of the 400 that there are.
    console.log(`a hundred pours: ${html.length} letters besides style and script`);
    expect(html.length).toBeLessThan(190_000);
  });

  test("of a session without pours says so", () => {
    const sheet = harbourSheet();
    sheet.steps = [];
    const html = fileOf(publicView(new Desk(setupOf(sheet)).state));
    expect(html).toContain("There are no pours in this session.");
  });
});

test("follow page, text, file and what it says to machines state the same amounts", () => {
  let run = 0;
  fc.assert(
    fc.property(sessions, viewers, (view, viewer) => {
      const recipe = followRecipe(view, asInSession);
      const again = JSON.parse(inScript(view)) as PublicView;
      expect(followRecipe(again, asInSession).needs).toEqual(recipe.needs);
      // The file scales with the page's own rules, from the view that is written into it.
      expect(followRecipe(again, viewer).needs).toEqual(followRecipe(view, viewer).needs);
      const steps = [...(recipe.now ? [recipe.now] : []), ...recipe.coming];
      const pours = steps.flatMap((step) => (step.kind === "pour" ? [step] : []));
      const said = pours.map(({ own }) => own.parts.map((p) => sayAmount(p.of, p.amount)));

      const text = recipeText(view, recipe, noChoices);
      const machine = howTo(view, recipe, madeAt).step;
      pours.forEach(({ nth, own }, at) => {
        for (const amount of said[at] ?? []) {
          expect(text).toMatch(
            new RegExp(`^${nth}\\. (about )?${amount.replace(".", "\\.")} `, "m"),
          );
        }
        const supplies = machine[at]?.itemListElement[0]?.supply ?? [];
        const per = { volume: 1_000, mass: 1_000_000 };
        expect(supplies.map(({ requiredQuantity }) => requiredQuantity.value)).toEqual(
          own.parts.map(({ of, amount }) => amount / per[of]),
        );
      });
      // Drawing takes its time: one in fifty is drawn.
      run += 1;
      if (run % 50 !== 0) return;
      const html = fileOf(view);
      pours.forEach(({ nth }, at) => {
        const line = (html.split(`data-pour="${nth}"`)[1] ?? "").split("</li>")[0] ?? "";
        const shown = [...line.matchAll(/<b>([^<]*)<\/b>/g)].map(([, amount]) => amount);
        expect(shown).toEqual(said[at]);
      });
    }),
    { numRuns: 1_000 },
  );
});

type Vocabulary = {
  classes: Record<string, string[]>;
  properties: Record<string, { domain: string[]; range: string[] }>;
};
const vocabulary: Vocabulary = JSON.parse(
  readFileSync(new URL("../reference/schemaOrg.json", import.meta.url), "utf8"),
);
const place = "http://schema.org/";
const kindsOf = (name: string): string[] => [
  name,
  ...(vocabulary.classes[name] ?? []).flatMap(kindsOf),
];
const literal: Record<string, string[]> = {
  string: ["Text", "DateTime", "Date", "Duration", "URL"],
  number: ["Number", "Integer", "Text"],
};

/** What is wrong with an expanded node, by the terms of the vocabulary. */
function problemsOf(node: Record<string, unknown>): string[] {
  const types = (node["@type"] as string[] | undefined) ?? [];
  const kinds = types.flatMap((type) => kindsOf(type.replace(place, "")));
  const unknown = types
    .filter((type) => !Object.hasOwn(vocabulary.classes, type.replace(place, "")))
    .map((type) => `no class ${type}`);
  const problems = [...unknown];
  for (const [key, values] of Object.entries(node)) {
    if (key.startsWith("@")) continue;
    const property = vocabulary.properties[key.replace(place, "")];
    if (!key.startsWith(place) || property === undefined) {
      problems.push(`no term ${key}`);
      continue;
    }
    if (!property.domain.some((kind) => kinds.includes(kind))) {
      problems.push(`${key} is not said of ${types.join()}`);
      continue;
    }
    for (const value of values as Record<string, unknown>[]) {
      const named = (value["@type"] as string[] | undefined) ?? [];
      const is =
        "@value" in value
          ? (literal[typeof value["@value"]] ?? [])
          : named.flatMap((type) => kindsOf(type.replace(place, "")));
      if (!property.range.some((kind) => is.includes(kind))) {
        problems.push(`${key} cannot be ${is.join()}`);
      }
      if (!("@value" in value)) problems.push(...problemsOf(value));
    }
  }
  return problems;
}

async function expanded(document: object): Promise<Record<string, unknown>[]> {
  const documentLoader = async (url: string) => ({
    contextUrl: undefined,
    documentUrl: url,
    document: { "@context": { "@vocab": place } },
  });
  const nodes = await jsonld.expand(document as never, { documentLoader: documentLoader as never });
  return nodes as Record<string, unknown>[];
}

describe("what the file says to machines", () => {
  test("is a HowTo of the vocabulary, in its terms, each said of what it may be said of", async () => {
    const found = dataOf(fileOf(poured(12)), 'ld+json"') as object;
    const [node] = await expanded(found);
    expect(node?.["@type"]).toEqual([`${place}HowTo`]);
    expect(problemsOf(node ?? {})).toEqual([]);
    for (const term of ["supply", "tool", "step"]) {
      expect(node?.[`${place}${term}`]).not.toHaveLength(0);
    }
  });

  test("would be found out if it were not", async () => {
    const [node] = await expanded({
      "@context": "https://schema.org",
      "@type": "HowTo",
      pours: 3,
      unitCode: "MLT",
      supply: { "@type": "HowToStep" },
    });
    expect(problemsOf(node ?? {})).toHaveLength(3);
  });
});
