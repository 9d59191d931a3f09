import {
  showCelsius,
  showCount,
  showMass,
  showStrength,
  showVolume,
} from "../../shared/dye/display.ts";
import { type Field, readQuantity } from "../../shared/dye/quantity.ts";
import { type Refusal, refuse, refused } from "../../shared/dye/refusal.ts";
import { gFromUg, mlFromUl } from "../../shared/dye/units.ts";
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

/** Reads a text by the one grammar of number fields; where it has two readings, both are told. */
function reader(field: Field): UnitWords["read"] {
  return (text) => {
    const read = readQuantity(text, field);
    if ("ask" in read) {
      const readings = read.readings.map(({ understood }) => understood).join(" or ");
      return refuse("quantity.ask", `${read.ask} ${readings}?`);
    }
    return refused(read) ? read : read.value;
  };
}

export const UNITS: Readonly<Record<Unit, UnitWords>> = {
  mL: {
    read: reader({ kind: "volume" }),
    write: (ul) => String(mlFromUl(ul)),
    say: showVolume,
    divisible: true,
  },
  g: {
    read: reader({ kind: "mass" }),
    write: (ug) => String(gFromUg(ug)),
    say: showMass,
    divisible: true,
  },
  drops: {
    read: reader({ kind: "count" }),
    write: String,
    say: (drops) => showCount(drops, "drop"),
    divisible: false,
  },
  "%": {
    read: reader({ kind: "percent", max: 100 }),
    write: String,
    say: showStrength,
    divisible: true,
  },
  "°C": {
    read: reader({ kind: "temperature", zero: true }),
    write: String,
    say: showCelsius,
    divisible: true,
  },
  min: {
    read: reader({ kind: "time" }),
    write: (seconds) => String(seconds / 60),
    say: sayMinutes,
    divisible: true,
  },
};
