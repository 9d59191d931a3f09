import * as z from "zod";
import { type Seen, sightedOf } from "../../shared/colour/seen.ts";
import { readReflectance } from "../../shared/colour/spectrum.ts";
import { calibrate } from "../../shared/colour/swatch.ts";
import { readQuantity } from "../../shared/dye/quantity.ts";
import { type Refusal, refuse, refused } from "../../shared/dye/refusal.ts";
import type { Id } from "../../shared/session/setup.ts";
import { textOf } from "../../shared/shelf/encoding.ts";
import type { ShelfBase, ShelfSwatch } from "../../shared/shelf/shelf.ts";

/** How a colour can be known, in the order in which it is offered. */
export const WAYS = ["measured", "spectrum", "photographed", "typed"] as const;
export type Way = (typeof WAYS)[number];

/** A colour as it is being told, in every way at once, so that trying another way loses nothing. */
export type ColourDraft = {
  readonly how: Way;
  readonly hex: string;
  readonly lab: { readonly l: string; readonly a: string; readonly b: string };
  readonly reflectance: readonly number[] | null;
  readonly sample: { readonly hex: string; readonly spread?: number } | null;
};

/** A swatch as it is being told. */
export type SwatchDraft = {
  readonly id: Id;
  readonly base: Id | null;
  readonly depthPct: number | null;
  readonly colour: ColourDraft;
  readonly wet: boolean;
  readonly madeOn: string;
  readonly note: string;
};

const dateSchema = z.iso.date();

const blankColour: ColourDraft = {
  how: "measured",
  hex: "#808080",
  lab: { l: "", a: "", b: "" },
  reflectance: null,
  sample: null,
};

/** What is kept of a colour, to be told anew; `undefined` is one that is not known yet. */
export function colourDraft(seen: ShelfSwatch["seen"] | undefined, hex = "#808080"): ColourDraft {
  const blank = { ...blankColour, hex };
  switch (seen?.how) {
    case undefined:
      return blank;
    case "measured": {
      const { l, a, b } = seen.lab;
      return { ...blank, how: "measured", lab: { l: signed(l), a: signed(a), b: signed(b) } };
    }
    case "spectrum":
      return { ...blank, how: "spectrum", reflectance: seen.reflectance };
    case "typed":
      return { ...blank, how: "typed", hex: seen.hex };
    case "photographed": {
      const { hex: sampled, spread } = seen;
      const sample = { hex: sampled, ...(spread === undefined ? {} : { spread }) };
      return { ...blank, how: "photographed", sample };
    }
  }
}

/** A new swatch on a yarn, or one that is kept, to be told anew. */
export function swatchDraft(id: Id, base: Id | null, swatch?: ShelfSwatch): SwatchDraft {
  return {
    id,
    base: swatch?.base ?? base,
    depthPct: swatch?.depthPct ?? null,
    colour: colourDraft(swatch?.seen),
    wet: false,
    madeOn: swatch?.madeOn ?? "",
    note: swatch?.note ?? "",
  };
}

/** The colour that is told, or what is missing or wrong in it. */
export function seenOf(draft: ColourDraft): ShelfSwatch["seen"] | Refusal {
  const seen = told(draft);
  if (refused(seen)) return seen;
  const sighted = sightedOf(seen);
  return refused(sighted) ? sighted : seen;
}

function told({ how, hex, lab, reflectance, sample }: ColourDraft): ShelfSwatch["seen"] | Refusal {
  switch (how) {
    case "measured": {
      const l = readSigned(lab.l, "L*");
      if (refused(l)) return l;
      const a = readSigned(lab.a, "a*");
      if (refused(a)) return a;
      const b = readSigned(lab.b, "b*");
      return refused(b) ? b : { how, lab: { l, a, b } };
    }
    case "spectrum":
      return reflectance
        ? { how, reflectance: [...reflectance] }
        : refuse(
            "swatch.noFile",
            "Choose the reflectance file: lines of a wavelength and a reflectance.",
          );
    case "typed":
      return { how, hex };
    case "photographed":
      return sample
        ? { how, ...sample }
        : refuse(
            "swatch.noPhoto",
            "Choose a photograph, and mark the white card and the yarn in it.",
          );
  }
}

/** The swatch that is told, or what is missing or wrong in it. */
export function swatchOf(
  draft: SwatchDraft,
  dye: Id,
  bases: readonly ShelfBase[],
): ShelfSwatch | Refusal {
  const { id, depthPct, wet, madeOn, note } = draft;
  const base = bases.find((one) => one.id === draft.base);
  if (!base) return refuse("swatch.noBase", "Say which yarn it was dyed on.");
  if (depthPct === null) {
    return refuse("swatch.unsaidDepth", "Give the depth of shade that it was dyed to.");
  }
  if (madeOn !== "" && !dateSchema.safeParse(madeOn).success) {
    return refuse(
      "swatch.noDate",
      "Write the day that it was dyed as 2031-05-31, or leave it out.",
    );
  }
  const seen = seenOf(draft.colour);
  if (refused(seen)) return seen;
  // What one swatch alone cannot be is refused before it is kept; the rest is remarked upon.
  const alone = calibrate([{ depthPct, seen, yarn: yarnSeen(base), wet }]);
  if (refused(alone)) return alone;
  return {
    id,
    dye,
    base: base.id,
    depthPct,
    seen,
    ...(madeOn === "" ? {} : { madeOn }),
    ...(note.trim() === "" ? {} : { note: note.trim() }),
    retired: false,
  };
}

/** The colour that a yarn has before it is dyed. */
export function yarnSeen({ seen, hex }: ShelfBase): Seen {
  return seen ?? { how: "typed", hex };
}

/**
 * A number that may have a sign, as instruments show a* and b*: the grammar of every number field,
 * with one sign before it.
 */
export function readSigned(text: string, what: string): number | Refusal {
  const [, sign = "", rest = ""] = /^\s*([-+\u2212]?)\s*([\s\S]*?)\s*$/.exec(text) ?? [];
  if (rest === "") return refuse("swatch.noNumber", `Write ${what} as the instrument shows it.`);
  const reading = readQuantity(rest, { kind: "number", zero: true });
  if ("ok" in reading) return sign === "" || sign === "+" ? reading.value : 0 - reading.value;
  if ("ask" in reading) return refuse("swatch.asks", `${what}: ${reading.ask}`);
  return refuse(reading.code, `${what}: ${reading.say}`);
}

function signed(value: number): string {
  return String(Math.round(value * 1_000) / 1_000).replace("-", "\u2212");
}

/** The reflectances of a file, as they are kept, or what is the matter with it. */
export function reflectanceIn(bytes: Uint8Array): readonly number[] | Refusal {
  const text = textOf(bytes);
  if (typeof text !== "string") return text;
  const spectrum = readReflectance(text);
  if (refused(spectrum)) return spectrum;
  const seen: Seen = { how: "spectrum", reflectance: spectrum };
  const sighted = sightedOf(seen);
  return refused(sighted) ? sighted : Array.from(spectrum);
}
