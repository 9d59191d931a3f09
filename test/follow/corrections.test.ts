import { expect, test } from "vitest";
import { drawFile, drawPage } from "../../overlay/follow/drawn.tsx";
import { noChoices } from "../../overlay/follow/kept.ts";
import { recipeText } from "../../overlay/follow/text.ts";
import { comparison } from "../../shared/session/outcome.ts";
import { followRecipe } from "../../shared/session/views/followRecipe.ts";
import { asInSession } from "../../shared/session/views/ownTerms.ts";
import { publicView } from "../../shared/session/views/publicView.ts";
import { nextDay } from "../scenario/nextDay.ts";

const { desk } = nextDay();
const view = publicView(desk.state);
const held = { session: "session", seq: desk.state.seq, view };
const madeAt = Date.UTC(2031, 4, 19);

/** What a reader sees, blanks made plain. */
const textOf = (html: string) =>
  html
    .replace(/<script[\s\S]*?<\/script>/g, "")
    .replace(/<[^>]*>/g, " ")
    .replace(/&lt;/g, "<")
    .replace(/[\s\u202f]+/g, " ");
const between = (html: string, from: string, to: string) =>
  (html.split(from)[1] ?? "").split(to)[0] ?? "";

test.each([
  ["the follow page", drawPage({ held, madeAt })],
  ["the take-away file", drawFile({ held, madeAt }).body],
])("%s says what was said before, what is true and why", (_where, html) => {
  const line = textOf(`<${between(html, 'data-pour="1"', "</li>")}`);
  expect(line).toContain("Said before 20 mL Saltmarsh 1 % into pan A");
  expect(line).toContain("In truth 12.5 mL Saltmarsh 1 % into pan A");
  expect(line).toContain("Why misread the <syringe>");
  // What was taken out has no line of its own any more.
  const elsewhere = textOf(between(html, 'id="corrected">', "</section>"));
  expect(elsewhere).toContain("Said before 3 mL Lantern 1 % into pan A");
  expect(elsewhere).toContain("In truth it never happened Why it never went in");
  expect(elsewhere).not.toContain("Saltmarsh");
});

test("what was dyed the next day has a heading of its own, and its skein is marked", () => {
  const html = drawPage({ held, madeAt });
  const after = between(html, 'id="after">', "</section>");
  expect(after.match(/data-pour=/g)).toHaveLength(1);
  expect(after).toContain('data-pour="2"');
  const done = between(html, 'id="done">', "</section>");
  expect(done.match(/data-pour=/g)).toHaveLength(1);
  const skeins = between(html, 'id="colours">', "</section>").split("<li>");
  expect(skeins.filter((skein) => skein.includes("dyed after the stream"))).toHaveLength(1);
});

test("a result stands beside its prediction with CIEDE2000, and the rinse with it", () => {
  const apart = comparison(desk.state, "1")?.difference ?? Number.NaN;
  expect(apart).toBeGreaterThan(0);
  const said = `photographed, ${apart.toFixed(1)} CIEDE2000 from the prediction`;
  const skeins = between(drawPage({ held, madeAt }), 'id="colours">', "</section>");
  expect(skeins).toContain("#4a7f96");
  expect(textOf(skeins)).toContain(said);
  expect(textOf(skeins)).toContain("rinse: some dye in the water, cloth clean");
  expect(JSON.stringify(view)).not.toContain("private words");
});

test("the text has all of it too", () => {
  const text = recipeText(view, followRecipe(view, asInSession), noChoices).replace(/\u202f/g, " ");
  expect(text).toContain(
    "- Said before: 20 mL Saltmarsh 1 % into pan A. In truth: 12.5 mL Saltmarsh 1 % into pan A. Why: misread the <syringe>.",
  );
  expect(text).toMatch(/\nAfter the stream\n2\. 5 mL Lantern 1 %/);
  expect(text).toMatch(/\nHow the skeins came out\n- Skein 1: photographed, /);
});

test("a session that nobody corrected says nothing of it", () => {
  const { skeins, poured, corrections: _, ...rest } = view;
  const bare = {
    ...rest,
    skeins: Object.fromEntries(
      Object.entries(skeins).map(([id, { seen, strayed, rinse, offAir, ...skein }]) => [id, skein]),
    ),
    poured: Object.fromEntries(
      Object.entries(poured).map(([act, { offAir, ...pour }]) => [act, pour]),
    ),
  };
  const html = drawPage({ held: { ...held, view: bare }, madeAt });
  const text = textOf(html);
  for (const word of ["Said before", "after the stream", "CIEDE2000 from", "rinse:"]) {
    expect(text).not.toContain(word);
  }
});
