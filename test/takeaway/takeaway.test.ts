import { readFileSync } from "node:fs";
import { join } from "node:path";
import { inflateSync } from "node:zlib";
import fc from "fast-check";
import jsonld from "jsonld";
import { beforeAll, describe, expect, test } from "vitest";
import { drawFile, drawPage } from "../../overlay/follow/drawn.tsx";
import { howTo } from "../../overlay/follow/howTo.ts";
import { noChoices } from "../../overlay/follow/kept.ts";
import { inScript } from "../../overlay/follow/save.ts";
import { sayAmount } from "../../overlay/follow/say.ts";
import { recipeText } from "../../overlay/follow/text.ts";
import { loadFollow } from "../../server/http/follow.ts";
import { takeawayHtml } from "../../server/recap/takeaway.ts";
import { followRecipe } from "../../shared/session/views/followRecipe.ts";
import { asInSession } from "../../shared/session/views/ownTerms.ts";
import { type PublicView, publicView } from "../../shared/session/views/publicView.ts";
import { buildIfStale, root } from "../../tools/build.mjs";
import { Desk, harbourSheet, setupOf } from "../scenario/desk.ts";
import { longSession } from "./long.ts";
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

/** What a file's script takes over from, packed or not. */
function heldIn(html: string): { held: { view: PublicView } } {
  const [, packed] = html.split('id="packed">');
  if (packed === undefined) return dataOf(html, 'id="held"') as { held: { view: PublicView } };
  return JSON.parse(inflateSync(Buffer.from(packed.split("<")[0] ?? "", "base64")).toString());
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
    const { held } = heldIn(fileOf(view));
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

  test("of a session without pours says so", () => {
    const sheet = harbourSheet();
    sheet.steps = [];
    const html = fileOf(publicView(new Desk(setupOf(sheet)).state));
    expect(html).toContain("There are no pours in this session.");
  });
});

describe("the file of a long recipe, as it is built", () => {
  let whole: (view: PublicView) => string;
  beforeAll(async () => {
    await buildIfStale();
    const build = loadFollow(join(root, "dist", "pages"));
    whole = (view) => takeawayHtml(view, { session: "session", seq: 9, madeAt, build });
  }, 120_000);

  test.each([
    [40, 40, "A long evening"],
    [125, 125, "Zmierzch nad łąką"],
    [200, 200, "A long evening"],
    [200, 0, "Zmierzch nad łąką"],
    [200, 200, "Zmierzch nad łąką"],
    [500, 500, "A long evening"],
    [500, 500, "Zmierzch nad łąką"],
    [500, 0, "A long evening"],
  ])(
    "is less than 400 kB with %i pours, %i of them made, under the name %s",
    (pours, made, name) => {
      const view = longSession(pours, made, name);
      const html = whole(view);
      const bytes = Buffer.byteLength(html);
      console.log(`${pours} pours, ${made} of them made: ${bytes} bytes`);
      expect(bytes).toBeLessThan(400_000);
      const { terms: _, ...inFile } = followRecipe(heldIn(html).held.view, asInSession);
      const { terms: __, ...there } = followRecipe(view, asInSession);
      expect(inFile).toEqual(there);
      // Drawn in full or in words, every pour is there without the script, with its amount.
      const drawn = html.match(/data-pour=/g)?.length ?? 0;
      const inWords =
        textOf(html).match(/^\d+\. (?:about )?[\d.]+\u202f(?:mL|mg|g) /gm)?.length ?? 0;
      expect([drawn, inWords]).toEqual(pours > 200 ? [0, pours] : [pours, 0]);
    },
  );

  test("has the typeface's further letters only where a word needs them", () => {
    const faces = (name: string) => whole(longSession(1, 1, name)).match(/@font-face/g)?.length;
    expect(faces("A long evening")).toBe(1);
    expect(faces("Zmierzch nad łąką")).toBe(2);
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
        const step = machine[at];
        const supplies =
          step && "itemListElement" in step ? (step.itemListElement[0]?.supply ?? []) : [];
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

  test("is one as well where a long recipe says its steps in words alone", async () => {
    const found = dataOf(fileOf(longSession(160, 20)), 'ld+json"') as object;
    const [node] = await expanded(found);
    expect(problemsOf(node ?? {})).toEqual([]);
    const steps = node?.[`${place}step`] as Record<string, [{ "@value": string }]>[];
    expect(steps).toHaveLength(160);
    for (const step of steps) {
      expect(step[`${place}text`]?.[0]["@value"]).toMatch(/^(?:about )?[\d.]+\u202f(?:mL|mg|g) /);
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
