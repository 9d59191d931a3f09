import { type Refusal, refuse, refused } from "../../shared/dye/refusal.ts";
import { ugFromText } from "../../shared/dye/units.ts";

/** The most fibre that anybody dyes at once, ug: 100 kg. */
const mostFibreUg = 100_000_000_000;
const weakestPct = 0.001;
const mostDropsPerMl = 100;

/**
 * Grams as they are typed on a phone, as whole ug: " 12 g" and "0,5" are understood, and so is any
 * comma that can only be a decimal sign.
 */
export function fibreUgFrom(text: string): number | Refusal {
  if (text.trim() === "") {
    return refuse("fibre.empty", "Write how many grams of dry yarn you have, such as 37.");
  }
  const massUg = ugFromText(plain(text, /(g|gr|grams?)$/i));
  if (refused(massUg)) return massUg;
  if (massUg > mostFibreUg) {
    return refuse("fibre.tooLarge", "That is more than 100 kg of yarn: write it in grams.");
  }
  return massUg;
}

/** The strength of a stock as typed, % w/v: above 0, 100 at the most. */
export function strengthPctFrom(text: string): number | Refusal {
  if (text.trim() === "") {
    return refuse("strength.empty", "Write the strength of your stock in %, such as 1 or 0.5.");
  }
  const typed = plain(text, /%$/);
  if (typed.includes(",")) {
    return refuse("strength.comma", "Write the strength with a point, such as 0.5 or 1.25.");
  }
  if (/^-/.test(typed)) {
    return refuse("strength.negative", "A stock cannot be below 0 %: leave out the minus.");
  }
  if (!/^(\d{1,6}(\.\d{0,6})?|\.\d{1,6})$/.test(typed)) {
    return refuse("strength.notANumber", "Write the strength as a number of %, such as 0.5.");
  }
  const pct = Number(typed);
  if (pct === 0) {
    return refuse("strength.zero", "A stock of 0 % is water: write how strong yours is.");
  }
  if (pct < weakestPct) {
    return refuse("strength.tooWeak", "A stock that weak is all but water: check the figure.");
  }
  if (pct > 100) {
    return refuse("strength.tooStrong", "A stock cannot be above 100 %: 1 % is 1 g in 100 mL.");
  }
  return pct;
}

/** Drops counted in 1 mL, as typed, as the volume of one drop, uL. */
export function dropUlFrom(text: string): number | Refusal {
  const typed = plain(text, /drops?$/i);
  const drops = /^\d{1,4}(\.\d{0,2})?$/.test(typed) ? Number(typed) : 0;
  if (drops < 1 || drops > mostDropsPerMl) {
    return refuse(
      "drops.outOfRange",
      "Count how many drops of your dropper fill 1 mL, and write that: 1 to 100, often about 20.",
    );
  }
  return 1_000 / drops;
}

/**
 * A number without its unit and with a point for a comma where that is sure: "0,5" and "12,25" have
 * one reading, "1,250" has two and stays as it is.
 */
function plain(text: string, unit: RegExp): string {
  const bare = text
    .replace(/[\s\u00a0\u202f]+/g, " ")
    .trim()
    .replace(unit, "")
    .trim()
    .replace(/^[\u2212\u2013]/, "-");
  const [, before = "", after = ""] = /^(-?\d*),(\d*)$/.exec(bare) ?? [];
  const oneReading = after.length !== 3 || /^-?0?$/.test(before);
  return after !== "" && oneReading ? `${before}.${after}` : bare;
}
