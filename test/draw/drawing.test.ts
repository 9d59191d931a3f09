import { h } from "preact";
import { describe, expect, it } from "vitest";
import { Arrow } from "../../shared/draw/Arrow.tsx";
import { CautionMark } from "../../shared/draw/CautionMark.tsx";
import { DippedStrip } from "../../shared/draw/DippedStrip.tsx";
import { GraduatedRule } from "../../shared/draw/GraduatedRule.tsx";
import { Hank } from "../../shared/draw/Hank.tsx";
import { Pan } from "../../shared/draw/Pan.tsx";
import { TimeRule } from "../../shared/draw/TimeRule.tsx";
import { Gallery } from "./gallery.tsx";
import { markup } from "./markup.ts";

const skein = { dyedHex: "#2e6e86", undyedHex: "#efe6d6", fill: 0.5 };

describe("the drawings", () => {
  const everything = markup(h(Gallery, {}));

  it("are plain functions whose markup holds no broken number", () => {
    expect(everything.length).toBeGreaterThan(300_000);
    expect(everything).not.toMatch(/NaN|Infinity|undefined|[0-9]e[-+][0-9]/);
  });

  it("need nothing by id, so that many can share a page", () => {
    expect(everything).not.toMatch(
      /url\(#| id="(?!wool|ink|video)|<(linearGradient|filter|pattern)/,
    );
  });

  it("hide from readers what has no name and name what has one", () => {
    const strip = { dyedHex: "#2e6e86", undyedHex: "#efe6d6", width: 24, height: 44 };
    expect(markup(h(DippedStrip, strip))).toContain('aria-hidden="true"');
    const named = markup(h(DippedStrip, { ...strip, title: "Saltmarsh" }));
    expect(named).toContain('role="img"');
    expect(named).toContain("<title>Saltmarsh</title>");
    expect(named).not.toContain("aria-hidden");
  });

  it("take the colour of the text around them where they are cautions", () => {
    expect(markup(h(CautionMark, { hazard: "steam" }))).toContain('stroke="currentColor"');
  });

  it("keep the arrow itself in the text", () => {
    expect(markup(h(Arrow, { size: 40 }))).toContain("→");
  });
});

describe("a pan", () => {
  const pan = { name: "Pan B", bath: 0.6, width: 860, height: 260, tone: "wool" as const };

  it("says every skein's full name even where the tape shortens it", () => {
    const label = "Harbourmaster, midnight";
    const hanks = Array.from({ length: 12 }, (_, index) => ({
      ...skein,
      label: index === 4 ? label : `${index + 1}`,
    }));
    const drawn = markup(h(Pan, { ...pan, hanks }));
    expect(drawn).toMatch(new RegExp(`<title>Pan B, [^<]*${label}`));
    expect(drawn).toMatch(/>Har[^<]*…<\/text>/);
    expect(drawn).not.toContain(`>${label}</text>`);
  });

  it("lays one knotted thread round each skein that is poured on, and no other", () => {
    const rings = (ringed: boolean[]) =>
      markup(
        h(Pan, {
          ...pan,
          hanks: ringed.map((on, index) => ({ ...skein, label: `${index}`, ringed: on })),
        }),
      ).length;
    expect(rings([true, true, false])).toBeGreaterThan(rings([true, false, false]));
    expect(rings([true, false, false])).toBeGreaterThan(rings([false, false, false]));
  });

  it("stays light enough to be redrawn at every pour: under 160 kB with twelve skeins", () => {
    const hanks = Array.from({ length: 12 }, (_, index) => ({ ...skein, label: `${index + 1}` }));
    expect(markup(h(Pan, { ...pan, hanks })).length).toBeLessThan(160_000);
  });

  it("can stand empty", () => {
    expect(markup(h(Pan, { ...pan, hanks: [] }))).toContain("Pan B");
  });
});

describe("a hank", () => {
  it("says its name in full, and leaves the tape off when asked", () => {
    const hank = {
      ...skein,
      label: "Harbour at dusk",
      width: 60,
      height: 160,
      tone: "ink" as const,
    };
    expect(markup(h(Hank, hank))).toContain("<title>Harbour at dusk</title>");
    expect(markup(h(Hank, { ...hank, labelSize: 0 }))).not.toContain("<text");
  });
});

describe("a graduated rule", () => {
  const rule = {
    volumeUl: 37_500,
    width: 440,
    height: 76,
    fillHex: "#2e6e86",
    tone: "ink" as const,
  };

  it("bears no letters unless it is asked to, and then the vessel's own numbers", () => {
    expect(markup(h(GraduatedRule, rule))).not.toContain("<text");
    const numbers = [
      ...markup(h(GraduatedRule, { ...rule, labels: true })).matchAll(/>([\d.,]+)</g),
    ];
    expect(numbers.map((found) => found[1])).toEqual(["0", "10", "20", "30", "40", "50"]);
  });

  it("makes room for the doubt of an estimate: 48 mL give or take 4 stands on 100 mL", () => {
    const numbers = [
      ...markup(
        h(GraduatedRule, { ...rule, volumeUl: 48_000, plusMinusUl: 4_000, labels: true }),
      ).matchAll(/>([\d.,]+)</g),
    ];
    expect(numbers.at(-1)?.[1]).toBe("100");
  });

  it("is empty when nothing is in", () => {
    expect(markup(h(GraduatedRule, { ...rule, pouredUl: 0 }))).not.toContain('fill="#2e6e86"');
  });
});

describe("a time rule", () => {
  const rule = { totalS: 1500, width: 400, height: 60, tone: "wool" as const };

  it("burns down to nothing and stays there", () => {
    const gone = markup(h(TimeRule, { ...rule, leftS: 0 }));
    expect(gone).not.toContain("matrix");
    expect(markup(h(TimeRule, { ...rule, leftS: -30 }))).toBe(gone);
    expect(markup(h(TimeRule, { ...rule, leftS: 60 }))).toContain("matrix");
  });

  it("counts in minutes", () => {
    const drawn = markup(h(TimeRule, { ...rule, leftS: 660, labels: true }));
    const numbers = [...drawn.matchAll(/>(\d+)<\/text>/g)].map((found) => found[1]);
    expect(numbers).toEqual(["0", "5", "10", "15", "20", "25"]);
  });
});
