/**
 * Whether a fibre takes acid dye. Protein fibres and nylon have the amino groups that it holds on
 * to; cellulose, acrylic, polyester and metal have none (common practice, no source).
 */
export type Uptake = "takes" | "slow" | "none" | "unknown";

type Known = { words: RegExp; uptake: Uptake; nylon?: true };

const KNOWN: readonly Known[] = [
  { words: /\b(nylon|polyamide)\b/, uptake: "takes", nylon: true },
  {
    words:
      /\b(cotton|linen|flax|hemp|ramie|nettle|jute|bamboo|viscose|rayon|lyocell|modal|cupro|cellulose|seacell|acetate)\b/,
    uptake: "none",
  },
  {
    words:
      /\b(acrylic|polyester|polypropylene|elastane|spandex|lurex|metallic|metal|glitter|sequins?)\b/,
    uptake: "none",
  },
  { words: /\b(silk|tussah|soy|soya|milk)\b/, uptake: "slow" },
  {
    words:
      /\b(wool|lamb|lambswool|merino|shetland|alpaca|mohair|cashmere|angora|llama|camel|yak|guanaco|qiviut|vicu(n|\u00f1)a)\b/,
    uptake: "takes",
  },
];

/** What a fibre of this name does with acid dye; "unknown" for a name that says nothing. */
export function uptakeOf(fibre: string): Uptake {
  return knownAs(fibre)?.uptake ?? "unknown";
}

export type Content = readonly { fibre: string; pct: number }[];

/** Per cent of a yarn that takes acid dye; a fibre of unknown name is taken to. 0 to 100. */
export function dyeablePct(fibres: Content): number {
  return fibres.reduce((sum, { fibre, pct }) => (uptakeOf(fibre) === "none" ? sum : sum + pct), 0);
}

/** Fibres of a yarn that take no acid dye, as they are named. */
export function undyeable(fibres: Content): string[] {
  return fibres.filter(({ fibre }) => uptakeOf(fibre) === "none").map(({ fibre }) => fibre);
}

/** Whether there is nylon in a yarn: it takes up dye faster than wool and has room for less of it. */
export function hasNylon(fibres: Content): boolean {
  return fibres.some(({ fibre }) => knownAs(fibre)?.nylon === true);
}

function knownAs(fibre: string): Known | undefined {
  const name = fibre.toLowerCase();
  return KNOWN.find(({ words }) => words.test(name));
}
