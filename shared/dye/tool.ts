import { depthPctForVolume } from "./depth.ts";
import { showCount, showMass, showStrength, showVolume } from "./display.ts";
import { type Refusal, refuse, refused } from "./refusal.ts";

/** Read along a scale, uL: what it holds, and the distance between two of its marks. */
export type Graduated = {
  kind: "syringe" | "cylinder";
  capacityUl: number;
  divisionUl: number;
};

/** A balance, ug: the most it weighs, and the step of its display. */
export type Scale = { kind: "scale"; capacityUg: number; divisionUg: number };

/** A dropper; without `dropUl` (one drop, uL, need not be whole) it is refused. */
export type Dropper = { kind: "dropper"; dropUl?: number };

/** A measuring spoon for liquid, uL: 5,000 and 15,000 as labelled, or a US spoon. */
export type LiquidSpoon = { kind: "liquidSpoon"; spoonUl: number };

/** A spoon for powder: ug in one level spoon, for each dye weighed with it. */
export type PowderSpoon = { kind: "powderSpoon"; massUgOf: Readonly<Record<string, number>> };

/** A measuring tool that a viewer owns. Every number is above 0. */
export type Tool = Graduated | Scale | Dropper | LiquidSpoon | PowderSpoon;

/** Liquor to measure, uL above 0. */
export type WantedVolume = { volumeUl: number };

/** Powder of one dye to measure, ug above 0. */
export type WantedPowder = { massUg: number; dye: string };

type Measuring = {
  /** How many divisions, drops or spoons in all. */
  divisions: number;
  /** How often the tool is filled, or put on the balance; 0 when the amount rounds to nothing. */
  fills: number;
  /** Measured less wanted, as a share of wanted: -0.02 is 2 % too little. */
  errorShare: number;
  /** Half a division is more than 5 % of the amount: propose a dilution or a finer tool. */
  tooCoarse: boolean;
};

/** An amount of liquor as the tool can measure it, uL; `errorUl` is measured less wanted. */
export type MeasuredVolume = Measuring & {
  volumeUl: number;
  lastFillUl: number;
  errorUl: number;
};

/** An amount of powder as the tool can measure it, ug; `errorUg` is measured less wanted. */
export type MeasuredPowder = Measuring & {
  massUg: number;
  lastFillUg: number;
  errorUg: number;
};

/** Half a division may be this share of an amount and no more. */
export const COARSEST_SHARE = 0.05;

/** A dilution that a tool can measure well, and how to make it. */
export type ProposedDilution = {
  /** One part of stock made up to this many parts. */
  factor: number;
  /** Strength of the diluted stock, % w/v. */
  strengthPct: number;
  /** Stock to measure, uL: a whole number of the tool's divisions. */
  stockUl: number;
  /** Water to the same, uL, and what the two make. */
  waterUl: number;
  madeUl: number;
  /** How much of the diluted stock stands for the amount wanted, uL, before the tool rounds it. */
  wantedUl: number;
  /** That amount as the tool measures it. */
  measured: MeasuredVolume;
  /** The most that reading both the stock and the dilution half a division out can be wrong by. */
  worstShare: number;
  say: string;
};

/** Simple factors, in the order they are tried. */
const FACTORS = [2, 5, 10, 20, 50, 100, 200, 500, 1000] as const;

/** The most diluted stock that is worth making for one small amount, uL. */
const MOST_MADE_UL = 1_000_000;

/**
 * An amount rounded to what a tool can measure: whole divisions, drops or spoons, in as many fills
 * as it takes. The rounding error is half a division at the most (and half a uL or ug, where a drop
 * or spoon is not a whole number of them).
 *
 * A balance weighs liquor too, a millilitre as a gram: water is 0.998 g/mL at 20 C (CRC Handbook,
 * value from memory) and a weak stock little more, so that adds about half a percent and no more;
 * it is not in `errorUl`.
 *
 * @returns a refusal for a tool that cannot measure this, or has not been calibrated for it
 */
export function measureWith(tool: Tool, wanted: WantedVolume): MeasuredVolume | Refusal;
export function measureWith(tool: Tool, wanted: WantedPowder): MeasuredPowder | Refusal;
export function measureWith(
  tool: Tool,
  wanted: WantedVolume | WantedPowder,
): MeasuredVolume | MeasuredPowder | Refusal {
  if ("volumeUl" in wanted) {
    const marks = volumeMarks(tool);
    if (refused(marks)) return marks;
    const { amount, lastFill, ...rest } = rounding(wanted.volumeUl, marks);
    return {
      ...rest,
      volumeUl: amount,
      lastFillUl: lastFill,
      errorUl: amount - wanted.volumeUl,
    };
  }
  const marks = powderMarks(tool, wanted.dye);
  if (refused(marks)) return marks;
  const { amount, lastFill, ...rest } = rounding(wanted.massUg, marks);
  return { ...rest, massUg: amount, lastFillUg: lastFill, errorUg: amount - wanted.massUg };
}

/**
 * The depth of shade that rounding to a tool adds or takes away, % owf, signed.
 *
 * @param strengthPct % w/v of what is measured
 * @param fibreUg dry fibre, above 0
 */
export function depthErrorPct(
  measured: MeasuredVolume,
  strengthPct: number,
  fibreUg: number,
): number {
  return depthPctForVolume(measured.errorUl, strengthPct, fibreUg);
}

/**
 * The coarsest division, uL or ug, with which an amount is still measured well: half of it is 5 %.
 */
export function coarsestDivision(amount: number): number {
  return amount * 2 * COARSEST_SHARE;
}

/**
 * A dilution for an amount too small for a tool: the first simple factor (2, 5, 10, 20, 50 ...) at
 * which half a division is within 5 % of the diluted amount. The stock for it is ten divisions, so
 * that the same tool measures it within 5 % as well.
 *
 * @param volumeUl amount of the stock wanted, above 0
 * @param strengthPct strength of the stock, % w/v, above 0
 * @returns a refusal when the tool does not measure liquid, measures the amount well as it is, or is
 *   so coarse that more than a litre would have to be made
 */
export function proposeDilution(
  volumeUl: number,
  strengthPct: number,
  tool: Tool,
): ProposedDilution | Refusal {
  const marks = volumeMarks(tool);
  if (refused(marks)) return marks;
  const asItIs = rounding(volumeUl, marks);
  if (!asItIs.tooCoarse) {
    return refuse("tool.fineEnough", "This tool measures that amount well as it is.");
  }
  const stockUl = Math.round(10 * marks.division);
  const factor = FACTORS.find((times) => !isTooCoarse(volumeUl * times, marks.division));
  if (factor === undefined || factor * stockUl > MOST_MADE_UL) {
    return refuse(
      "tool.tooCoarse",
      `Use a finer tool: one that reads to ${showVolume(coarsestDivision(volumeUl))} or finer.`,
    );
  }
  const madeUl = stockUl * factor;
  const wantedUl = volumeUl * factor;
  const measured = measureWith(tool, { volumeUl: wantedUl });
  if (refused(measured)) return measured;
  const stock = measureWith(tool, { volumeUl: stockUl });
  if (refused(stock)) return stock;
  const half = marks.division / 2;
  const weaker = showStrength(strengthPct / factor);
  return {
    factor,
    strengthPct: strengthPct / factor,
    stockUl,
    waterUl: madeUl - stockUl,
    madeUl,
    wantedUl,
    measured,
    worstShare: (1 + half / stockUl) * (1 + half / wantedUl) - 1,
    say: `Make ${said(tool, stock)} of the ${showStrength(strengthPct)} stock up to ${showVolume(madeUl)} with water, which is ${weaker}, and measure ${said(tool, measured)} of that.`,
  };
}

/** How to measure an amount of liquor with a tool, in words: "3 fills of 10 mL and 7.5 mL". */
export function showMeasuring(tool: Tool, measured: MeasuredVolume | MeasuredPowder): string {
  const [amount, last, show] =
    "volumeUl" in measured
      ? [measured.volumeUl, measured.lastFillUl, showVolume]
      : [measured.massUg, measured.lastFillUg, showMass];
  if (measured.fills === 0) return "too little to measure with this";
  if (tool.kind === "dropper") return showCount(measured.divisions, "drop");
  if (tool.kind === "liquidSpoon" || tool.kind === "powderSpoon") {
    return showCount(measured.divisions, "level spoon");
  }
  if (measured.fills === 1) return show(amount);
  const full = (amount - last) / (measured.fills - 1);
  const times = measured.fills - 1;
  if (last === full) return `${showCount(measured.fills, "fill")} of ${show(full)}`;
  return `${showCount(times, "fill")} of ${show(full)} and ${show(last)}`;
}

function said(tool: Tool, measured: MeasuredVolume): string {
  const volume = showVolume(measured.volumeUl);
  return tool.kind === "dropper" || tool.kind === "liquidSpoon"
    ? `${showMeasuring(tool, measured)} (${volume})`
    : volume;
}

type Marks = { division: number; perFill: number };

function volumeMarks(tool: Tool): Marks | Refusal {
  switch (tool.kind) {
    case "syringe":
    case "cylinder":
      return marksOf(tool.capacityUl, tool.divisionUl);
    case "scale":
      return marksOf(tool.capacityUg / 1_000, tool.divisionUg / 1_000);
    case "dropper":
      return tool.dropUl === undefined
        ? refuse(
            "tool.dropperNotCounted",
            "Count how many of this dropper's drops make 1 mL first: droppers differ too much to guess.",
          )
        : { division: tool.dropUl, perFill: 1 };
    case "liquidSpoon":
      return { division: tool.spoonUl, perFill: 1 };
    case "powderSpoon":
      return refuse(
        "tool.notForLiquid",
        "This spoon was weighed with powder: measure liquid in a syringe or cylinder, or in a measuring spoon.",
      );
  }
}

function powderMarks(tool: Tool, dye: string): Marks | Refusal {
  switch (tool.kind) {
    case "scale":
      return marksOf(tool.capacityUg, tool.divisionUg);
    case "powderSpoon": {
      const massUg = Object.hasOwn(tool.massUgOf, dye) ? tool.massUgOf[dye] : undefined;
      return massUg === undefined
        ? refuse(
            "tool.spoonNotWeighed",
            "Weigh a level spoon of this dye first: each powder packs differently, so a spoon says nothing until then.",
          )
        : { division: massUg, perFill: 1 };
    }
    default:
      return refuse(
        "tool.notForPowder",
        "This measures liquid: weigh the powder, or use a spoon weighed with this dye.",
      );
  }
}

function marksOf(capacity: number, division: number): Marks {
  return { division, perFill: Math.max(1, Math.floor(capacity / division + 1e-9)) };
}

function isTooCoarse(amount: number, division: number): boolean {
  return division > coarsestDivision(amount) * (1 + 1e-12);
}

function rounding(wanted: number, { division, perFill }: Marks) {
  const divisions = Math.floor(wanted / division + 0.5);
  const fills = Math.ceil(divisions / perFill);
  const amount = Math.round(divisions * division);
  const full = Math.round(perFill * division);
  return {
    divisions,
    fills,
    amount,
    lastFill: fills === 0 ? 0 : amount - (fills - 1) * full,
    errorShare: (amount - wanted) / wanted,
    tooCoarse: isTooCoarse(wanted, division),
  };
}
