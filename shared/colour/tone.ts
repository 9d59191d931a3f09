import {
  converter,
  formatHex,
  modeLab65,
  modeLrgb,
  modeOklab,
  modeOklch,
  modeRgb,
  modeXyz65,
  parseHex,
  toGamut,
  useMode,
} from "culori/fn";

useMode(modeRgb);
useMode(modeLrgb);
useMode(modeXyz65);
useMode(modeLab65);
useMode(modeOklab);
useMode(modeOklch);

/** Tristimulus values under D65, CIE 1931 2 degree observer; Y of a perfect white is 1. */
export type Xyz = { readonly x: number; readonly y: number; readonly z: number };

/** CIELAB under D65, CIE 1931 2 degree observer. */
export type Lab = { readonly l: number; readonly a: number; readonly b: number };

/** A colour as a screen shows it; `inGamut` is false where sRGB has no such colour. */
export type Shown = { readonly hex: string; readonly inGamut: boolean };

const toXyz = converter("xyz65");
const toLab = converter("lab65");
const toRgb = converter("rgb");
const intoGamut = toGamut("rgb", "oklch");

/** The white that the library's CIELAB and sRGB agree on: D65 by x 0.3127, y 0.329. */
export const WHITE: Xyz = plainXyz(toXyz({ mode: "lab65", l: 100, a: 0, b: 0 }));

/** What is less than this out of sRGB is a rounding of the arithmetic, share of full light. */
const NO_MORE_THAN_ROUNDING = 1e-6;

export function labOfXyz({ x, y, z }: Xyz): Lab {
  const { l, a, b } = toLab({ mode: "xyz65", x, y, z });
  return { l, a, b };
}

export function xyzOfLab({ l, a, b }: Lab): Xyz {
  return plainXyz(toXyz({ mode: "lab65", l, a, b }));
}

/** Tristimulus values of `#rrggbb` or `#rgb`; `undefined` when it is neither. */
export function xyzOfHex(hex: string): Xyz | undefined {
  const rgb = parseHex(hex);
  return rgb && /^#?(?:[0-9a-f]{3}|[0-9a-f]{6})$/i.test(hex) ? plainXyz(toXyz(rgb)) : undefined;
}

export function labOfHex(hex: string): Lab | undefined {
  const xyz = xyzOfHex(hex);
  return xyz && labOfXyz(xyz);
}

/** The nearest that sRGB has, mapped in OKLCh at constant lightness and hue where it must be. */
export function shownXyz({ x, y, z }: Xyz): Shown {
  const rgb = toRgb({ mode: "xyz65", x, y, z });
  const least = Math.min(rgb.r, rgb.g, rgb.b);
  const most = Math.max(rgb.r, rgb.g, rgb.b);
  const inGamut = least >= -NO_MORE_THAN_ROUNDING && most <= 1 + NO_MORE_THAN_ROUNDING;
  return { hex: formatHex(inGamut ? rgb : intoGamut(rgb)), inGamut };
}

export function shownLab(lab: Lab): Shown {
  return shownXyz(xyzOfLab(lab));
}

function plainXyz({ x, y, z }: Xyz): Xyz {
  return { x, y, z };
}
