/** The ground a drawing stands on: a wool page, or an ink panel over video. */
export type Tone = "wool" | "ink";

/** Undyed wool, the ground of every page. */
export const WOOL = "#f3ecdf";
/** A lighter wool for tape, fields and the row in hand. */
export const WOOL_LIGHT = "#fcf8f0";
/** A deeper wool for quiet buttons and troughs. */
export const WOOL_DEEP = "#e5dac7";
/** Rules between things on wool; decoration only, it carries no meaning. */
export const WOOL_RULE = "#cdbfa9";
/** Secondary text on wool. */
export const WOOL_QUIET = "#5d564a";

/** Ink, the ground of every panel over video and the colour of text on wool. */
export const INK = "#1d2125";
/** A raised part of an ink panel. */
export const INK_RAISED = "#2c3238";
/** Rules between things on ink; decoration only. */
export const INK_RULE = "#4a5158";
/** Secondary text on ink. */
export const INK_QUIET = "#cdc5b6";

/** The one green: the next action. Carries wool text. */
export const ACTION = "#1f6f5c";
/** The action while it is held down. */
export const ACTION_DOWN = "#17574a";
/** The same green where it must be read on ink. */
export const ACTION_ON_INK = "#7cc9ab";
/** The one amber: cautions only. Carries ink text. */
export const CAUTION = "#f0bd45";

/**
 * A middle tone that keeps 3:1 or more against wool and against ink alike, so that a near-white
 * and a near-black dye both keep their edge on either ground.
 */
export const HAIRLINE = "#837b6e";

/** The bundled face, then what the machine has; a list for `font-family`. */
export const FACE =
  '"Atkinson Hyperlegible Next Variable", "Atkinson Hyperlegible Next", sans-serif';

/** The colours of lines, text and vessels that belong to one ground. */
export interface Ground {
  readonly ground: string;
  readonly line: string;
  readonly quiet: string;
  readonly rule: string;
  readonly enamel: string;
  /** The inside of a pan. */
  readonly hollow: string;
  readonly speck: string;
  readonly water: string;
  readonly tape: string;
  readonly tapeText: string;
}

const ON_WOOL: Ground = {
  ground: WOOL,
  line: INK,
  quiet: WOOL_QUIET,
  rule: WOOL_RULE,
  enamel: "#d3c8b6",
  hollow: "#e9e0d0",
  speck: "#8f8674",
  water: "#dfe3dc",
  tape: WOOL_LIGHT,
  tapeText: INK,
};

const ON_INK: Ground = {
  ground: INK,
  line: WOOL,
  quiet: INK_QUIET,
  rule: INK_RULE,
  enamel: "#434a51",
  hollow: "#262b30",
  speck: "#8d939a",
  water: "#323c43",
  tape: INK_RAISED,
  tapeText: WOOL,
};

/** The colours that belong to a ground. */
export function groundOf(tone: Tone): Ground {
  return tone === "ink" ? ON_INK : ON_WOOL;
}
