import { describe, expect, test } from "vitest";
import {
  CAUTIONS,
  cautionsOf,
  deferral,
  notesOf,
  shortDeferral,
} from "../../shared/cautions/cautions.ts";
import { HAZARDS } from "../../shared/cautions/hazards.ts";

function words(text: string): number {
  return text.split(/\s+/).length;
}

describe("cautions", () => {
  test("every hazard has a line that fits a strip and a note of two sentences or more", () => {
    for (const hazard of HAZARDS) {
      const caution = CAUTIONS[hazard];
      expect(caution.hazard).toBe(hazard);
      expect(words(caution.line), caution.line).toBeLessThanOrEqual(8);
      expect(caution.line.length, caution.line).toBeLessThanOrEqual(44);
      const sentences = caution.note.match(/[^.]+\.(?=\s|$)/g) ?? [];
      expect(sentences.length, hazard).toBeGreaterThanOrEqual(2);
      expect(sentences.length, hazard).toBeLessThanOrEqual(4);
    }
    expect(Object.keys(CAUTIONS).sort()).toEqual([...HAZARDS].sort());
  });

  test("the notes carry what the hazard is known for", () => {
    expect(CAUTIONS.dryPowder.note).toMatch(/mask[\s\S]*damp cloth/);
    expect(CAUTIONS.dryPowder.note).toMatch(/draught/);
    expect(CAUTIONS.acid.note).toMatch(/acid to water[\s\S]*eye/);
    expect(CAUTIONS.steam.note).toMatch(/away from your face/);
    expect(CAUTIONS.wasteWater.note).toMatch(/local water authority/);
    expect(CAUTIONS.dyeVessels.note).toMatch(/kept for dye/);
    expect(CAUTIONS.childrenAndPets.note).toMatch(/children and pets/);
  });

  test("every set of notes ends by deferring to data sheet, local rules and qualified advice", () => {
    const notes = notesOf(["steam", "acid"]);
    expect(notes).toEqual([CAUTIONS.steam.note, CAUTIONS.acid.note, deferral]);
    expect(deferral).toMatch(/safety data sheet.*rules where you live.*qualified advice/);
    expect(shortDeferral).toMatch(/safety data sheet/);
    expect(notesOf([])).toEqual([]);
    expect(cautionsOf(["steam"])).toEqual([CAUTIONS.steam]);
  });
});
