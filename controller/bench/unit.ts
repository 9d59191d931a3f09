import {
  showCelsius,
  showCount,
  showMass,
  showStrength,
  showVolume,
} from "../../shared/dye/display.ts";
import { type Refusal, refuse, refused } from "../../shared/dye/refusal.ts";
import { gFromUg, mlFromUl, ugFromText, ulFromText } from "../../shared/dye/units.ts";
import { sayMinutes } from "../../shared/session/say.ts";

/** What can be typed on the keypad. */
export type Unit = "mL" | "g" | "drops" | "%" | "°C" | "min";

/**
 * How a unit is read and said. The number in between is exact: whole uL for mL, whole ug for g,
 * whole drops, whole seconds for min; a strength in % w/v and a temperature in °C as typed.
 */
export type UnitWords = {
  /** What a text means, or a sentence that says what to change. */
  read(text: string): number | Refusal;
  /** The text that is typed for a number. */
  write(value: number): string;
  /** The number as it is said back. */
  say(value: number): string;
  /** Whether there are parts of one, so that the decimal point makes sense. */
  divisible: boolean;
};

export const UNITS: Readonly<Record<Unit, UnitWords>> = {
  mL: {
    read: ulFromText,
    write: (ul) => String(mlFromUl(ul)),
    say: showVolume,
    divisible: true,
  },
  g: {
    read: ugFromText,
    write: (ug) => String(gFromUg(ug)),
    say: showMass,
    divisible: true,
  },
  drops: {
    read: (text) => {
      const drops = numberFrom(text, "drops", "12");
      if (refused(drops)) return drops;
      return Number.isInteger(drops)
        ? above0(drops, "drops")
        : refuse("amount.part", "Drops are counted whole: write 12 or 13, nothing between.");
    },
    write: String,
    say: (drops) => showCount(drops, "drop"),
    divisible: false,
  },
  "%": {
    read: (text) => {
      const pct = numberFrom(text, "per cent", "0.5");
      if (refused(pct)) return pct;
      if (pct === 0) {
        return refuse("strength.zero", "A stock of 0 % has no dye in it: write more than 0 %.");
      }
      return pct > 100
        ? refuse(
            "strength.tooStrong",
            "No stock is stronger than 100 %: that is 100 g of dye in 100 mL. Write 100 % or less.",
          )
        : pct;
    },
    write: String,
    say: showStrength,
    divisible: true,
  },
  "°C": {
    read: (text) => numberFrom(text, "degrees", "85"),
    write: String,
    say: showCelsius,
    divisible: true,
  },
  min: {
    read: (text) => {
      const minutes = numberFrom(text, "minutes", "25");
      if (refused(minutes)) return minutes;
      return above0(Math.round(minutes * 60), "minutes");
    },
    write: (seconds) => String(seconds / 60),
    say: sayMinutes,
    divisible: true,
  },
};

function numberFrom(text: string, unit: string, example: string): number | Refusal {
  const typed = text.trim().replace(/^\u2212/, "-");
  if (typed.includes(",")) {
    return refuse("amount.comma", "Write the number without a comma: 37.5 for a half.");
  }
  if (!/^-?(\d{1,9}(\.\d{0,6})?|\.\d{1,6})$/.test(typed)) {
    return refuse("amount.notANumber", `Write it as a number of ${unit}, such as ${example}.`);
  }
  if (typed.startsWith("-")) {
    return refuse("amount.negative", `This cannot be below 0 ${unit}: leave out the minus.`);
  }
  return Number(typed);
}

function above0(value: number, unit: string): number | Refusal {
  return value > 0 ? value : refuse("amount.zero", `Write more than 0 ${unit}.`);
}
