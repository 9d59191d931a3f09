import {
  type PaletteColour,
  type Patch,
  type Picture,
  paletteOf,
  type Sample,
  sampleSwatch,
} from "../../shared/colour/picture.ts";
import { type Refusal, refuse, refused } from "../../shared/dye/refusal.ts";
import { type Spot, spotOf } from "./spot.ts";
import { piecesOf, type Studio, type Viewed, viewOf } from "./studio.ts";

/** What is asked of a picture; patches in px of the whole picture, upright. */
export type Look =
  | { readonly look: "view"; readonly file: Blob }
  | { readonly look: "palette" }
  | { readonly look: "sample"; readonly patch: Patch; readonly card: Patch };

/** A colour that a picture is made of, and a place in the picture where it is found. */
export type Spotted = { readonly colour: PaletteColour; readonly spot: Spot };

/** What comes of each. */
export type Looked = { view: Viewed; palette: readonly Spotted[]; sample: Sample };

/**
 * Looks at one picture; it is kept as its file and as a small copy, and never stays decoded as a
 * whole.
 */
export function looker(studio: Studio): (look: Look) => Promise<Looked[Look["look"]] | Refusal> {
  let file: Blob | null = null;
  let small: Picture | null = null;
  return async (look) => {
    try {
      if (look.look === "view") {
        file = look.file;
        const { view, small: copy } = await viewOf(studio, file);
        small = copy;
        return view;
      }
      if (!file || !small) return cannotDecode;
      if (look.look === "palette") return spotted(small);
      const { picture, at } = await piecesOf(studio, file, [look.patch, look.card]);
      return sampleSwatch(picture, at[0] as Patch, at[1] as Patch);
    } catch {
      return cannotDecode;
    }
  };
}

function spotted(picture: Picture): readonly Spotted[] | Refusal {
  const palette = paletteOf(picture);
  if (refused(palette)) return palette;
  return palette.map((colour) => ({ colour, spot: spotOf(picture, colour.hex) }));
}

export const cannotDecode: Refusal = refuse(
  "picture.damaged",
  "This picture cannot be opened here: it is damaged, or of a kind that this browser does not know. Save it as JPEG or PNG.",
);
